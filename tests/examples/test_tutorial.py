"""The tutorial, followed to the letter in an empty folder: it works, and prints what it shows."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "tutorial.md"
FENCE = re.compile(r"^```(sh|text)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
FINGERPRINT = re.compile(r"\b[0-9A-F]{4}-[0-9A-F]{4}-[A-Z]\b")
LEFT_OUT = "…"


def steps() -> list[tuple[str, str]]:
    """Each shell block and the output shown after it."""
    found = FENCE.findall(PAGE.read_text(encoding="utf-8"))
    kinds = [kind for kind, _ in found]
    assert kinds == ["sh", "text"] * (len(kinds) // 2)
    return [(found[n][1], found[n + 1][1]) for n in range(0, len(found), 2)]


def run(script: str, folder: Path, programs: Path) -> str:
    path = f"{programs}{os.pathsep}{os.environ['PATH']}"
    ran = subprocess.run(
        ["bash", "-c", script],
        cwd=folder,
        env={**os.environ, "PATH": path, "COLUMNS": "100"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert ran.returncode in (0, 1), ran.stderr
    return ran.stdout


def missing(shown: str, printed: str) -> list[str]:
    """Lines shown that the program did not print in this order; the fingerprint is free."""
    lines = iter(FINGERPRINT.sub("", printed).splitlines())
    wanted = [line for line in FINGERPRINT.sub("", shown).splitlines() if line != LEFT_OUT]
    return [line for line in wanted if not any(line.rstrip() == one.rstrip() for one in lines)]


@pytest.fixture
def programs(tmp_path: Path) -> Path:
    """A folder with ``abreast`` in it, as on the path of somebody who has installed it."""
    folder = tmp_path / "programs"
    folder.mkdir()
    program = folder / "abreast"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -P -m abreast "$@"\n')
    program.chmod(0o755)
    return folder


def test_the_tutorial_does_what_it_shows(tmp_path: Path, programs: Path) -> None:
    place = tmp_path / "place"
    place.mkdir()
    for script, shown in steps():
        printed = run(script, place, programs)
        assert missing(shown, printed) == [], printed


def test_there_is_a_step_for_each_thing_a_new_user_does() -> None:
    told = " ".join(script for script, _ in steps())
    for word in ("abreast init", "abreast check", "corrections.csv", "abreast plan", "in_well"):
        assert word in told
    assert told.count("abreast plan") == 2


def test_a_line_that_is_not_printed_is_seen() -> None:
    assert missing("a\n…\nc\n", "a\nb\nc\n") == []
    assert missing("a\nx\n", "a\nb\nc\n") == ["x"]
    assert missing("c\na\n", "a\nb\nc\n") == ["a"]
    assert missing("f 0F38-5790-T\n", "f 6AF8-8A47-M\n") == []
