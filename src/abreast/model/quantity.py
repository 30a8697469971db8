"""A physical input as people know it: a value with its origin, or the reason there is none.

Three states and no fourth: given, not measured (why), not applicable (why). A
blank is never zero. What was typed is kept beside the SI value for printing; it
takes no part in comparing two values.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import BeforeValidator

from abreast.errors import MissingInputError
from abreast.formulas.tubulars import OverallLength, effective_length

__all__ = [
    "ORIGIN_KINDS",
    "Across",
    "Effective",
    "FromZero",
    "HeightZero",
    "Origin",
    "Overall",
    "Quantity",
    "State",
    "as_effective",
    "as_overall",
    "as_quantity",
    "missing",
]

State = Literal["given", "not measured", "not applicable"]
OriginKind = Literal[
    "unstated",
    "sheet",
    "measured",
    "maker",
    "standard",
    "common practice",
    "calculated",
    "assumed",
    "invented",
]
ORIGIN_KINDS: tuple[OriginKind, ...] = (
    "unstated",
    "sheet",
    "measured",
    "maker",
    "standard",
    "common practice",
    "calculated",
    "assumed",
    "invented",
)
HeightZero = Literal["esp", "base lower shoulder", "bypass connection"]
NOT_GIVEN = "not given"


@dataclass(frozen=True, slots=True)
class Across:
    """Mark of a field that is a size of the cross-section: inches or millimetres."""


@dataclass(frozen=True, slots=True)
class FromZero:
    """Mark of a height that files may count from another zero than the ESP frame."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a value comes from: one word of a fixed list, and who or which sheet."""

    kind: OriginKind = "unstated"
    by: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "by", " ".join(self.by.split()))

    def __str__(self) -> str:
        return f"{self.kind}: {self.by}" if self.by else self.kind

    @classmethod
    def parse(cls, text: str) -> Origin:
        """Origin from ``sheet``, ``sheet: 1142 rev B`` or ``measured by A. Pell``.

        Raises
        ------
        ValueError
            If the first word is none of the known origins.
        """
        kind, _, by = text.partition(":")
        words = " ".join(kind.split()).lower()
        for known in ORIGIN_KINDS:
            if words == known or words.startswith(f"{known} by "):
                name = " ".join(kind.split())[len(known) + 4 :]
                return cls(known, " ".join((f"{name} {by}" if name else by).split()))
        message = f"origin {text.strip()!r} is not known; use one of {', '.join(ORIGIN_KINDS)}"
        raise ValueError(message)


UNSTATED = Origin()


@dataclass(frozen=True, slots=True)
class Quantity:
    """One physical input in SI, or the reason why there is none.

    Parameters
    ----------
    given : float or None
        Value in the SI unit that the field's name ends with; None unless given.
    state : {"given", "not measured", "not applicable"}
        Which of the three it is.
    reason : str
        Why there is no value; empty for a given one.
    origin : Origin
        Where the value comes from.
    typed : str
        The text as a person wrote it; never compared.
    label : str
        What the value is, in the user's words; set by the part that holds it.
    """

    given: float | None = None
    state: State = "given"
    reason: str = ""
    origin: Origin = UNSTATED
    typed: str = field(default="", compare=False)
    label: str = field(default="", compare=False)

    called: ClassVar[str] = "value"

    def __post_init__(self) -> None:
        object.__setattr__(self, "reason", " ".join(self.reason.split()))
        if self.state == "given":
            if self.given is None or not math.isfinite(self.given):
                message = "a given value is a finite number"
                raise ValueError(message)
            if self.reason:
                message = "a given value has no reason to be missing"
                raise ValueError(message)
        elif self.given is not None or not self.reason:
            message = f"'{self.state}' has a reason and no number"
            raise ValueError(message)

    @classmethod
    def of(cls, si: float, origin: Origin | str = UNSTATED, typed: str = "") -> Self:
        """A given value [SI] with its origin."""
        where = Origin.parse(origin) if isinstance(origin, str) else origin
        return cls(given=float(si), origin=where, typed=typed)

    @classmethod
    def not_measured(cls, reason: str = NOT_GIVEN) -> Self:
        """No value, because nobody has measured or stated it."""
        return cls(state="not measured", reason=reason)

    @classmethod
    def not_applicable(cls, reason: str) -> Self:
        """No value, because there is no such thing on this piece."""
        return cls(state="not applicable", reason=reason)

    @property
    def si(self) -> float:
        """The value [SI].

        Raises
        ------
        MissingInputError
            If there is none; it names what is needed.
        """
        if self.given is None:
            what = self.label or f"a {self.called}"
            because = "" if self.reason == NOT_GIVEN else f" ({self.state}: {self.reason})"
            raise MissingInputError(needs=f"{what}{because}")
        return self.given

    @property
    def known(self) -> float | None:
        """The value [SI], or None when there is none."""
        return self.given

    @property
    def is_given(self) -> bool:
        """Whether there is a value."""
        return self.given is not None

    @property
    def is_blank(self) -> bool:
        """Whether nothing at all was said: no value and no reason of its own."""
        return self.state == "not measured" and self.reason == NOT_GIVEN

    def labelled(self, label: str) -> Self:
        """The same value under a name for messages."""
        return self if self.label else replace(self, label=label)

    def or_else(self, si: float) -> float:
        """The value [SI], or ``si`` when there is none (for stated defaults only)."""
        return si if self.given is None else self.given


@dataclass(frozen=True, slots=True)
class Overall(Quantity):
    """A length as the tape reads it, end to end [m]."""

    called: ClassVar[str] = "overall length"

    def less(self, make_up_loss_m: float) -> Effective:
        """What the piece adds to the string: overall length less the make-up loss [m].

        Raises
        ------
        MissingInputError
            If the overall length is missing.
        InputError
            If the loss is negative or not shorter than the piece.
        """
        adds = effective_length(OverallLength(self.si), make_up_loss_m)
        return Effective.of(adds.m, Origin("calculated", "overall less make-up loss"))


@dataclass(frozen=True, slots=True)
class Effective(Quantity):
    """A length that a piece adds to the string [m]; never an overall length."""

    called: ClassVar[str] = "effective length"


def _coerce(value: Any, kind: type[Quantity]) -> Any:
    if value is None:
        return kind.not_measured()
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return kind.of(float(value))
    # Only a plain quantity may be read as the kind asked for; an overall length
    # is refused where an effective one is wanted, and the other way round.
    if isinstance(value, Quantity) and type(value) not in (Quantity, kind):
        message = f"is an {value.called}, needs an {kind.called}"
        raise ValueError(message)
    if type(value) is Quantity and kind is not Quantity:
        return kind(value.given, value.state, value.reason, value.origin, value.typed, value.label)
    return value


def as_quantity(value: Any) -> Any:
    """A bare SI number, None or a quantity, as a quantity."""
    return _coerce(value, Quantity)


def as_overall(value: Any) -> Any:
    """A bare SI number, None or a quantity, as an overall length."""
    return _coerce(value, Overall)


def as_effective(value: Any) -> Any:
    """A bare SI number, None or a quantity, as an effective length."""
    return _coerce(value, Effective)


COERCE = BeforeValidator(as_quantity)
Number = Annotated[Quantity, COERCE]


def missing() -> Quantity:
    """The value of an optional field that nobody has filled in."""
    return Quantity.not_measured()
