"""A short run of the fuzz script, always the same rounds: refused in one sentence, or read."""

from __future__ import annotations

import random
import subprocess
import sys
from pathlib import Path

import pytest
from scripts import fuzz, mutations

SCRIPT = Path(__file__).resolve().parents[1] / "scripts" / "fuzz.py"


def test_sixty_spoilt_inputs_of_every_kind() -> None:
    """In a process of its own, so that its limit of memory holds for nothing else."""
    ran = subprocess.run(
        [sys.executable, str(SCRIPT), "--rounds", "60", "--salt", "7"],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr[-2000:]
    for kind in fuzz.TARGETS:
        assert f"  {kind}: " in ran.stdout


def raising(fault: Exception) -> fuzz.Target:
    def target(_rng: random.Random, _place: Path) -> str:
        raise fault

    return target


def sleeping(_rng: random.Random, _place: Path) -> str:
    while True:
        pass


@pytest.mark.parametrize(
    ("target", "told"),
    [
        pytest.param(raising(KeyError("P24")), "KeyError", id="a fault of ours"),
        pytest.param(raising(MemoryError()), "MemoryError", id="memory"),
        pytest.param(raising(fuzz.AbreastError("")), "0 characters", id="empty message"),
        pytest.param(
            raising(fuzz.AbreastError("x", code="wrong-answer")), "x", id="answer found wrong"
        ),
        pytest.param(sleeping, "TooSlowError", id="too slow"),
    ],
)
def test_what_must_not_happen_is_seen(
    target: fuzz.Target, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(fuzz.TARGETS, "folder", target)
    monkeypatch.setattr(fuzz, "MOST_SECONDS", 0.2)
    tally = fuzz.run(range(1), 1, "folder")
    assert len(tally.failures) == 1
    assert told in tally.failures[0]


@pytest.mark.parametrize("text", ["", "a\x07b", "x" * 301, "Traceback (most recent call last)"])
def test_messages_that_are_no_plain_sentence_are_refused(text: str) -> None:
    with pytest.raises(fuzz.WrongError):
        fuzz.check_sentence(text)


def test_a_round_can_be_repeated() -> None:
    files = fuzz.good_files("quernstone_14/corrected")
    for name, content in files.items():
        once, again = (fuzz.spoil_file(random.Random("3 14"), name, content) for _ in range(2))
        assert once == again
    tree = {"a": [1, 2, {"b": "c"}], "d": 4.5}
    spoilt = [mutations.spoil_tree(random.Random(n), tree) for n in range(200)]
    assert tree == {"a": [1, 2, {"b": "c"}], "d": 4.5}
    assert sum(one != tree for one in spoilt) > 150
