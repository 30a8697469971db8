"""From a job to a bare space-out case, and from its answer back to the job.

Lengths are rounded to the step of the job's rules. What rounding can do is kept
inside: the reserve grows by it, and the windows of landings and the room of
clamps shrink by it, so that a plan that fits the case fits the job.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from abreast.errors import InputError, MissingInputError
from abreast.model import (
    Choice,
    End,
    Job,
    Landing,
    PremadeLift,
    Quantity,
    RackItem,
    TwinClamp,
    base_top_m,
    bypass_leg_m,
    clamp_height_m,
    effective_length,
    free_body_ends_m,
    landing_window_m,
    neck_height_m,
    seat_range,
)
from abreast.spaceout.budget import reserve_m
from abreast.spaceout.case import Answer, Case, parse_case

__all__ = ["BuiltCase", "build_case"]

_UNLIMITED = 10**9


@dataclass(frozen=True)
class BuiltCase:
    """A case and what is needed to read its answer in terms of the job.

    ``pieces`` gives the rack ids of each stock item (several for a pre-made
    lift); ``dropped`` says of each rack piece that is no candidate why not.
    """

    case: Case
    tick_m: float
    seats_m: dict[int, float]
    pieces: dict[str, tuple[str, ...]]
    dropped: dict[str, str]

    def ids(self, items: tuple[str, ...]) -> tuple[str, ...]:
        """Rack ids of a row of stock items."""
        return tuple(piece for item in items for piece in self.pieces[item])

    def choice(self, job: Job, answer: Answer) -> Choice:
        """The answer in terms of the job; the union is summed anew from unrounded lengths."""
        assert answer.objective is not None
        assert answer.seat is not None
        items = self.ids(answer.items)
        seat_m = self.seats_m[answer.seat]
        union_m = bypass_leg_m(job) - (base_top_m(job) - seat_m) - self._length_m(job, answer)
        shifts = answer.clamp_shifts or {}
        return Choice(
            items=items,
            seat_m=seat_m,
            union_m=union_m,
            lifts=None if answer.lifts is None else tuple(self.ids(x) for x in answer.lifts),
            clamp_shifts_m={clamp: shift * self.tick_m for clamp, shift in shifts.items()},
            bucket=answer.objective[1],
            pups=answer.objective[2],
            deviation_m=abs(union_m - job.union.wanted_m),
        )

    def _length_m(self, job: Job, answer: Answer) -> float:
        rack = {item.id: item for item in job.rack}
        return sum(effective_length(job, rack[i]).si for i in self.ids(answer.items))


def build_case(job: Job) -> BuiltCase:
    """The space-out case of a job.

    Parameters
    ----------
    job : Job
        Pieces in the well already are locked; a piece that is suspected, not
        drifted, not usable, kept for the tail or part of it is no candidate.

    Returns
    -------
    BuiltCase
        The case with its key back to the job.

    Raises
    ------
    MissingInputError
        If a length that the space-out needs is missing.
    InputError
        If the parts contradict one another, for example overlapping clamps.
    """
    return _Builder(job).built()


class _Builder:
    def __init__(self, job: Job) -> None:
        self.job = job
        self.tick_m = _tick_m(job)
        self.seats_m = self._seats()
        off_m = max(abs(m - ticks * self.tick_m) for ticks, m in self.seats_m.items())
        self.seat_error = off_m / self.tick_m
        # Ticks that rounding may add up to: half a tick each for pieces, base and frame.
        self.slack = math.ceil(job.rules.max_items / 2 + 1 + self.seat_error - 1e-6)
        self.dropped: dict[str, str] = {}

    def near(self, length_m: float) -> int:
        """Ticks nearest to a length."""
        return round(length_m / self.tick_m)

    def over(self, length_m: float) -> int:
        """Least number of ticks that is not shorter."""
        return math.ceil(length_m / self.tick_m - 1e-6)

    def under(self, length_m: float) -> int:
        """Greatest number of ticks that is not longer."""
        return math.floor(length_m / self.tick_m + 1e-6)

    def built(self) -> BuiltCase:
        job, rules = self.job, self.job.rules
        stock = self._stock()
        data = {
            "name": job.name,
            "tick_mm": self.tick_m * 1000,
            "base": {"height": self.near(base_top_m(job)), "box": self._base_box()},
            "seat": self._seat(),
            "gap": self.near(bypass_leg_m(job)),
            "union": self._union(),
            "reserve": [self._reserve(n) for n in range(rules.max_items + 1)],
            "clamps": [self._clamp(clamp) for clamp in job.clamps],
            "landings": [self._landing(landing) for landing in job.landings],
            "lifts": self._lifts(),
            "landings_passed": job.in_well.landings_passed or None,
            "accessories": [
                {
                    "kind": need.kind,
                    "window": [
                        self.over(need.window_low_m.si) + self.slack,
                        self.under(need.window_high_m.si) - self.slack,
                    ],
                }
                for need in job.accessories
            ],
            "max_overall": self._most(job.hoisting.max_overall_m),
            "max_items": rules.max_items,
            "locked": list(job.in_well.pieces),
            "excluded": [],
            "stock": [entry for entry, _ in stock.values()],
        }
        pieces = {item: ids for item, (_, ids) in stock.items()}
        case = parse_case(data, "job")
        return BuiltCase(case, self.tick_m, self.seats_m, pieces, self.dropped)

    # --- frame ----------------------------------------------------------------------

    def _base_box(self) -> str:
        job = self.job
        end = job.base.upper_end if job.base is not None else None
        if end is None and job.guide is not None:
            end = job.guide.upper_end
        assert end is not None
        return _mate(end, "box")

    def _seats(self) -> dict[int, float]:
        """Ticks → seat height or stick-down [m], for every step it can be set to."""
        seat = seat_range(self.job)
        if seat.locked_m is not None:
            return {self.near(seat.locked_m): seat.locked_m}
        steps = math.floor((seat.max_m - seat.min_m) / seat.step_m + 1e-6)
        heights = [seat.min_m + step * seat.step_m for step in range(steps + 1)]
        unit = self._seat_unit()
        return {self.near(seat.min_m) + step * unit: h for step, h in enumerate(heights)}

    def _seat_unit(self) -> int:
        return max(1, self.near(seat_range(self.job).step_m))

    def _seat(self) -> dict[str, int | None]:
        locked = seat_range(self.job).locked_m is not None
        low, high = min(self.seats_m), max(self.seats_m)
        return {
            "min": low,
            "max": high,
            "step": 1 if locked else self._seat_unit(),
            "locked": low if locked else None,
        }

    def _union(self) -> dict[str, object]:
        union = self.job.union
        low_m, high_m = union.window_m
        return {
            "pin": _mate(union.lower_end, "pin"),
            "min": self.over(low_m),
            "max": self.under(high_m),
            "target": self.near(union.wanted_m),
            "bucket": max(1, self.near(self.job.rules.bucket_m.si)),
        }

    def _reserve(self, n: int) -> int:
        """Reserve for the measuring error of n pieces, and for what rounding can do.

        A lift made up beforehand is one piece here; unless it was measured as one, it
        has the errors of each of its own.
        """
        more = [len(one.pieces) - 1 for one in self.job.lifts if not one.overall_m.is_given]
        measured = n + sum(sorted(more, reverse=True)[:n])
        rounding = n / 2 + 1 + self.seat_error  # each piece, gap and base half a tick each
        return math.ceil(reserve_m(self.job, measured) / self.tick_m + rounding)

    # --- clamps, landings, lifts ----------------------------------------------------

    def _clamp(self, clamp: TwinClamp) -> dict[str, object]:
        margin_m = clamp.clearance_m.or_else(self.job.rules.clamp_margin_m.si)
        return {
            "id": clamp.id,
            "height": self.near(clamp_height_m(self.job, clamp)),
            "shift_down": self.under(clamp.shift_down_m.or_else(0.0)),
            "shift_up": self.under(clamp.shift_up_m.or_else(0.0)),
            "half_length": self.over(clamp.length_m.si / 2),
            "clearance": self.over(margin_m) + self.slack,
        }

    def _landing(self, landing: Landing) -> dict[str, object]:
        low_m, high_m = landing_window_m(self.job, landing)
        data: dict[str, object] = {
            "id": landing.id,
            "table": self.near(neck_height_m(self.job, landing.piece)),
            "window": [self.over(low_m) + self.slack, self.under(high_m) - self.slack],
        }
        grip = (landing.grip_low_m.known, landing.grip_high_m.known)
        if grip[0] is not None and grip[1] is not None:
            data["grip"] = [self.under(grip[0]) - self.slack, self.over(grip[1]) + self.slack]
        return data

    def _lifts(self) -> dict[str, int | None]:
        rules, hoisting = self.job.rules, self.job.hoisting
        pre_run_m = rules.pre_run_height_m.known
        return {
            "max_pieces": max(1, rules.max_lift_pieces),
            "max_length": min(map(self._most, (rules.max_lift_length_m, hoisting.max_overall_m))),
            "pre_run_height": None if pre_run_m is None else self._pre_run(pre_run_m),
        }

    def _pre_run(self, height_m: float) -> int:
        """The pre-run height; above the first window it would say nothing new."""
        height = self.under(height_m) - self.slack
        for landing in self.job.landings[:1]:
            table = self.near(neck_height_m(self.job, landing.piece))
            high_m = landing_window_m(self.job, landing)[1]
            return min(height, table + self.under(high_m) - self.slack)
        return height

    def _most(self, length: Quantity) -> int:
        return self.under(length.si) if length.is_given else _UNLIMITED

    # --- stock ----------------------------------------------------------------------

    def _stock(self) -> dict[str, tuple[dict[str, object], tuple[str, ...]]]:
        job = self.job
        run, tail = set(job.in_well.pieces), {piece.id for piece in job.tail if piece.rack}
        made_up: set[str] = set()
        found = {}
        for lift in job.lifts:
            items = [next(i for i in job.rack if i.id == name) for name in lift.pieces]
            if run.isdisjoint(lift.pieces):
                made_up |= set(lift.pieces)
                if not any(self._unfit(item, tail) for item in items):
                    found[lift.id] = self._premade(lift, items), lift.pieces
        for item in job.rack:
            why = "" if item.id in run else self._unfit(item, tail)
            if item.id in made_up or why:
                self.dropped[item.id] = why or "made up in a lift"
            else:
                found[item.id] = self._item(item), (item.id,)
                if item.id not in run and (barred := self._barred(item)):
                    self.dropped[item.id] = barred
        return found

    def _barred(self, item: RackItem) -> str:
        """Why a piece of the case may not be chosen; blank when it may."""
        if not item.drift_ok:
            return f"drift {item.drift}"
        too_long = self.over(item.overall_m.si) > self._most(self.job.hoisting.max_overall_m)
        return "longer than can be handled" if too_long else ""

    def _unfit(self, item: RackItem, tail: set[str]) -> str:
        """Why a rack piece is no candidate for the bypass; blank when it is one."""
        reasons = {
            "in the tail": item.id in tail,
            "kept for the tail": item.usable_for == "tail",
            item.status_reason or item.status: item.status != "usable",
            "not measured": not item.overall_m.is_given,
            "a cell of its row is suspected": self.job.blocked(item.id),
        }
        return next((reason for reason, holds in reasons.items() if holds), "")

    def _item(self, item: RackItem) -> dict[str, object]:
        upset_m, coupling_m = self._ends(item)
        effective = self.near(effective_length(self.job, item).si)
        overall = self.over(item.overall_m.si)
        entry: dict[str, object] = {
            "id": item.id,
            "kind": item.kind,
            "overall": overall,
            "make_up_loss": max(0, overall - effective),
            "effective": effective,
            "coupling": self.over(coupling_m),
            "upset": self.over(upset_m),
            "pin": _mate(item.lower_end, "pin"),
            "box": _mate(item.upper_end, "box"),
            "drift_ok": item.drift_ok,
        }
        if item.profile_m.is_given:
            entry["profile"] = self.near(item.profile_m.si)
        return entry

    def _ends(self, item: RackItem) -> tuple[float, float]:
        try:
            return free_body_ends_m(self.job, item)
        except MissingInputError as fault:
            needs = f"the upset and coupling lengths of {item.id} ({fault.needs})"
            raise MissingInputError(needs) from None

    def _premade(self, lift: PremadeLift, items: list[RackItem]) -> dict[str, object]:
        """A pre-made lift as one piece; clamps close on the longest of its bodies only."""
        parts = [self._item(item) for item in items]
        lengths_m = [effective_length(self.job, item).si for item in items]
        ends_m = [self._ends(item) for item in items]
        bodies_m = [m - sum(ends) for m, ends in zip(lengths_m, ends_m, strict=True)]
        best = bodies_m.index(max(bodies_m))
        overall_m = lift.overall_m.known
        inner = sum(int(str(part["make_up_loss"])) for part in parts[1:])
        overall = sum(int(str(part["overall"])) for part in parts) - inner
        return {
            "id": lift.id,
            "kind": parts[lengths_m.index(max(lengths_m))]["kind"],
            "overall": overall if overall_m is None else self.over(overall_m),
            "make_up_loss": parts[0]["make_up_loss"],
            "effective": self.near(sum(lengths_m)),
            "coupling": self.over(ends_m[best][1] + sum(lengths_m[best + 1 :])),
            "upset": self.over(ends_m[best][0] + sum(lengths_m[:best])),
            "pin": parts[0]["pin"],
            "box": parts[-1]["box"],
            "drift_ok": lift.drift == "passed",
        }


def _tick_m(job: Job) -> float:
    """The step of the rules, or the next finer one of which the seat's step is a whole number.

    A seat step that is no whole number of ticks would put the seat further off with each step.
    """
    rounding_m, seat = job.rules.rounding_m.si, seat_range(job)
    ticks = seat.step_m / rounding_m
    if seat.locked_m is not None or abs(ticks - round(ticks)) < 1e-6:
        return rounding_m
    return seat.step_m / math.ceil(ticks)


def _mate(end: End | None, wanted: str) -> str:
    """What an end mates by: its thread, or for an end that is turned round what none has."""
    if end is None:
        message = "a piece of the bypass has an open end; give its thread, for example SF box"
        raise InputError(message, code="no-end")
    return end.thread if end.gender == wanted else f"{end.thread} {end.gender} instead of {wanted}"
