"""Text and JSON from a file or from standard input ('-')."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import NoReturn

from abreast.errors import InputError, Where

__all__ = ["STDIN_NAME", "read_json", "read_text"]

STDIN_NAME = "standard input"


def read_text(source: str) -> tuple[str, str]:
    """Text of a file, or of standard input when the name is '-'.

    Returns
    -------
    tuple of str
        The text, and the name to use for it in messages.

    Raises
    ------
    InputError
        When the bytes are not UTF-8.
    """
    name = STDIN_NAME if source == "-" else source
    raw = _standard_input() if source == "-" else Path(source).read_bytes()
    try:
        return raw.decode("utf-8-sig"), name
    except UnicodeDecodeError as fault:
        message = f"byte {fault.start + 1} is not UTF-8; save the file as UTF-8 text"
        raise InputError(message, code="not-utf8", where=Where(file=name)) from None


def read_json(source: str) -> object:
    """The one JSON value of a file or of standard input; numbers must be finite.

    Raises
    ------
    InputError
        When the text is not JSON.
    """
    text, name = read_text(source)
    try:
        value: object = json.loads(
            text, parse_constant=_refuse_constant, object_pairs_hook=_each_once
        )
    except (ValueError, RecursionError) as fault:
        message = f"not readable as JSON ({fault}); write one JSON object"
        raise InputError(message, code="bad-json", where=Where(file=name)) from None
    return value


def _standard_input() -> bytes:
    if sys.stdin is None:
        message = "there is no standard input; name a file instead of '-'"
        raise InputError(message, code="no-input")
    if sys.stdin.isatty():
        print("abreast: reading from the terminal; Ctrl-D ends the input", file=sys.stderr)
    return sys.stdin.buffer.read()


def _each_once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        message = f"the field {twice!r:.60} stands twice in one object"
        raise ValueError(message)
    return found


def _refuse_constant(word: str) -> NoReturn:
    message = f"{word} is not a number JSON knows"
    raise ValueError(message)
