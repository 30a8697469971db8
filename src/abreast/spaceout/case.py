"""A bare space-out case and its answer: the types that search and checker share.

Every length is an integer number of ticks (``tick_mm`` millimetres each), in
the ESP frame: 0 is the lower face of the ESP, positive up. The format is
described in ``docs/reference/case_format.md``.
"""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from abreast.errors import InputError, Where

__all__ = [
    "Accessory",
    "Answer",
    "Base",
    "Case",
    "Clamp",
    "Item",
    "Landing",
    "Lifts",
    "Objective",
    "Seat",
    "Union",
    "parse_case",
    "read_case_text",
]

# No length of a case is larger: 10^9 ticks of 0.1 mm are 100 km.
_FAR = 10**9
# Longest string in ticks: keeps the search's memory bounded (2 km at 0.1 mm).
_LONGEST = 20_000_000
_MOST_SEATS = 20_000
Tick = Annotated[int, Field(strict=True, ge=-_FAR, le=_FAR)]
Length = Annotated[int, Field(strict=True, ge=0, le=_FAR)]
Count = Annotated[int, Field(strict=True, ge=0, le=1000)]
Window = tuple[Tick, Tick]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="ignore")


class Item(_Part):
    """One measured piece of the stock; lengths in ticks."""

    id: Annotated[str, Field(min_length=1, max_length=200)]
    kind: str
    overall: Length
    make_up_loss: Length = 0
    effective: Annotated[int, Field(strict=True, ge=1, le=_FAR)]
    coupling: Length = 0
    upset: Length = 0
    pin: str
    box: str
    drift_ok: bool = True
    profile: Tick | None = None


class Base(_Part):
    """Top of the base at seat height 0 and the thread of its box."""

    height: Tick
    box: str


class Seat(_Part):
    """Steps the seat height (or stick-down) can take; ``locked`` once it is fixed."""

    min: Tick
    max: Tick
    step: Annotated[int, Field(strict=True, ge=1, le=_FAR)] = 1
    locked: Tick | None = None

    def options(self) -> tuple[int, ...]:
        """Every seat height that may be chosen, ascending."""
        if self.locked is not None:
            return (self.locked,)
        return tuple(range(self.min, self.max + 1, self.step))


class Union(_Part):
    """The adjustable union: usable window, wanted length, and the bucket of the objective."""

    pin: str
    min: Tick
    max: Tick
    target: Tick
    bucket: Annotated[int, Field(strict=True, ge=1, le=_FAR)]


class Clamp(_Part):
    """A twin clamp on the ESP side and how far it may be shifted along its neck."""

    id: str
    height: Tick
    shift_down: Length = 0
    shift_up: Length = 0
    half_length: Length
    clearance: Length = 0


class Landing(_Part):
    """An ESP section hanging on the false rotary at ``table``; windows relative to it."""

    id: str
    table: Tick
    window: Window
    grip: Window | None = None
    required: bool = Field(default=True, exclude=True)  # False only while looking for what blocks

    @model_validator(mode="before")
    @classmethod
    def _not_from_outside(cls, data: Any) -> Any:
        """No file can say that a landing is not required."""
        if isinstance(data, dict):
            return {key: value for key, value in data.items() if key != "required"}
        return data


class Lifts(_Part):
    """What may be made up on the rack and go up in one piece."""

    max_pieces: Annotated[int, Field(strict=True, ge=1, le=1000)]
    max_length: Length
    pre_run_height: Tick | None = None


class Accessory(_Part):
    """A kind of which exactly one is to be run, its profile point inside ``window``."""

    kind: str
    window: Window


class Case(_Part):
    """One space-out question, complete in itself."""

    name: str = ""
    tick_mm: Annotated[float, Field(gt=0, le=1000)] = 0.1
    base: Base
    seat: Seat
    gap: Tick
    union: Union
    reserve: tuple[Length, ...]
    clamps: tuple[Clamp, ...] = ()
    landings: tuple[Landing, ...] = ()
    lifts: Lifts | None = None
    landings_passed: Count | None = None
    accessories: tuple[Accessory, ...] = ()
    max_overall: Length
    max_items: Annotated[int, Field(strict=True, ge=1, le=60)]
    locked: tuple[str, ...] = ()
    excluded: tuple[str, ...] = ()
    stock: Annotated[tuple[Item, ...], Field(max_length=5000)]

    @model_validator(mode="after")
    def _is_consistent(self) -> Case:
        for complain in _complaints(self):
            raise ValueError(complain)
        return self

    def item(self, item_id: str) -> Item:
        """The stock item with that id; KeyError when there is none."""
        return next(item for item in self.stock if item.id == item_id)


def _complaints(case: Case) -> Iterator[str]:
    """A sentence for each way the parts of a case contradict one another."""
    yield from _id_complaints(case)
    yield from _range_complaints(case)
    yield from _clamp_complaints(case)
    yield from _landing_complaints(case)


def _id_complaints(case: Case) -> Iterator[str]:
    ids = [item.id for item in case.stock]
    known = set(ids)
    if len(known) != len(ids):
        twice = next(i for i in ids if ids.count(i) > 1)
        yield f"stock: id {twice!r} stands more than once; give every piece its own id"
    for name in ("locked", "excluded"):
        listed = getattr(case, name)
        yield from (f"{name}: {i!r} is not in the stock" for i in listed if i not in known)
        if len(set(listed)) != len(listed):
            yield f"{name}: an id stands twice"
    if len({a.kind for a in case.accessories}) != len(case.accessories):
        yield "accessories: a kind stands twice; ask for each kind once"


