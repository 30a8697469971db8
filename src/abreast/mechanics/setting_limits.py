"""What a job says of where its string may be set: the length that counts, and every limit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from abreast.errors import InputError, MissingInputError
from abreast.mechanics.needs import needs_of
from abreast.mechanics.setting_depth import Assembly, Body, Limit, Limits
from abreast.model import Assembly as TwinString
from abreast.model import EspPiece, Job, PlacedPiece, Quantity
from abreast.spaceout.placing import BASE_ID

__all__ = ["RATED_KINDS", "Hung", "Lacking", "Topic", "hung", "limit_of"]

Topic = Literal["setting", "passing", "inclination", "stress", "well", "hole"]

RATED_KINDS = ("motor", "protector")
"""Kinds of ESP piece that are rated for an inclination: common practice, no source."""
_SAME = 1e-9
_DOGLEGS = {
    "set_dogleg_rad_m": "max_dogleg_set_rad_m",
    "pass_dogleg_rad_m": "max_dogleg_pass_rad_m",
}


class Lacking(NamedTuple):
    """An input that nobody gave, and the question that stays open without it."""

    topic: Topic
    need: str


@dataclass(frozen=True, slots=True)
class Hung:
    """What hangs, and what binds it.

    Parameters
    ----------
    straight : Assembly
        From the top of the Y-tool to the lowest ESP piece or base support, with
        the ESP pieces as bodies.
    tail_m : float
        What hangs below that [m].
    limits : Limits
        Of doglegs, the strictest of the rules and of all pieces.
    lacking : tuple of Lacking
        Limits that nobody gave.
    """

    straight: Assembly
    tail_m: float
    limits: Limits
    lacking: tuple[Lacking, ...]

    @property
    def length_m(self) -> float:
        """From the top of the Y-tool to the lowest end of all [m]."""
        return self.straight.length_m + self.tail_m


def hung(job: Job, assembly: TwinString) -> Hung:
    """The length that must lie straight, and the limits along it.

    Parameters
    ----------
    job : Job
        ESP pieces with their limits, rules.
    assembly : Assembly
        The twin string, planned or as run.

    Raises
    ------
    MissingInputError
        If no ESP piece stands in the string.

    Notes
    -----
    A piece whose limit is not applicable has none. Of several limits the
    strictest holds for the whole length: which part comes to lie in a bend
    depends on the tolerance of the depth.
    """
    placed = assembly.side("esp")
    if not placed:
        raise MissingInputError(needs="ESP pieces in the string")
    rows = {one.id: one for one in job.esp}
    pieces = [(one, rows[one.id]) for one in placed if one.id in rows]
    foot = [one.bottom_m for one in assembly.pieces if one.id == BASE_ID]
    bottom_m = min(*(one.bottom_m for one in placed), *foot)
    lowest_m = min(one.bottom_m for one in assembly.pieces)
    esp = [piece for _, piece in pieces]
    sizes = [od for od in (one.body_od_m.known for one in esp) if od is not None]
    if not sizes:
        raise MissingInputError(needs="body od of the ESP pieces")
    straight = Assembly(
        assembly.top_m - bottom_m,
        max(sizes),
        max(one.top_m - one.bottom_m for one in placed),
        bodies=tuple(_body(assembly, one, piece) for one, piece in pieces),
    )
    limits = Limits(
        running_rad_m=_strictest(job, esp, "pass_dogleg_rad_m"),
        setting_rad_m=_strictest(job, esp, "set_dogleg_rad_m"),
    )
    return Hung(straight, bottom_m - lowest_m, limits, tuple(_open(job, esp)))


def _body(assembly: TwinString, placed: PlacedPiece, piece: EspPiece) -> Body:
    return Body(
        piece.id,
        assembly.top_m - placed.top_m,
        placed.top_m - placed.bottom_m,
        piece.body_od_m.known,
        limit_of(piece.max_inclination_rad),
        limit_of(piece.bending_stress_pa),
    )


def limit_of(value: Quantity) -> Limit | None:
    """A value as a limit with its origin; None when there is none.

    Raises
    ------
    InputError
        If it is below zero, by the name of the value.
    """
    if value.known is None:
        return None
    if value.known < 0:
        message = f"the {value.label or 'limit'} is below 0; correct its sign"
        raise InputError(message, code="out-of-range")
    return Limit(value.known, str(value.origin))


def _strictest(job: Job, esp: Sequence[EspPiece], field: str) -> Limit | None:
    """The strictest limit, with all whose limit it is."""
    given = [("rules of the job", getattr(job.rules, _DOGLEGS[field]))]
    given += [(one.id, getattr(one, field)) for one in esp]
    known = [(name, value) for name, value in given if value.known is not None]
    if not known:
        return None
    least = min(limit.value for _, value in known if (limit := limit_of(value)))
    owners: dict[str, list[str]] = {}
    for name, value in known:
        if value.si <= least * (1 + _SAME):
            owners.setdefault(str(value.origin), []).append(name)
    origin = "; ".join(f"{', '.join(names)}: {origin}" for origin, names in owners.items())
    return Limit(least, origin)


def _open(job: Job, esp: Sequence[EspPiece]) -> Iterator[Lacking]:
    topics: tuple[Topic, Topic] = ("setting", "passing")
    for topic, (field, rule) in zip(topics, _DOGLEGS.items(), strict=True):
        yield from (Lacking(topic, need) for need in needs_of(getattr(job.rules, rule)))
        yield from _missing(topic, esp, field)
    rated = [one for one in esp if one.kind in RATED_KINDS]
    yield from _missing("inclination", rated, "max_inclination_rad")
    yield from _missing("stress", esp, "bending_stress_pa")
    wide = [one for one in esp if one.bending_stress_pa.is_given]
    yield from _missing("stress", wide, "body_od_m")


def _missing(topic: Topic, esp: Sequence[EspPiece], field: str) -> Iterator[Lacking]:
    """Pieces whose limit is missing, in one line."""
    missing = [one for one in esp if getattr(one, field).state == "not measured"]
    if missing:
        (need,) = needs_of(getattr(missing[0], field))
        more = [one.id for one in missing[1:]]
        others = f" and of {', '.join(more)}" if more else ""
        yield Lacking(topic, f"{need}{others}")
