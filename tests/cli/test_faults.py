"""What a user sees when something goes wrong: one sentence, the right status, no traceback."""

from __future__ import annotations

import json
import os
import pty
import shlex
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from abreast.cli import main
from abreast.errors import AbreastError, InputError, Where

Capture = pytest.CaptureFixture[str]
StandIn = Callable[..., None]


def raising(fault: BaseException) -> object:
    def act(*_args: object, **_named: object) -> None:
        raise fault

    return act


def shell(line: str, cwd: Path, **env: str) -> subprocess.CompletedProcess[str]:
    text = line.replace("abreast ", f"{shlex.quote(sys.executable)} -P -m abreast ", 1)
    return subprocess.run(
        ["bash", "-c", text],
        capture_output=True,
        text=True,
        check=False,
        cwd=cwd,
        env={**os.environ, **env},
    )


def error_object(text: str) -> dict[str, object]:
    found: dict[str, object] = json.loads(text)["error"]
    return found


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ([], "the following arguments are required: COMMAND"),
        (["slove"], "invalid choice: 'slove'"),
        (["solve"], "the following arguments are required: CASE"),
        (["solve", "x", "--limit", "0"], "'0' is not a time; give seconds above 0"),
        (["solve", "x", "--limit", "nan"], "'nan' is not a time"),
        (["solve", "x", "--limit", "soon"], "'soon' is not a time"),
        (["solve", "x", "--alternatives", "-1"], "--alternatives"),
        (["solve", "x", "--alternatives", "1.5"], "'1.5' is not a whole number"),
        (["solve", "x", "--fall"], "unrecognized arguments: --fall"),
        (["plan", "x"], "the following arguments are required: -o/--out"),
        (["calc"], "one of the arguments NAME --list --schema --example is required"),
        (["calc", "--list", "--schema", "x"], "not allowed with argument"),
    ],
)
def test_wrong_words_are_one_sentence_and_status_2(
    words: list[str], part: str, capsys: Capture
) -> None:
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert part in err
    assert "--help` shows what it takes" in err
    assert err.startswith("abreast: ") and err.count("\n") == 1


def test_input_error_names_the_place(stand_in: StandIn, capsys: Capture) -> None:
    where = Where(file="rack.csv", row=7, field="overall")
    fault = InputError("'31-05' is no length; write 31 ft 5 in", code="bad-unit", where=where)
    stand_in("jobs", check=raising(fault))
    assert main(["check", "job"]) == 2
    out, err = capsys.readouterr()
    assert (out, err) == (
        "",
        "abreast: rack.csv, row 7, overall: '31-05' is no length; write 31 ft 5 in\n",
    )


def test_input_error_as_json(stand_in: StandIn, capsys: Capture) -> None:
    where = Where(file="rack.csv", row=7, field="overall")
    stand_in("jobs", check=raising(InputError("no length", code="bad-unit", where=where)))
    assert main(["check", "job", "--json"]) == 2
    assert error_object(capsys.readouterr().out) == {
        "code": "bad-unit",
        "message": "no length",
        "file": "rack.csv",
        "row": 7,
        "field": "overall",
        "piece": "",
    }


def test_an_answer_that_fails_its_own_check_is_our_fault(stand_in: StandIn) -> None:
    stand_in("jobs", check=raising(AbreastError("the answer is wrong", code="wrong-answer")))
    assert main(["check", "job"]) == 3


def test_wrong_words_as_json(capsys: Capture) -> None:
    assert main(["plan", "--json"]) == 2
    assert error_object(capsys.readouterr().out)["code"] == "usage"


def test_missing_file_and_folder_in_place_of_a_file(tmp_path: Path, capsys: Capture) -> None:
    missing = tmp_path / "no such case.json"
    assert main(["solve", str(missing)]) == 2
    assert f"{missing}: cannot be used: no such file or directory" in capsys.readouterr().err
    assert main(["solve", str(tmp_path)]) == 2
    assert f"{tmp_path}: cannot be used: is a directory" in capsys.readouterr().err