def _range_complaints(case: Case) -> Iterator[str]:
    if len(case.reserve) <= case.max_items:
        yield (
            f"reserve: has {len(case.reserve)} entries, needs one for every number of items"
            f" from 0 to max_items = {case.max_items}"
        )
    if case.union.min > case.union.max:
        yield "union: min is above max"
    for name, window in [
        *((f"landing {m.id}", m.window) for m in case.landings),
        *((f"accessory {a.kind}", a.window) for a in case.accessories),
    ]:
        if window[0] > window[1]:
            yield f"{name}: window is upside down"
    yield from _span_complaints(case)


def _span_complaints(case: Case) -> Iterator[str]:
    seat = case.seat
    if seat.locked is None and seat.min > seat.max:
        yield "seat: min is above max"
    elif seat.locked is None and (seat.max - seat.min) // seat.step > _MOST_SEATS:
        yield f"seat: more than {_MOST_SEATS:,} steps; use a coarser step"
    lowest = case.base.height - (seat.max if seat.locked is None else seat.locked)
    if case.gap - case.union.min - lowest > _LONGEST:
        yield f"gap: the string is over {_LONGEST:,} ticks long; use a coarser tick_mm"


def _clamp_complaints(case: Case) -> Iterator[str]:
    if len({c.id for c in case.clamps}) != len(case.clamps):
        yield "clamps: an id stands twice"
    reaches = sorted(
        (
            c.height - c.shift_down - c.half_length - c.clearance,
            c.height + c.shift_up + c.half_length + c.clearance,
            c.id,
        )
        for c in case.clamps
    )
    for (_, top, lower), (bottom, _, upper) in pairwise(reaches):
        if bottom < top:
            yield f"clamps: the reaches of {lower} and {upper} overlap; narrow a shift"


def _landing_complaints(case: Case) -> Iterator[str]:
    if len({m.id for m in case.landings}) != len(case.landings):
        yield "landings: an id stands twice"
    for m in case.landings:
        if m.grip and m.grip[0] > m.grip[1]:
            yield f"landing {m.id}: grip is upside down"
    if (case.landings_passed or 0) > len(case.landings):
        yield "landings_passed: more than there are landings"
    if case.lifts is None:
        return
    ends = [(m.table + m.window[0], m.table + m.window[1]) for m in case.landings]
    for (lo, hi), (lo2, hi2) in pairwise(ends):
        if lo2 < lo or hi2 < hi:
            yield "landings: with lifts they are listed bottom-up, neither window end ever falling"
    pre = case.lifts.pre_run_height
    if pre is not None and ends and pre > ends[0][1]:
        yield "lifts: pre_run_height is above the top of the first landing's window"


Objective = tuple[int, int, int, int]


@dataclass(frozen=True)
class Answer:
    """What the search found.

    ``objective`` is (items, bucket, pups, deviation in ticks); ``bound`` is the
    proved lower bound of it when the search was stopped before the proof.
    """

    status: Literal["optimal", "infeasible", "stopped"]
    objective: Objective | None = None
    items: tuple[str, ...] = ()
    seat: int | None = None
    union: int | None = None
    lifts: tuple[tuple[str, ...], ...] | None = None
    clamp_shifts: dict[str, int] | None = None
    proved: bool = False
    elapsed_s: float = 0.0
    bound: Objective | None = None

    def as_dict(self) -> dict[str, Any]:
        """Plain data with the field names of the case format."""
        data: dict[str, Any] = {
            "status": self.status,
            "objective": list(self.objective) if self.objective else None,
            "items": list(self.items),
            "seat": self.seat,
            "union": self.union,
            "lifts": None if self.lifts is None else [list(lift) for lift in self.lifts],
            "clamp_shifts": self.clamp_shifts or {},
            "proved": self.proved,
            "elapsed_s": round(self.elapsed_s, 6),
        }
        if self.bound is not None:
            data["bound"] = list(self.bound)
        return data


def read_case_text(text: str, file: str = "") -> Case:
    """Case from JSON text; InputError with one sentence when it is none."""
    try:
        data = json.loads(text)
    except (ValueError, RecursionError) as fault:
        message = f"not readable as JSON ({fault}); write one JSON object"
        raise InputError(message, code="bad-json", where=Where(file=file)) from None
    return parse_case(data, file)


def parse_case(data: object, file: str = "") -> Case:
    """Case from plain data; InputError naming the field when something does not fit."""
    if not isinstance(data, dict):
        message = "a case is one JSON object with base, seat, gap, union, reserve and stock"
        raise InputError(message, code="bad-case", where=Where(file=file))
    _refuse_near_misses(data, file)
    try:
        return Case.model_validate(data)
    except ValidationError as fault:
        first = fault.errors(include_url=False)[0]
        field = ".".join(str(step) for step in first["loc"])
        message = str(first["msg"]).removeprefix("Value error, ")
        raise InputError(message, code="bad-case", where=Where(file=file, field=field)) from None


def _refuse_near_misses(data: dict[str, Any], file: str) -> None:
    """A misspelt key must not be dropped in silence; foreign remarks may stand."""
    known = list(Case.model_fields)
    for key in data:
        near = difflib.get_close_matches(key, known, 1, 0.8) if key not in known else []
        if near and near[0] not in data:
            message = f"unknown field {key!r}; did you mean {near[0]!r}?"
            raise InputError(message, code="unknown-field", where=Where(file=file, field=key))
