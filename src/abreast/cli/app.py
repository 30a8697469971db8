"""Entry point: one command in, results on standard output, one exit status out."""

from __future__ import annotations

import signal
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from abreast.cli import faults, output
from abreast.cli.parser import build_parser
from abreast.errors import AbreastError

__all__ = ["main"]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return the exit status; never raises.

    Parameters
    ----------
    argv : sequence of str, optional
        The words after ``abreast``; those of the process when left out.

    Returns
    -------
    int
        0 done; 1 done, but a limit is exceeded, something is refused or there
        is no solution; 2 input could not be used; 3 a fault of this program;
        130 stopped with Ctrl-C; 141 whoever read the output has gone; 143 ended
        by another program.
    """
    words = list(sys.argv[1:] if argv is None else argv)
    output.prepare_streams()
    try:
        with _termination_heeded():
            return _run(words)
    except KeyboardInterrupt:
        return faults.interrupted()
    except BrokenPipeError:
        return faults.reader_gone()
    except _TerminatedError:
        return faults.TERMINATED


class _TerminatedError(BaseException):
    """Another program wants this one to end: no search may take it for a Ctrl-C of its own."""


@contextmanager
def _termination_heeded() -> Iterator[None]:
    """Leave by way of every ``finally``, so that no process and no half of a file is left."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGTERM, _terminated)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


def _terminated(*_: object) -> None:
    raise _TerminatedError


def _run(words: list[str]) -> int:
    as_json = "--json" in words
    try:
        status = _parse_and_call(words)
        sys.stdout.flush()
    except AbreastError as fault:
        return faults.report(fault, as_json=as_json)
    except BrokenPipeError:
        raise
    except (OSError, MemoryError) as fault:
        return faults.report(faults.of_the_machine(fault), as_json=as_json)
    except Exception as fault:  # the last resort: a user never sees a traceback
        return faults.our_own(fault, words, as_json=as_json)
    return status


def _parse_and_call(words: list[str]) -> int:
    parser = build_parser()
    try:
        args = parser.parse_args(words)
    except SystemExit as done:  # --help and --version print and leave
        return int(done.code or 0)
    status: int = args.run(args)
    return status
