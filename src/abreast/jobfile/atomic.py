"""Files that are either the old ones or the new ones, never half of each."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from abreast.errors import InputError, Where

__all__ = ["write_files"]


def write_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a folder: each to a temporary name, then all renamed.

    Parameters
    ----------
    folder : Path
        Made when it is not there.
    files : mapping
        Content by name; renamed in this order.

    Raises
    ------
    InputError
        If the folder can't be written to; then no file has changed.
    """
    ready: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            ready.append((_temporary(folder, name, content), folder / name))
        while ready:
            temporary, final = ready[0]
            temporary.replace(final)
            ready.pop(0)
    except OSError as fault:
        message = f"cannot be written ({fault.strerror or 'system error'}); check name and rights"
        raise InputError(message, code="unwritable", where=Where(folder.name)) from None
    finally:
        for temporary, _ in ready:
            temporary.unlink(missing_ok=True)


def _temporary(folder: Path, name: str, content: bytes) -> Path:
    number, path = tempfile.mkstemp(prefix=f".{name}.", dir=folder)
    try:
        with os.fdopen(number, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
    except OSError:
        Path(path).unlink(missing_ok=True)
        raise
    # mkstemp makes files only their owner can read; a job folder is shared.
    mask = os.umask(0)
    os.umask(mask)
    Path(path).chmod(0o666 & ~mask)
    return Path(path)
