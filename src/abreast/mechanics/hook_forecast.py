"""The hook load to expect while the twin string is run: one row for each piece, with its alarm."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from math import fsum

from abreast.errors import MissingInputError
from abreast.formulas.guard import not_negative
from abreast.formulas.survey import Position
from abreast.jobfile.survey_gaps import gap_words
from abreast.mechanics.hook_limits import HookLimit, block_weight_n, hook_limits
from abreast.mechanics.hook_load import TOUCH_M, Drag, Fluids, HookLoad, StringItem, forecast
from abreast.mechanics.run_string import (
    RunPiece,
    run_pieces,
    running_drag,
    running_fluids,
    running_hole,
    running_words,
    survey_gaps,
    survey_needs,
)
from abreast.model import Assembly, Job, convert_depth_m
from abreast.units import Dimension, show

__all__ = ["HookForecast", "HookRow", "Run", "TwinDrag", "forecast_run"]

TwinDrag = Callable[[float], float | None]
"""Measured depth of the Y-tool top [m] to the drag of the twin string; None: not known [N]."""


@dataclass(frozen=True, slots=True)
class HookRow:
    """The string when the upper end of one piece is at the surface; block weight not in it.

    Parameters
    ----------
    number : int
        Pieces run above the twin string; 0: the twin string itself.
    name : str
        The piece.
    length_m : float
        Its length [m].
    bottom_md_m, ytool_md_m : float
        Depths of the lower end of the string and of the Y-tool top [m].
    still_n, up_n, down_n : float
        Hook load hanging, picking up, slacking off [N].
    alarm_n : float
        How far from it a recorded load may be before one stops, up or down [N].
    compressed_md_m : tuple of float or None
        Shallowest and deepest depth with compression while slacking off [m].
    twin_drag : {"contact", "soft string"}
        What the drag of the twin string rests on.
    """

    number: int
    name: str
    length_m: float
    bottom_md_m: float
    ytool_md_m: float
    still_n: float
    up_n: float
    down_n: float
    alarm_n: float
    compressed_md_m: tuple[float, float] | None
    twin_drag: str

    @property
    def up_band_n(self) -> tuple[float, float]:
        """Least and greatest load picking up that calls for no stop [N]."""
        return self.up_n - self.alarm_n, self.up_n + self.alarm_n

    @property
    def down_band_n(self) -> tuple[float, float]:
        """Least and greatest load slacking off that calls for no stop [N]."""
        return self.down_n - self.alarm_n, self.down_n + self.alarm_n

    @property
    def goes_down(self) -> bool:
        """It goes down by its own weight: something is left at the hook."""
        return self.down_n > 0

    @property
    def left_ratio(self) -> float | None:
        """Part of the hanging weight left slacking off; None where it has no weight."""
        return self.down_n / self.still_n if self.still_n > 0 else None

    @property
    def warnings(self) -> tuple[str, ...]:
        """Lock-up and compression, in words without figures."""
        found = []
        if not self.goes_down:
            found.append("does not go down by its own weight")
        if self.compressed_md_m is not None:
            found.append("compressed slacking off; buckling is not counted")
        return tuple(found)


@dataclass(frozen=True, slots=True)
class HookForecast:
    """The hook load of a whole run.

    Parameters
    ----------
    rows : tuple of HookRow
        In running order, the twin string first.
    friction_ratio : float
        Friction factor of string on casing.
    alarm_ratio, alarm_least_n : float
        Alarm as a part of the hanging weight, and at least [N].
    block_n : float or None
        Weight of block and bails on the indicator; None: not stated [N].
    limits : tuple of HookLimit
        The tightest first, those without a rating last.
    not_counted, assumptions : tuple of str
        What is left out, and what is taken for granted.
    run : Run
        String, hole and drag, to work the loads out with another friction.
    """

    rows: tuple[HookRow, ...]
    friction_ratio: float
    alarm_ratio: float
    alarm_least_n: float
    block_n: float | None
    limits: tuple[HookLimit, ...]
    not_counted: tuple[str, ...]
    assumptions: tuple[str, ...]
    run: Run

    @property
    def weakest(self) -> HookLimit | None:
        """The limit that is met first; None: no rating is known."""
        return next((one for one in self.limits if one.rating_n is not None), None)

    @property
    def needs(self) -> tuple[str, ...]:
        """Ratings that nobody stated."""
        return tuple(dict.fromkeys(one.needs for one in self.limits if one.rating_n is None))

    @property
    def greatest_up(self) -> HookRow:
        """The row with the greatest pick-up weight."""
        return max(self.rows, key=lambda one: one.up_n)

    @property
    def least_down(self) -> HookRow:
        """The row where the smallest part of the hanging weight is left slacking off."""
        return min(self.rows, key=lambda one: one.down_n / max(one.still_n, 1e-9))


@dataclass(frozen=True, slots=True)
class Run:
    """What the loads are worked out from."""

    hole: tuple[Position, ...]
    items: tuple[StringItem, ...]
    fluids: Fluids
    drags: tuple[Drag, ...]

    def loads(self, friction_ratio: float | None = None) -> tuple[HookLoad, ...]:
        """One load for each item, with the friction of the job or another one.

        The twin's own drag goes with the friction, an allowance for clamps does not.
        """
        if friction_ratio is None:
            return forecast(self.hole, self.items, self.fluids, self.drags)
        drags = [_with(one, friction_ratio) for one in self.drags]
        return forecast(self.hole, self.items, self.fluids, drags)


def _with(drag: Drag, friction_ratio: float) -> Drag:
    ways = drag.twin_ways_n
    if ways is None or not drag.friction_ratio:
        return replace(drag, friction_ratio=friction_ratio)
    up_n, down_n = (one * friction_ratio / drag.friction_ratio for one in ways)
    return Drag(friction_ratio, down_n, drag.clamp_n, up_n)


def forecast_run(
    job: Job,
    assembly: Assembly,
    twin_drag_down_n: TwinDrag | None = None,
    twin_drag_up_n: TwinDrag | None = None,
) -> HookForecast:
    """Hook loads to expect, joint by joint, from the twin string to the landed hanger.

    Parameters
    ----------
    job : Job
        Survey, fluids, friction, completion above the Y-tool, cable, rig, rules.
    assembly : Assembly
        The twin string.
    twin_drag_down_n, twin_drag_up_n : callable or None
        Drag of the twin string while it goes down and up, from the contact
        model, by the depth of the Y-tool top. Where there is none, or it knows
        none, friction of the soft string is counted on the twin too. Without
        one of its own, picking up has the drag of going down.

    Raises
    ------
    MissingInputError
        If survey, friction factor, fluid, a mass or a length is missing, or the
        survey ends above the lower end of the string.
    """
    pieces = run_pieces(job, assembly)
    items = tuple(one.item for one in pieces)
    fluids = running_fluids(job)
    _bores_known(pieces, fluids)
    depths = [end_m - items[0].length_m for end_m in accumulate(one.length_m for one in items)]
    drags = tuple(_drags(job, depths, twin_drag_down_n, twin_drag_up_n))
    run = Run(_hole(job, items), items, fluids, drags)
    loads = run.loads()
    alarm = (
        not_negative("hook_alarm_ratio", job.rules.hook_alarm_ratio.si),
        not_negative("hook_alarm_least_n", job.rules.hook_alarm_least_n.or_else(0.0)),
    )
    rows = tuple(_rows(items, depths, drags, loads, alarm))
    left, assumed = running_words(job, assembly)
    return HookForecast(
        rows,
        job.friction.cased_ratio.si,
        *alarm,
        block_weight_n(job),
        hook_limits(job, pieces, loads),
        (*_drag_left(drags), *left),
        (
            *assumed,
            *_drag_assumed(rows, drags, twin_drag_up_n),
            *_alarm_assumed(job),
            *_below_casing(job, rows),
            *gap_words(survey_gaps(job, 0.0, rows[-1].bottom_md_m), job.units),
            "a soft string; no torque",
        ),
        run,
    )


def _hole(job: Job, items: Sequence[StringItem]) -> tuple[Position, ...]:
    """The hole, which must be surveyed down to where the landed string ends."""
    hole = running_hole(job)
    top_m, last_m = hole[0].station.md_m, hole[-1].station.md_m
    foot_m = top_m + fsum(one.length_m for one in items)
    if foot_m > last_m + TOUCH_M:
        raise MissingInputError(needs=survey_needs(job, foot_m, last_m))
    return hole


def _bores_known(pieces: Sequence[RunPiece], fluids: Fluids) -> None:
    """With a fluid inside that stands elsewhere, every bore counts."""
    if fluids.inside_level_md_m == fluids.outside_level_md_m:
        return
    for one in pieces:
        if one.source is not None and not one.source.bore_m.is_given:
            raise MissingInputError(needs=f"bore of {one.source.id}")


def _drags(
    job: Job, depths: Sequence[float], down: TwinDrag | None, up: TwinDrag | None
) -> Iterator[Drag]:
    for md_m in depths:
        down_n = down(md_m) if down else None
        up_n = up(md_m) if up else down_n
        known = down_n is not None and up_n is not None
        yield running_drag(job, down_n, up_n) if known else running_drag(job)


def _rows(
    items: Sequence[StringItem],
    depths: Sequence[float],
    drags: Sequence[Drag],
    loads: Sequence[HookLoad],
    alarm: tuple[float, float],
) -> Iterator[HookRow]:
    for number, (item, md_m, drag, load) in enumerate(
        zip(items, depths, drags, loads, strict=True)
    ):
        yield HookRow(
            number,
            item.name,
            item.length_m,
            load.bottom_md_m,
            md_m,
            load.still_n[-1],
            load.up_n[-1],
            load.down_n[-1],
            max(alarm[0] * abs(load.still_n[-1]), alarm[1]),
            load.compressed_md_m,
            "soft string" if drag.twin_ways_n is None else "contact",
        )


def _drag_left(drags: Sequence[Drag]) -> Iterator[str]:
    if drags[0].clamp_n is None:
        yield "drag of cable clamps: not counted: needs clamp drag of the friction"


def _drag_assumed(
    rows: Sequence[HookRow], drags: Sequence[Drag], up: TwinDrag | None
) -> Iterator[str]:
    soft = [row for row in rows if row.twin_drag == "soft string"]
    if len(soft) == len(rows):
        yield (
            "drag of the twin string by the soft string and the friction factor only: a wedge of"
            " two strings drags more"
        )
    elif soft:
        yield (
            f"drag of the twin string by the soft string in {len(soft)} of {len(rows)} rows, where"
            " the contact of both strings is not known"
        )
    if len(soft) < len(rows) and up is None:
        yield "the twin string drags as much picking up as going down"


def _below_casing(job: Job, rows: Sequence[HookRow]) -> Iterator[str]:
    """Friction is that of the casing; a string that leaves it is told."""
    shoes = [
        convert_depth_m(job, one.shoe_md_m.si, one.datum or job.depth_datum) for one in job.casing
    ]
    end_m = max(one.bottom_md_m for one in rows)
    if not shoes or end_m > max(shoes):
        where = show(max(shoes), Dimension.LENGTH, job.units) if shoes else "the surface"
        yield f"below {where} there is no casing: its friction factor is taken there too"


def _alarm_assumed(job: Job) -> Iterator[str]:
    if not job.rules.hook_alarm_least_n.is_given:
        yield (
            "the indicator tells the alarm of a light string: needs hook alarm least of the rules"
        )
