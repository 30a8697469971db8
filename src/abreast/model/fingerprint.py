"""The fingerprint by which a sheet printed from an older job is recognised."""

from __future__ import annotations

import hashlib
import json
from dataclasses import fields, is_dataclass
from datetime import date
from typing import Any
from weakref import ref

from pydantic import BaseModel

from abreast import __version__
from abreast.model.job import Job
from abreast.model.texts import End, Signature

__all__ = ["canonical_json", "digest", "fingerprint", "is_fingerprint", "short"]

# 23 letters, a prime number, without I, O and Z: any one wrong digit and any two
# digits swapped change the letter.
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXY"
_SHOWN = 8
_LAST: list[tuple[ref[Job], str]] = []


def _plain(value: Any) -> Any:
    if isinstance(value, BaseModel):
        return {name: _plain(item) for name, item in value.__dict__.items()}
    if isinstance(value, (End, Signature)):
        return str(value)
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value) if f.compare}
    if isinstance(value, (tuple, list)):
        return [_plain(item) for item in value]
    if isinstance(value, date):
        return value.isoformat()
    # Minus zero is zero, and so is written alike.
    return value + 0.0 if isinstance(value, float) else value


def canonical_json(job: Job) -> str:
    """The job as text: keys sorted, SI values, without what was typed or only found on reading."""
    data = _plain(job)
    del data["suspicions"]
    return json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def digest(job: Job, version: str = __version__) -> str:
    """SHA-256 of the canonical job and the version of this program, 64 hexadecimal digits."""
    text = f"abreast {version}\n{canonical_json(job)}"
    return hashlib.sha256(text.encode()).hexdigest()


def short(full: str) -> str:
    """A digest as people read it: 8 hexadecimal digits and a check letter.

    Examples
    --------
    >>> short("3f9a07c2" + 56 * "0")
    '3F9A-07C2-N'
    """
    head = full[:_SHOWN].upper()
    return f"{head[:4]}-{head[4:]}-{_letter(head)}"


def _letter(head: str) -> str:
    total = sum(place * int(digit, 16) for place, digit in enumerate(head, 1))
    return _LETTERS[total % len(_LETTERS)]


def fingerprint(job: Job) -> str:
    """The fingerprint shown on every page: 8 digits and a check letter.

    That of the job asked about last is kept, for every sheet of a pack asks again; a job
    never changes.
    """
    for one, known in tuple(_LAST):
        if one() is job:
            return known
    found = short(digest(job))
    _LAST[:] = [(ref(job), found)]
    return found


def is_fingerprint(text: str) -> bool:
    """Whether a fingerprint read off a page holds together; spaces and hyphens are free."""
    plain = "".join(text.upper().replace("-", "").split())
    head, letter = plain[:_SHOWN], plain[_SHOWN:]
    hexadecimal = len(head) == _SHOWN and set(head) <= set("0123456789ABCDEF")
    return hexadecimal and letter == _letter(head)
