"""Small values that people write as a few words: the end of a pipe, a signature."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, PlainSerializer, WithJsonSchema

__all__ = ["End", "EndText", "Gender", "Signature", "SignatureText"]

Gender = Literal["pin", "box", "flange", "plain"]
_END = re.compile(r"(?P<thread>\S.*?)?\s*\b(?P<gender>pin|box|flange|plain)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class End:
    """One end of a piece: the thread code of the user's own table, and pin or box."""

    thread: str
    gender: Gender

    def __str__(self) -> str:
        return f"{self.thread} {self.gender}".strip()

    @classmethod
    def parse(cls, text: str) -> End:
        """An end from ``SF pin``; ``plain`` alone is an end that screws into nothing.

        Raises
        ------
        ValueError
            If pin or box is not said, or a pin or box has no thread code.
        """
        found = _END.fullmatch(" ".join(text.split()))
        gender: Any = found["gender"].lower() if found else ""
        thread = (found["thread"] or "") if found else ""
        if not found or (gender in ("pin", "box") and not thread):
            message = f"{text!r} is no end; write thread code and pin or box, for example SF pin"
            raise ValueError(message)
        return cls(thread, gender)

    def mates(self, other: End) -> bool:
        """Whether the two screw into one another: one pin, one box, the same thread."""
        return self.thread == other.thread and {self.gender, other.gender} == {"pin", "box"}


@dataclass(frozen=True, slots=True)
class Signature:
    """Who signed and on which day."""

    name: str
    day: date

    def __str__(self) -> str:
        return f"{self.name}, {self.day.isoformat()}"

    @classmethod
    def parse(cls, text: str) -> Signature:
        """A signature from ``A. Pell, 2024-05-01``.

        Raises
        ------
        ValueError
            If the name or the day is missing, or the day is not year-month-day.
        """
        name, _, day = text.rpartition(",")
        try:
            when = date.fromisoformat(day.strip())
        except ValueError:
            when = None
        if when is None or not name.strip():
            message = f"{text!r} is no signature; write name and day: A. Pell, 2024-05-01"
            raise ValueError(message)
        return cls(name.strip(), when)


def _end(value: Any) -> Any:
    return End.parse(value) if isinstance(value, str) else value


def _signature(value: Any) -> Any:
    return Signature.parse(value) if isinstance(value, str) else value


_AS_TEXT = PlainSerializer(str, return_type=str)
EndText = Annotated[
    End,
    BeforeValidator(_end),
    _AS_TEXT,
    WithJsonSchema({"type": "string", "examples": ["SF pin", "EU box"]}),
]
SignatureText = Annotated[
    Signature,
    BeforeValidator(_signature),
    _AS_TEXT,
    WithJsonSchema({"type": "string", "examples": ["A. Pell, 2024-05-01"]}),
]
