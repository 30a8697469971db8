"""What is said, and which exit status is given, when a command does not end well."""

from __future__ import annotations

import contextlib
import json
import os
import sys
import tempfile
import traceback
from pathlib import Path

from abreast.errors import AbreastError, InputError, Where

__all__ = ["DONE", "EXCEEDS", "INTERRUPTED", "OUR_FAULT", "READER_GONE", "TERMINATED", "UNUSABLE"]

DONE = 0
EXCEEDS = 1
UNUSABLE = 2
OUR_FAULT = 3
INTERRUPTED = 130
READER_GONE = 141
TERMINATED = 143


def report(fault: AbreastError, *, as_json: bool) -> int:
    """Say what is wrong in one sentence; with ``--json`` the same facts as an object too."""
    _say(fault, as_json=as_json)
    return OUR_FAULT if fault.code == "wrong-answer" else fault.exit_status


def of_the_machine(fault: OSError | MemoryError) -> AbreastError:
    """A file that cannot be opened, a full disk, too little memory, as an error for the user."""
    if isinstance(fault, MemoryError):
        return InputError("needs more memory than this machine has; try a smaller input")
    reason = (fault.strerror or str(fault) or type(fault).__name__).lower()
    if fault.filename is None:
        _detach_stdout()
        return InputError(f"the output could not be written: {reason}", code="output")
    message = f"cannot be used: {reason}; check the name and the rights"
    return InputError(message, code="file", where=Where(file=os.fsdecode(fault.filename)))


def our_own(fault: Exception, words: list[str], *, as_json: bool) -> int:
    """A defect of this program: say so, and keep the details in a log for whoever mends it."""
    if os.environ.get("ABREAST_DEBUG"):
        traceback.print_exception(fault)
    message = (
        f"this is a fault of abreast, not of your input ({type(fault).__name__}); nothing it"
        f" printed before this line can be relied on; please report it with {_log(fault, words)}"
    )
    _say(AbreastError(message, code="internal"), as_json=as_json)
    return OUR_FAULT


def interrupted() -> int:
    """Ctrl-C: a clean stop."""
    print("abreast: stopped", file=sys.stderr)
    return INTERRUPTED


def reader_gone() -> int:
    """The program reading our output has left; there is nobody to tell."""
    _detach_stdout()
    return READER_GONE


def _detach_stdout() -> None:
    """Python flushes standard output at exit and would complain there; let that go nowhere."""
    with contextlib.suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _say(fault: AbreastError, *, as_json: bool) -> None:
    if as_json:
        print(json.dumps({"error": fault.as_dict()}))
    print(f"abreast: {fault}", file=sys.stderr)


def _log(fault: Exception, words: list[str]) -> str:
    """Write the traceback where the user can send it from; the place in words."""
    lines = [f"abreast {' '.join(words)}\n", *traceback.format_exception(fault)]
    for folder in (_state_folder(), Path(tempfile.gettempdir())):
        try:
            folder.mkdir(parents=True, exist_ok=True)
            path = folder / "abreast-fault.log"
            path.write_text("".join(lines), encoding="utf-8")
        except OSError:
            continue
        return f"the log {path}"
    return "what ABREAST_DEBUG=1 shows (no log could be written)"


def _state_folder() -> Path:
    base = os.environ.get("XDG_STATE_HOME")
    return (Path(base) if base else Path("~/.local/state").expanduser()) / "abreast"
