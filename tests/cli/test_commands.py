"""What each command asks of its action, what it prints, and the exit status that follows."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from abreast.cli import main, output
from abreast.errors import InputError

Capture = pytest.CaptureFixture[str]
StandIn = Callable[..., None]
INIT = {"blank": False, "top_hung": False, "oilfield": False}


@dataclass
class Report:
    """A report as an action hands it back."""

    exit_status: int = 0
    not_checked: int = 0

    def text(self) -> str:
        return "in words\n\n"

    def as_dict(self) -> dict[str, object]:
        return {"in": "data"}


@dataclass
class Called:
    """Notes how it was called and gives a fixed answer."""

    answer: object = None
    calls: list[tuple[tuple[object, ...], dict[str, object]]] = field(default_factory=list)

    def __call__(self, *args: object, **named: object) -> object:
        self.calls.append((args, named))
        return self.answer


def feed(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    """Put text on standard input."""
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(text.encode())))


@pytest.mark.parametrize(
    ("status", "exit_status"), [("optimal", 0), ("infeasible", 1), ("stopped", 1)]
)
def test_solve_status_decides_the_exit_status(
    status: str, exit_status: int, stand_in: StandIn, tmp_path: Path, capsys: Capture
) -> None:
    solve = Called({"status": status, "items": []})
    stand_in("solve", solve_text=solve)
    path = tmp_path / "case.json"
    path.write_text("{}")
    assert main(["solve", str(path)]) == exit_status
    assert json.loads(capsys.readouterr().out) == {"status": status, "items": []}
    defaults = {"limit_s": None, "alternatives": 0, "fall_backs": False, "explain": False}
    assert solve.calls == [(("{}", str(path)), {**defaults, "progress": None})]


def test_solve_hands_on_every_option_and_reads_standard_input(
    stand_in: StandIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    solve = Called({"status": "optimal"})
    stand_in("solve", solve_text=solve)
    feed(monkeypatch, "\ufeff{}")  # a byte order mark is no part of the text
    words = "solve - --limit 2.5 --alternatives 3 --fall-backs --explain --json"
    assert main(words.split()) == 0
    given = {"limit_s": 2.5, "alternatives": 3, "fall_backs": True, "explain": True}
    assert solve.calls == [(("{}", "standard input"), {**given, "progress": None})]


@pytest.mark.parametrize(
    ("report", "strict", "exit_status"),
    [
        (Report(0, 0), False, 0),
        (Report(0, 3), False, 0),
        (Report(0, 3), True, 1),
        (Report(0, 0), True, 0),
        (Report(1, 0), False, 1),
        (Report(2, 3), True, 2),
    ],
)
def test_strict_counts_what_was_not_checked(
    report: Report, strict: bool, exit_status: int, stand_in: StandIn, capsys: Capture
) -> None:
    stand_in("jobs", check=Called(report))
    stand_in("plan", plan=Called(report), distance_m=Called())
    option = ["--strict"] if strict else []
    assert main(["check", "job", *option]) == exit_status
    assert main(["plan", "job", "-o", "out", *option]) == exit_status
    assert capsys.readouterr().out == "in words\nin words\n"


def test_plan_hands_on_its_options(stand_in: StandIn, capsys: Capture) -> None:
    plan = Called(Report())
    stand_in("plan", plan=plan, distance_m=Called(30.48))
    words = ["plan", "my job", "--out", "my pack", "--limit", "7", "--paper", "A3", "--json"]
    assert main([*words, "--every", "100 ft"]) == 0
    options = {"limit_s": 7.0, "paper": "A3", "every_m": 30.48, "progress": None}
    assert plan.calls == [((Path("my job"), Path("my pack")), options)]
    assert json.loads(capsys.readouterr().out) == {"in": "data"}


@pytest.mark.parametrize("every", ["20", "0 m", "-3 m", "20 kg", ""])
def test_a_distance_that_is_none_is_refused(every: str, capsys: Capture) -> None:
    assert main(["plan", "job", "-o", "out", f"--every={every}"]) == 2
    assert "give one above 0 with its unit" in capsys.readouterr().err


def test_demo_writes_where_it_is_told(stand_in: StandIn, capsys: Capture) -> None:
    demo = Called(Report())
    stand_in("demo", demo=demo)
    assert main(["demo"]) == 0
    assert main(["demo", "-o", "elsewhere", "--json"]) == 0
    assert [args[0] for args, _ in demo.calls] == [Path("demo_out"), Path("elsewhere")]
    assert capsys.readouterr().out.startswith("in words\n{")


def test_init_and_convert_say_what_they_wrote(stand_in: StandIn, capsys: Capture) -> None:
    init, convert = Called(), Called()
    stand_in("jobs", init=init, convert=convert)
    assert main(["init", "new"]) == 0
    assert main(["convert", "new", "new.xlsx"]) == 0
    assert main(["convert", "new", "new.xlsx", "--json"]) == 0
    assert init.calls == [((Path("new"),), INIT)]
    assert convert.calls[0] == ((Path("new"), Path("new.xlsx")), {})
    first, second, third = capsys.readouterr().out.split("\n", 2)
    assert first == "new: example job written; next: abreast check new"
    assert second == "new.xlsx: written from new"
    assert json.loads(third) == {"written": "new.xlsx"}


def test_init_blank(stand_in: StandIn, capsys: Capture) -> None:
    init = Called()
    stand_in("jobs", init=init)
    assert main(["init", "new", "--blank"]) == 0
    assert init.calls == [((Path("new"),), INIT | {"blank": True})]
    assert capsys.readouterr().out.startswith("new: blank job written")


def test_schema_is_json(stand_in: StandIn, capsys: Capture) -> None:
    stand_in("jobs", schema=Called({"type": "object"}))
    assert main(["schema"]) == 0
    assert json.loads(capsys.readouterr().out) == {"type": "object"}


def test_calc_lists_describes_and_shows_an_input(stand_in: StandIn, capsys: Capture) -> None:
    stand_in(
        "calculators",
        names=Called([("drift", "what passes"), ("sag", "how far")]),
        schema=Called({"type": "object"}),
        example=Called({"od_m": 1.0}),
    )
    assert main(["calc", "--list"]) == 0
    assert capsys.readouterr().out == "drift  what passes\nsag    how far\n"
    assert main(["calc", "--list", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)[1] == {"name": "sag", "summary": "how far"}
    assert main(["calc", "--schema", "drift"]) == 0
    assert json.loads(capsys.readouterr().out) == {"type": "object"}
    assert main(["calc", "--example", "drift"]) == 0
    assert json.loads(capsys.readouterr().out) == {"od_m": 1.0}


def test_calc_runs_on_standard_input(
    stand_in: StandIn, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    run = Called({"drift_m": 0.5})
    stand_in("calculators", schema=Called({}), run=run)
    feed(monkeypatch, '{"od_m": 1}')
    assert main(["calc", "drift"]) == 0
    assert json.loads(capsys.readouterr().out) == {"drift_m": 0.5}
    assert run.calls == [(("drift", {"od_m": 1}), {})]


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "standard input: not readable as JSON"),
        ("{", "standard input: not readable as JSON"),
        ('{"od_m": NaN}', "NaN is not a number JSON knows"),
        ("[" * 100_000, "standard input: not readable as JSON"),
    ],
)
def test_calc_input_that_is_no_json(
    text: str, part: str, stand_in: StandIn, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    stand_in("calculators", schema=Called({}), run=Called({}))
    feed(monkeypatch, text)
    assert main(["calc", "drift"]) == 2
    assert part in capsys.readouterr().err


def test_unknown_calculator_is_told_before_input_is_read(
    stand_in: StandIn, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unknown(name: str) -> None:
        message = f"there is no calculator {name!r}"
        raise InputError(message, code="unknown")

    stand_in("calculators", schema=unknown, run=Called({}))
    monkeypatch.setattr("sys.stdin", None)
    assert main(["calc", "drfit"]) == 2
    assert "there is no calculator 'drfit'" in capsys.readouterr().err


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_progress_is_shown_on_a_terminal_and_wiped_at_the_end() -> None:
    terminal = Terminal()
    with output.progress(terminal) as show:
        assert show is not None
        show("3 items")
    assert terminal.getvalue() == "\r\x1b[K3 items\r\x1b[K"


def test_progress_is_wiped_before_a_fault_is_told() -> None:
    terminal = Terminal()
    with pytest.raises(KeyError), output.progress(terminal) as show:
        assert show is not None
        show("3 items")
        raise KeyError
    assert terminal.getvalue().endswith("\r\x1b[K")


def test_progress_is_silent_elsewhere() -> None:
    with output.progress(io.StringIO()) as show:
        assert show is None


def test_json_is_written_for_the_encoding_at_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    for encoding, expected in (("utf-8", '"9⅝ in"\n'), ("latin-1", '"9\\u215d in"\n')):
        raw = io.BytesIO()
        monkeypatch.setattr("sys.stdout", io.TextIOWrapper(raw, encoding=encoding))
        output.print_json("9⅝ in")
        output.sys.stdout.flush()
        assert raw.getvalue().decode(encoding) == expected


def test_text_in_a_poor_encoding_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(raw, encoding="ascii"))
    output.prepare_streams()
    output.print_text("30°")
    output.sys.stdout.flush()
    assert raw.getvalue() == b"30\\xb0\n"
