"""The common ground of every part of a job, and the kinds of number they hold.

A field's name ends in its SI unit, which tells its dimension; these aliases
only add what the name can't say.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Annotated, Any, ClassVar

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
)

from abreast.model.quantity import (
    Across,
    Effective,
    FromZero,
    Overall,
    Quantity,
    as_effective,
    as_overall,
    as_quantity,
    missing,
)
from abreast.units import bare_name

__all__ = [
    "Count",
    "Diameter",
    "EffectiveLength",
    "Height",
    "Id",
    "OverallLength",
    "Part",
    "Text",
    "Value",
    "Words",
    "optional",
    "optional_effective",
    "optional_overall",
    "remark",
    "words",
]

_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


def _printable(text: str) -> str:
    """Text with one kind of line end; signs that no table can carry are refused."""
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    if found := _UNPRINTABLE.search(plain):
        message = f"holds the unprintable sign {found[0]!a}; type it anew"
        raise ValueError(message)
    return plain


Value = Annotated[Quantity, BeforeValidator(as_quantity)]
"""A physical input; its dimension is that of the unit its name ends in."""
Diameter = Annotated[Quantity, Across(), BeforeValidator(as_quantity)]
"""A size across the string: diameter, wall, gap [m]; written in inches or millimetres."""
Height = Annotated[Quantity, FromZero(), BeforeValidator(as_quantity)]
"""A height in the ESP frame [m]; files may count it from another zero."""
OverallLength = Annotated[Overall, BeforeValidator(as_overall)]
"""A length as the tape reads it, end to end [m]."""
EffectiveLength = Annotated[Effective, BeforeValidator(as_effective)]
"""A length that a piece adds to the string [m]."""
Count = Annotated[int, Field(ge=0, le=100_000)]
"""A whole number."""
Text = Annotated[
    str, AfterValidator(_printable), StringConstraints(strip_whitespace=True, max_length=2000)
]
"""Words, for people; may be blank."""
Words = Annotated[Text, StringConstraints(min_length=1)]
"""Words that may not be blank."""
Id = Annotated[Words, StringConstraints(max_length=80, pattern=r"^[^;\n\t]*$")]
"""The name by which other tables mean this row; a list of them is parted by semicolons."""


class Part(BaseModel):
    """An immutable part of a job; unknown fields are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    called: ClassVar[str] = "job"

    def model_post_init(self, _context: Any, /) -> None:
        """Give every quantity the name by which a message asks for it."""
        owner = self.known_as
        for name, value in self.__dict__.items():
            if isinstance(value, Quantity) and not value.label:
                self.__dict__[name] = value.labelled(f"{words(name)} of {owner}")

    @property
    def known_as(self) -> str:
        """How a message names this part: its id or name, or what it is called."""
        own = self.__dict__.get("id") or self.__dict__.get("name")
        return f"{self.called} {own}" if own else f"the {self.called}"


@cache
def words(field_name: str) -> str:
    """The name of a field as a person says it: ``body_od_m`` is 'body od'."""
    return bare_name(field_name).replace("_", " ")


def optional(description: str) -> Any:
    """A quantity that may stay open: a check that needs it then says so."""
    return Field(default_factory=missing, description=description)


def optional_overall(description: str) -> Any:
    """As :func:`optional`, for an overall length."""
    return Field(default_factory=Overall.not_measured, description=description)


def optional_effective(description: str) -> Any:
    """As :func:`optional`, for an effective length."""
    return Field(default_factory=Effective.not_measured, description=description)


def remark(description: str) -> Any:
    """Words that may stay blank."""
    return Field(default="", description=description)
