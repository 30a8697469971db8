"""A work pack on disk: all of it or none of it, and nothing of anybody else's lost."""

from __future__ import annotations

import hashlib
import os
import re
import secrets
import shutil
from collections.abc import Mapping
from pathlib import Path

from abreast.errors import InputError, Where

__all__ = ["INDEX", "check_target", "index_text", "write_pack"]

INDEX = "index.txt"
_MARK = "abreast work pack, format 1"
_ENTRY = re.compile(r"([0-9a-f]{64})  ([A-Za-z0-9_-]+\.[a-z0-9]+)(?:  .*)?")
_NAME = re.compile(r"[A-Za-z0-9_-]+\.[a-z0-9]+")


def index_text(
    head: Mapping[str, str], files: Mapping[str, bytes], about: Mapping[str, str]
) -> str:
    """The index of a pack: whose it is, and each file with its SHA-256.

    Parameters
    ----------
    head : mapping
        Captions and words for the top of it.
    files : mapping
        Content by name.
    about : mapping
        What each file is, by name.
    """
    wide = max(len(caption) for caption in head)
    lines = [_MARK, *(f"{caption:<{wide}}  {words}" for caption, words in head.items()), ""]
    lines.append("SHA-256, file, what it is:")
    for name, content in files.items():
        lines.append(
            f"{hashlib.sha256(content).hexdigest()}  {name}  {about.get(name, '')}".rstrip()
        )
    return "\n".join(lines) + "\n"


def check_target(out: Path, job: Path | None = None) -> None:
    """Refuse a folder that a pack may not be written to.

    It may be new, empty, or a pack of ours that nobody has changed since it was
    written.

    Raises
    ------
    InputError
        If it is a link, no folder, lies in the job folder, holds files that are
        not of a pack, or holds a pack that was changed by hand.
    """
    if out.is_symlink():
        raise _refused(out, "is a link; give the folder itself")
    if job is not None and job.is_dir() and out.resolve().is_relative_to(job.resolve()):
        raise _refused(out, "lies in the job folder; choose a place beside it")
    if not out.exists():
        return
    if not out.is_dir():
        raise _refused(out, "is no folder; give the name of a folder")
    found = sorted(path.name for path in out.iterdir())
    if found:
        _check_ours(out, found)


def _refused(out: Path, message: str) -> InputError:
    return InputError(message, code="target", where=Where(file=str(out)))


def _check_ours(out: Path, found: list[str]) -> None:
    listed = _listed(out)
    if listed is None:
        raise _refused(out, "holds files and is no work pack; choose a new or empty folder")
    for name in found:
        if name == INDEX:
            continue
        path = out / name
        if name not in listed or path.is_symlink() or not path.is_file():
            raise _refused(out, f"holds {name!r}, which is not of the pack; move it elsewhere")
        if hashlib.sha256(path.read_bytes()).hexdigest() != listed[name]:
            raise _refused(out, f"{name} was changed since it was written; move it elsewhere")


def _listed(out: Path) -> dict[str, str] | None:
    """Digest by name as the index tells; None when there is no index of ours."""
    index = out / INDEX
    if index.is_symlink() or not index.is_file():
        return None
    text = index.read_bytes().decode("utf-8", errors="replace")
    if not text.startswith(_MARK + "\n"):
        return None
    entries = (_ENTRY.fullmatch(line) for line in text.splitlines())
    return {entry[2]: entry[1] for entry in entries if entry}


def write_pack(out: Path, files: Mapping[str, bytes]) -> None:
    """Write all files into a folder beside ``out``, then put it in its place.

    Parameters
    ----------
    out : Path
        Where the pack goes; :func:`check_target` must have let it pass.
    files : mapping
        Content by plain file name.

    Raises
    ------
    InputError
        If a name would lead out of the folder, or nothing can be written there;
        what was at ``out`` before is still there.
    """
    for name in files:
        if not _NAME.fullmatch(name):
            message = f"{name!r} is no plain file name"
            raise InputError(message, code="bad-name", where=Where(file=str(out)))
    new = out.parent / f".{out.name}.new-{secrets.token_hex(4)}"
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        new.mkdir()
        for name, content in files.items():
            _write(new / name, content)
        _put_in_place(new, out)
    except OSError as fault:
        message = f"cannot be written ({(fault.strerror or 'system error').lower()}); check rights"
        raise InputError(message, code="unwritable", where=Where(file=str(out))) from None
    finally:
        shutil.rmtree(new, ignore_errors=True)


def _write(path: Path, content: bytes) -> None:
    with path.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _put_in_place(new: Path, out: Path) -> None:
    """Rename the new folder to its name; the old one stands aside until that is done."""
    if not out.exists():
        new.rename(out)
        return
    old = out.parent / f".{out.name}.old-{secrets.token_hex(4)}"
    out.rename(old)
    try:
        new.rename(out)
    except OSError:
        old.rename(out)
        raise
    shutil.rmtree(old, ignore_errors=True)