def test_text_that_is_not_utf8(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "case.json"
    path.write_bytes(b'{"name": "\xff"}')
    assert main(["solve", str(path)]) == 2
    assert f"{path}: byte 11 is not UTF-8" in capsys.readouterr().err


def test_our_own_fault_is_owned_and_logged(
    stand_in: StandIn, capsys: Capture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.delenv("ABREAST_DEBUG", raising=False)
    stand_in("jobs", check=raising(KeyError("height")))
    assert main(["check", "job", "--json"]) == 3
    out, err = capsys.readouterr()
    log = tmp_path / "abreast" / "abreast-fault.log"
    assert "a fault of abreast, not of your input (KeyError)" in err
    assert str(log) in err
    assert "Traceback" not in out + err
    assert error_object(out)["code"] == "internal"
    assert "abreast check job --json" in log.read_text()
    assert "KeyError: 'height'" in log.read_text()


def test_debug_shows_the_traceback(
    stand_in: StandIn, capsys: Capture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setenv("ABREAST_DEBUG", "1")
    stand_in("jobs", check=raising(KeyError("height")))
    assert main(["check", "job"]) == 3
    assert "Traceback" in capsys.readouterr().err


def test_log_falls_back_when_the_state_folder_cannot_be_made(
    stand_in: StandIn, capsys: Capture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    temporary = tmp_path / "tmp"
    temporary.mkdir()
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))
    monkeypatch.setattr("tempfile.tempdir", str(temporary))
    stand_in("jobs", check=raising(ValueError()))
    assert main(["check", "job"]) == 3
    assert str(temporary / "abreast-fault.log") in capsys.readouterr().err


def test_too_little_memory_is_told(stand_in: StandIn, capsys: Capture) -> None:
    stand_in("jobs", check=raising(MemoryError()))
    assert main(["check", "job"]) == 2
    assert "needs more memory" in capsys.readouterr().err


def test_interrupt_is_a_clean_stop(stand_in: StandIn, capsys: Capture) -> None:
    stand_in("jobs", check=raising(KeyboardInterrupt()))
    assert main(["check", "job"]) == 130
    assert capsys.readouterr() == ("", "abreast: stopped\n")


@pytest.mark.parametrize(
    ("sent", "status", "said"),
    [(signal.SIGINT, 130, "abreast: stopped\n"), (signal.SIGTERM, 143, "")],
)
def test_a_signal_to_the_process_while_it_waits_for_input(
    tmp_path: Path, sent: signal.Signals, status: int, said: str
) -> None:
    ours, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-P", "-m", "abreast", "solve", "-"],
        stdin=theirs,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=tmp_path,
        # A shell that starts the tests behind its back has Ctrl-C ignored in them.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # noqa: PLW1509 - no threads
    )
    assert process.stderr is not None
    hint = process.stderr.readline()
    assert hint == "abreast: reading from the terminal; Ctrl-D ends the input\n"
    process.send_signal(sent)
    out, err = process.communicate(timeout=10)
    os.close(ours)
    os.close(theirs)
    assert (process.returncode, out, err) == (status, "", said)


def test_reader_that_leaves_is_nothing_to_speak_of(tmp_path: Path) -> None:
    done = shell("abreast --help | (exec <&-; sleep 0.3); echo ${PIPESTATUS[0]}", tmp_path)
    assert done.stdout.strip() in {"141", "0"}
    assert done.stderr == ""


def test_full_disk_is_told(tmp_path: Path) -> None:
    if not Path("/dev/full").exists():
        assert sys.platform != "linux"
        return
    done = shell("abreast --help >/dev/full", tmp_path)
    assert done.returncode == 2
    assert done.stderr == "abreast: the output could not be written: no space left on device\n"


def test_closed_output_is_no_fault(tmp_path: Path) -> None:
    done = shell("abreast --help >&- 2>&-", tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
