"""A pack is written whole or not at all, and only over an unchanged pack of ours."""

from __future__ import annotations

from pathlib import Path

import pytest

from abreast.actions import pack
from abreast.actions.pack import INDEX, check_target, index_text, write_pack
from abreast.errors import InputError

FILES = {"tally.txt": b"one\n", "plan.json": b"{}\n"}


def whole(files: dict[str, bytes]) -> dict[str, bytes]:
    return files | {INDEX: index_text({"job": "X"}, files, {}).encode()}


def content(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_new_pack_stands_alone_in_its_folder(tmp_path: Path) -> None:
    out = tmp_path / "deep" / "pack"
    write_pack(out, whole(FILES))
    assert content(out) == whole(FILES)
    assert [path.name for path in out.parent.iterdir()] == ["pack"]


def test_an_unchanged_pack_is_replaced_as_a_whole(tmp_path: Path) -> None:
    out = tmp_path / "pack"
    write_pack(out, whole(FILES))
    check_target(out)
    write_pack(out, whole({"plan.json": b"[]\n"}))
    assert content(out) == whole({"plan.json": b"[]\n"})
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


@pytest.mark.parametrize("fails_at", [1, 2, 3])
def test_a_full_disk_leaves_the_old_pack(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails_at: int
) -> None:
    out = tmp_path / "pack"
    write_pack(out, whole(FILES))
    real, calls = pack._write, []

    def write(path: Path, data: bytes) -> None:
        calls.append(path)
        if len(calls) == fails_at:
            raise OSError(28, "No space left on device")
        real(path, data)

    monkeypatch.setattr(pack, "_write", write)
    with pytest.raises(InputError, match=r"cannot be written \(no space left on device\)"):
        write_pack(out, whole({"plan.json": b"[]\n", "tally.txt": b"two\n"}))
    assert content(out) == whole(FILES)
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_a_rename_that_fails_puts_the_old_pack_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "pack"
    write_pack(out, whole(FILES))
    real = Path.rename

    def rename(self: Path, target: Path) -> Path:
        if ".new-" in self.name:
            raise OSError(5, "Input/output error")
        return real(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(InputError, match="cannot be written"):
        write_pack(out, whole({"plan.json": b"[]\n"}))
    assert content(out) == whole(FILES)


@pytest.mark.parametrize("name", ["../evil.txt", "a/b.txt", "/etc/passwd.txt", "..", ".hidden", ""])
def test_names_that_lead_out_are_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match="no plain file name"):
        write_pack(tmp_path / "pack", {name: b""})
    assert list(tmp_path.iterdir()) == []


def test_new_and_empty_folders_are_let_pass(tmp_path: Path) -> None:
    check_target(tmp_path / "new")
    (tmp_path / "empty").mkdir()
    check_target(tmp_path / "empty")
    write_pack(tmp_path / "empty", whole(FILES))
    assert content(tmp_path / "empty") == whole(FILES)


def test_a_folder_of_somebody_else_is_refused(tmp_path: Path) -> None:
    (tmp_path / "letters.txt").write_text("dear all")
    with pytest.raises(InputError, match="holds files and is no work pack"):
        check_target(tmp_path)


def test_notes_in_a_pack_are_not_thrown_away(tmp_path: Path) -> None:
    write_pack(tmp_path / "pack", whole(FILES))
    (tmp_path / "pack" / "notes.txt").write_text("ring the yard")
    with pytest.raises(InputError, match=r"holds 'notes\.txt', which is not of the pack"):
        check_target(tmp_path / "pack")


def test_a_pack_changed_by_hand_is_not_thrown_away(tmp_path: Path) -> None:
    write_pack(tmp_path / "pack", whole(FILES))
    (tmp_path / "pack" / "tally.txt").write_text("one, signed A. Pell\n")
    with pytest.raises(InputError, match=r"tally\.txt was changed since it was written"):
        check_target(tmp_path / "pack")


def test_an_index_that_names_files_elsewhere_is_no_key(tmp_path: Path) -> None:
    """A forged index cannot make a file outside the folder count as of the pack."""
    (tmp_path / "secret.txt").write_text("x")
    out = tmp_path / "pack"
    out.mkdir()
    (out / INDEX).write_text(f"{pack._MARK}\n{'0' * 64}  ../secret.txt\n")
    (out / "link.txt").symlink_to(tmp_path / "secret.txt")
    with pytest.raises(InputError, match="not of the pack"):
        check_target(out)


def test_links_files_and_the_job_itself_are_refused(tmp_path: Path) -> None:
    job = tmp_path / "job"
    job.mkdir()
    (tmp_path / "link").symlink_to(job)
    (tmp_path / "file").write_text("")
    for out, words in (
        (tmp_path / "link", "is a link"),
        (tmp_path / "file", "is no folder"),
        (job / "pack", "lies in the job folder"),
        (job, "lies in the job folder"),
        (tmp_path / "x" / ".." / "job" / "pack", "lies in the job folder"),
    ):
        with pytest.raises(InputError, match=words):
            check_target(out, job)
