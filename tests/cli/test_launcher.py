"""The launcher of a fresh clone, with a stand-in Python: what it builds, when, and what it says."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOOLS = ("sh", "cat", "chmod", "cksum", "cp", "dirname", "flock", "mkdir", "readlink", "rm")

# Answers as Python would, notes what it was asked, and fails where the test tells it to.
FAKE_PYTHON = """#!/bin/sh
echo "$0 $*" >>"$LOG"
case "$*" in
*version_info*) exit "${OLD:-0}" ;;
*ensurepip*) exit "${NO_VENV:-0}" ;;
"-m venv .venv") mkdir -p .venv/bin && cp "$0" .venv/bin/python ;;
*--require-hashes*) [ -z "${FAIL:-}" ] || { echo 'no route to host' >&2; exit 1; } ;;
"-P -m abreast"*) shift 3; echo "ran with $*"; exit 7 ;;
esac
"""


@dataclass
class Clone:
    """A copy of what the launcher needs, and a PATH that holds nothing else."""

    home: Path
    path: Path
    log: Path

    def start(
        self, *args: str, cwd: Path | None = None, user: int | None = None, **env: str
    ) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [str(self.home / "abreast"), *args],
            capture_output=True,
            text=True,
            check=False,
            cwd=cwd or self.home,
            user=user,
            env={"PATH": str(self.path), "LOG": str(self.log), **env},
        )

    def asked(self) -> str:
        """What the stand-in was asked since the last look."""
        text = self.log.read_text() if self.log.exists() else ""
        self.log.unlink(missing_ok=True)
        return text


def _write_fake(path: Path) -> None:
    path.write_text(FAKE_PYTHON)
    path.chmod(0o755)


def make_clone(base: Path) -> Clone:
    home = base / "a clone with spaces"
    (home / "scripts").mkdir(parents=True)
    for name in ("abreast", "scripts/venv.sh", "requirements.lock", "pyproject.toml"):
        shutil.copy(ROOT / name, home / name)
    path = base / "bin"
    path.mkdir()
    for tool in TOOLS:
        found = shutil.which(tool)
        assert found, f"this test needs {tool}"
        (path / tool).symlink_to(found)
    _write_fake(path / "python3")
    return Clone(home, path, base / "log")


@pytest.fixture
def clone(tmp_path: Path) -> Clone:
    return make_clone(tmp_path)


def test_first_start_installs_the_lock_and_then_runs_the_command(clone: Clone) -> None:
    done = clone.start("plan", "a job", "-o", "x")
    asked = clone.asked()
    assert "--require-hashes -r requirements.lock" in asked
    assert asked.index("--require-hashes") < asked.index("--no-deps --no-build-isolation -e .")
    assert done.stdout == "ran with plan a job -o x\n", "set-up must not speak on standard output"
    assert done.returncode == 7, "the command's own exit status comes through"
    assert "setting up .venv from requirements.lock" in done.stderr


def test_second_start_only_runs_the_command(clone: Clone) -> None:
    clone.start("--version")
    clone.asked()
    done = clone.start("--version")
    assert clone.asked().count("\n") == 1
    assert done.stderr == ""


def test_changed_lock_is_installed_again(clone: Clone) -> None:
    clone.start("--version")
    clone.asked()
    with (clone.home / "requirements.lock").open("a") as lock:
        lock.write("# changed\n")
    clone.start("--version")
    assert "--require-hashes" in clone.asked()


def test_moved_clone_is_set_up_again(clone: Clone) -> None:
    clone.start("--version")
    clone.asked()
    clone.home = clone.home.rename(clone.home.with_name("moved"))
    clone.start("--version")
    assert "-e ." in clone.asked()


def test_failed_install_is_told_and_repeated(clone: Clone) -> None:
    done = clone.start("--version", FAIL="1")
    assert done.returncode == 2
    assert done.stdout == ""
    assert "no route to host" in done.stderr
    assert "needs the network or a folder of wheels" in done.stderr
    clone.asked()
    assert clone.start("--version").returncode == 7
    assert "--require-hashes" in clone.asked()


def test_works_from_another_folder_and_through_a_link(clone: Clone, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (tmp_path / "link").symlink_to(clone.home / "abreast")
    done = subprocess.run(
        [str(tmp_path / "link"), "demo"],
        capture_output=True,
        text=True,
        check=False,
        cwd=elsewhere,
        env={"PATH": str(clone.path), "LOG": str(clone.log)},
    )
    assert done.stdout == "ran with demo\n"
    assert list(elsewhere.iterdir()) == []


def test_missing_venv_module_names_the_debian_package(clone: Clone) -> None:
    done = clone.start("demo", NO_VENV="1")
    assert done.returncode == 2
    assert "apt install python3-venv" in done.stderr


def test_old_or_missing_python_names_the_debian_packages(clone: Clone) -> None:
    for env in ({"OLD": "1"}, {"ABREAST_PYTHON": "no-such-python", "OLD": "1"}):
        done = clone.start("demo", **env)
        assert done.returncode == 2
        assert "apt install python3 python3-venv" in done.stderr
    (clone.path / "python3").unlink()
    assert "apt install python3 python3-venv" in clone.start("demo").stderr


def test_newer_python_under_another_name_is_found(clone: Clone) -> None:
    (clone.path / "python3").rename(clone.path / "python3.12")
    assert clone.start("demo").returncode == 7


def test_wheels_folder_is_taken_relative_to_the_caller(clone: Clone, tmp_path: Path) -> None:
    (tmp_path / "my wheels").mkdir()
    clone.start("demo", cwd=tmp_path, ABREAST_WHEELS="my wheels")
    assert f"--no-index --find-links {tmp_path / 'my wheels'}" in clone.asked()
    (clone.home / ".venv/abreast-stamp").unlink()
    done = clone.start("demo", cwd=tmp_path, ABREAST_WHEELS="none here")
    assert done.returncode == 2
    assert "there is no folder none here" in done.stderr


@pytest.mark.parametrize("uv_works", [True, False])
def test_uv_is_used_when_it_is_there_and_pip_when_it_fails(clone: Clone, uv_works: bool) -> None:
    uv = clone.path / "uv"
    works = 'mkdir -p .venv/bin && cp "$(dirname "$0")/python3" .venv/bin/python'
    uv.write_text(f'#!/bin/sh\necho "uv $*" >>"$LOG"\n{works if uv_works else "exit 1"}\n')
    uv.chmod(0o755)
    assert clone.start("demo").returncode == 7
    asked = clone.asked()
    assert "uv venv" in asked
    assert ("-m pip" in asked) is not uv_works


def test_scripts_are_plain_posix_and_executable() -> None:
    for name in ("abreast", "run_tests", "scripts/venv.sh", "scripts/lock.sh"):
        done = subprocess.run(["sh", "-n", str(ROOT / name)], capture_output=True, check=False)
        assert done.returncode == 0, done.stderr
    for name in ("abreast", "run_tests", ".ci/run", "scripts/lock.sh"):
        assert os.access(ROOT / name, os.X_OK), f"{name} must be executable"


def test_folder_one_may_not_write_to_is_told() -> None:
    with tempfile.TemporaryDirectory() as name:
        base = Path(name)
        clone = make_clone(base)
        base.chmod(0o755)
        clone.home.chmod(0o555)
        nobody = 65534 if os.geteuid() == 0 else None  # root may write anywhere
        done = clone.start("demo", user=nobody)
        clone.home.chmod(0o755)
    assert done.returncode == 2
    assert f"cannot write to {clone.home}" in done.stderr
