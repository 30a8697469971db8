"""The lock files: complete, hashed, in step with pyproject.toml, and free of addresses."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[2]
LOCKS = ("requirements.lock", "requirements-dev.lock")
PIN = re.compile(r"^([A-Za-z0-9._-]+)==([^ ;]+)( ; [^\\]+)? \\$")
HASH = re.compile(r"^    --hash=sha256:[0-9a-f]{64}( \\)?$")


def pins(name: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for line in (ROOT / name).read_text().splitlines():
        if hit := PIN.match(line):
            found.setdefault(canonicalize_name(hit[1]), []).append(hit[2])
    return found


def project() -> dict[str, object]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text())


@pytest.mark.parametrize("name", LOCKS)
def test_every_line_is_a_pin_or_its_hash(name: str) -> None:
    """No index address, no path of a machine, nothing that is not pinned and hashed."""
    pinned = False
    for line in (ROOT / name).read_text().splitlines():
        if line.startswith("#"):
            assert "http" not in line and "/" not in line.replace("scripts/lock.sh", ""), line
        elif PIN.match(line):
            pinned = True
        else:
            assert pinned and HASH.match(line), line


@pytest.mark.parametrize("name", LOCKS)
def test_locks_hold_what_the_project_asks_for(name: str) -> None:
    data = project()
    wanted = [*data["project"]["dependencies"]]
    extras = data["project"]["optional-dependencies"]
    wanted += extras["workbook"] + data["dependency-groups"]["build"]
    if name == "requirements-dev.lock":
        wanted += extras["dev"]
    locked = pins(name)
    for text in wanted:
        asked = Requirement(text)
        versions = locked.get(canonicalize_name(asked.name))
        assert versions, f"{name} lacks {asked.name}; run scripts/lock.sh"
        assert all(v in asked.specifier for v in versions), f"{asked} against {versions}"


def test_build_requirement_is_the_locked_one() -> None:
    data = project()
    assert data["build-system"]["requires"] == data["dependency-groups"]["build"]


def test_developer_lock_only_adds_to_the_users_lock() -> None:
    users, developers = pins(LOCKS[0]), pins(LOCKS[1])
    assert {name: developers.get(name) for name in users} == users
    assert "ortools" not in users and "pytest" not in users
