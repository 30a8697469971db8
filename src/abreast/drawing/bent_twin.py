"""The bent twin in its hole: at the worst place of its way, and where it is to hang."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil, floor

from abreast.drawing.bent_cuts import Group, cuts, groups_of, hardest
from abreast.drawing.bent_view import HALF_MM, REACH_MM, View, view_items
from abreast.drawing.caption import FIGURE_MM, caption
from abreast.drawing.fonts import clipped, width_mm
from abreast.drawing.page import Page, frame
from abreast.drawing.passing_words import MEANS, WAYS, place_words
from abreast.drawing.ruler import tick_step
from abreast.drawing.scene import Item, Line, Scene, Text
from abreast.drawing.sheet import Paper, round_scale, sheet_of
from abreast.drawing.spread import spread
from abreast.errors import MissingInputError
from abreast.mechanics.bent_shape import BentShape, bent_shape, worst
from abreast.mechanics.passing_limits import worst_bent
from abreast.mechanics.running_in import RunIn
from abreast.mechanics.twin_beam_hole import Way
from abreast.mechanics.twin_beam_sweep import Place
from abreast.model import Assembly, Job
from abreast.units import Dimension, display_unit, show, to_unit

__all__ = ["bent_twin"]

_TOP, _BOTTOM, _NAME_MM = 34.0, 229.0, 2.2
_RULER, _NAMES, _ACROSS, _TOUCH, _BESIDE, _CUTS = 17.0, 19.5, 57.0, 80.0, 132.0, 158.0
_ABOVE_M = 5.0
"""So much of the tubing above the Y-tool is drawn, or as far as it touches the wall [m]."""
_LEAST = 0.01
_LETTERS = "ABC"


@dataclass(frozen=True)
class _Sheet:
    """One shape on its sheet, with the depths that it shows."""

    job: Job
    running: RunIn
    shape: BentShape
    page: Page
    across: View
    beside: View
    scale: float

    @property
    def f(self) -> float:
        return self.page.sheet.factor

    @property
    def size(self) -> float:
        return FIGURE_MM * self.f


def bent_twin(
    job: Job, assembly: Assembly, running: RunIn, *, paper: Paper = "A4"
) -> tuple[Scene, ...]:
    """The shape of the twin string in its hole, sideways enlarged, with what touches the wall.

    Parameters
    ----------
    job : Job
        Limits of bending, units.
    assembly : Assembly
        The twin string.
    running : RunIn
        What the contact model found, :func:`abreast.mechanics.running_in.run_in`.
    paper : {"A4", "A3"}
        The sheet, upright.

    Returns
    -------
    tuple of Scene
        The worst place of the way, and the worst roll where it is planned to hang.

    Raises
    ------
    MissingInputError
        If no shape was found at any depth.
    """
    found = worst(job, running)
    planned_m = running.planned_md_m
    hung = [one for one in running.hung if one.found and abs(one.md_m - planned_m) < 1e-3]
    places: list[tuple[str, Place, Way]] = []
    if found is not None:
        places.append(("Bent twin at the worst place", *found))
    if hung:
        places.append(("Bent twin where it is to hang", _worst_hung(job, hung), "still"))
    if not places:
        raise MissingInputError(needs="a depth and roll at which the contact model finds a shape")
    return tuple(
        _scene(job, running, place, way, paper, (heading, number, len(places)))
        for number, (heading, place, way) in enumerate(places, 1)
    )


def _worst_hung(job: Job, hung: Sequence[Place]) -> Place:
    """Nearest to a limit of bending, else of the greatest side force."""

    def rank(place: Place) -> tuple[float, float]:
        part = worst_bent(job, place)
        return (0.0 if part is None else part.use), place.side_n

    return max(hung, key=rank)


def _scene(
    job: Job,
    running: RunIn,
    place: Place,
    way: Way,
    paper: Paper,
    title: tuple[str, int, int],
) -> Scene:
    shape = bent_shape(running, place, way)
    sheet, (heading, number, of) = sheet_of(paper), title
    f = sheet.factor
    touching = [one.md_m for one in shape.touches]
    top_m = max(min([place.md_m - _ABOVE_M, *touching]) - 0.5, float(shape.lines[0].md_m[0]))
    bottom_m = max(float(one.md_m[-1]) for one in shape.lines) + 0.5
    scale = round_scale((bottom_m - top_m) * 1000 / ((_BOTTOM - _TOP) * f))
    widest = max(one.diameter_m for one in shape.casing)
    times = _rounded(HALF_MM * f * 2 / (widest * 1000 / scale))
    bottom_mm = _TOP * f + (bottom_m - top_m) * 1000 / scale
    across, beside = (
        View(shape, x * f, _TOP * f, bottom_mm, top_m, 1000 / scale, times, plane, f)
        for x, plane in ((_ACROSS, "x"), (_BESIDE, "y"))
    )
    page = Page(
        job=job,
        sheet=sheet,
        heading=heading,
        notes=_notes(running),
        scale=f"1:{scale:g}, sideways {times:g} times",
        number=number,
        of=of,
    )
    drawn = _Sheet(job, running, shape, page, across, beside, scale)
    return Scene(sheet.width_mm, sheet.height_mm, page.title, tuple(_items(drawn, way)))


def _rounded(times: float) -> float:
    """A round number not above it: steps of 5, of 1 where it is small."""
    step = 5 if times >= 20 else 1
    return float(max(floor(times / step + 1e-9) * step, 1))


def _notes(running: RunIn) -> tuple[str, ...]:
    taken = "; ".join(running.assumptions)
    return (f"{taken[:1].upper()}{taken[1:]}.",)


def _items(sheet: _Sheet, way: Way) -> Iterator[Item]:
    groups = groups_of(sheet.shape)
    chosen = tuple(zip(_LETTERS, hardest(groups, len(_LETTERS)), strict=False))
    most_n = max((one.force_n for one in sheet.shape.touches), default=1.0)
    yield from _ruler(sheet)
    for view in (sheet.across, sheet.beside):
        yield from view_items(view, most_n)
    yield from _headings(sheet)
    yield from _names(sheet)
    yield from _touch_words(sheet, groups, {id(group): letter for letter, group in chosen})
    f = sheet.f
    box = (_CUTS * f, _TOP * f, 202.5 * f, _BOTTOM * f)
    yield from cuts(sheet.shape, chosen, sheet.job.units, box, f)
    yield from _caption(sheet, way, groups)
    yield from frame(sheet.page)


def _headings(sheet: _Sheet) -> Iterator[Item]:
    f, y_mm = sheet.f, (_TOP - 2.4) * sheet.f
    words = ((_ACROSS, "ESP to bypass"), (_BESIDE, "seen from bypass"), (180.0, "LOOKING DOWN"))
    for x, text in words:
        yield Text(x * f, y_mm, text, sheet.size, "label", "middle", bold=True)
    middle = (_TOUCH + 15) * f
    yield Text(middle, y_mm, "touching", sheet.size, "label", "middle", bold=True)


def _ruler(sheet: _Sheet) -> Iterator[Item]:
    """Depths, with faint lines through both views."""
    f, view, units = sheet.f, sheet.across, sheet.job.units
    unit = display_unit(Dimension.LENGTH, units)
    per = to_unit(1.0, unit)
    x_mm, size = _RULER * f, sheet.size
    yield Line(x_mm, view.top_mm, x_mm, view.bottom_mm, "ruler", 0.35 * f)
    yield Text(x_mm, (_TOP - 2.4) * f, f"MD [{unit}]", size, "ruler", "end", bold=True)
    step = tick_step(10 * f / view.mm_per_m * per)
    low_m = view.top_md_m + (view.bottom_mm - view.top_mm) / view.mm_per_m
    for count in range(ceil(view.top_md_m * per / step), floor(low_m * per / step) + 1):
        y_mm = view.y_mm(count * step / per)
        yield Line(x_mm - 1.6 * f, y_mm, x_mm, y_mm, "ruler", 0.3 * f)
        yield Text(x_mm - 2.1 * f, y_mm + 0.35 * size, f"{count * step:g}", size, "ruler", "end")
        for axis in (_ACROSS, _BESIDE):
            reach = (HALF_MM + REACH_MM) * f
            yield Line(axis * f - reach, y_mm, axis * f + reach, y_mm, "grid", 0.1 * f)


def _names(sheet: _Sheet) -> Iterator[Item]:
    """Pieces of the ESP side and the tail, beside the left view."""
    view, f, size = sheet.across, sheet.f, _NAME_MM * sheet.f
    bodies = [
        one
        for one in sheet.shape.parts
        if not one.string and one.kind in ("body", "block") and one.md_m[-1] >= view.top_md_m
    ]
    rows: list[tuple[str, float]] = []
    ordered = sorted(bodies, key=lambda one: float(one.md_m[0]))
    for name, group in groupby(ordered, key=lambda one: one.name):
        found = list(group)
        middle = (float(found[0].md_m[0]) + float(found[-1].md_m[-1])) / 2
        if name not in (row[0] for row in rows):
            rows.append((name, view.y_mm(middle)))
    pitch = 1.25 * size
    most = int((view.bottom_mm - view.top_mm) / pitch)
    rows = rows[:most]
    places = spread([y for _, y in rows], [pitch] * len(rows), view.top_mm, view.bottom_mm)
    part = worst_bent(sheet.job, sheet.shape.place)
    left, end = _NAMES * f, (_ACROSS - HALF_MM - REACH_MM - 1) * f
    for (name, want), y_mm in zip(rows, places, strict=True):
        is_worst = part is not None and part.name.split(" of ")[-1] == name
        words = clipped(name, end - left - f, size, bold=is_worst)
        yield Text(left, y_mm + 0.35 * size, words, size, "label", bold=is_worst)
        start = left + width_mm(words, size, bold=is_worst) + 0.6 * f
        yield Line(start, y_mm, max(end, start), want, "leader", 0.1 * f)


def _touch_words(sheet: _Sheet, groups: Sequence[Group], letters: dict[int, str]) -> Iterator[Item]:
    """What touches and how hard, between the views, with a line to it in each of them."""
    f, size = sheet.f, _NAME_MM * sheet.f
    total = sum(one.force_n for one in groups)
    named = [one for one in groups if one.force_n >= _LEAST * total]
    pitch, top, bottom = 1.3 * size, sheet.across.top_mm, sheet.across.bottom_mm
    most = int((bottom - top) / pitch)
    if len(named) > most:
        hard = sorted(named, key=lambda one: -one.force_n)[:most]
        named = [one for one in named if one in hard]
    wanted = [sheet.across.y_mm(one.touch.md_m) for one in named]
    places = spread(wanted, [pitch] * len(named), top, bottom)
    left, right = _TOUCH * f, (_TOUCH + 30) * f
    for one, want, y_mm in zip(named, wanted, places, strict=True):
        letter = letters.get(id(one), "")
        force = show(one.force_n, Dimension.FORCE, sheet.job.units)
        head = f"{letter}: " if letter else ""
        room = right - left - width_mm(f"{head} {force}", size, bold=True) - 2 * f
        words = f"{head}{clipped(one.touch.name, room, size)} {force}"
        text = Text((left + right) / 2, y_mm + 0.35 * size, words, size, "label", "middle",
                    bold=bool(letter))  # fmt: skip
        yield text
        low, _, high, _ = text.box_mm
        for view, edge in ((sheet.across, low - 0.6 * f), (sheet.beside, high + 0.6 * f)):
            side = 1 if view is sheet.across else -1
            outer = view.axis_mm + side * (HALF_MM + REACH_MM + 0.3) * f
            spot = view.x_mm(one.touch.x_m, one.touch.y_m)
            yield Line(edge, y_mm, outer, want, "leader", 0.1 * f)
            yield Line(outer, want, spot, want, "leader", 0.1 * f)


def _caption(sheet: _Sheet, way: Way, groups: Sequence[Group]) -> Iterator[Item]:
    """Where it is, what is worst, how it is drawn."""
    job, shape, place = sheet.job, sheet.shape, sheet.shape.place
    units = job.units
    part = worst_bent(job, place)
    where = f"{WAYS[way]}, Y-tool top at {place_words(job, place)}"
    if part is None:
        bent = f"{where}: greatest side force; no limit of bending is stated."
    else:
        limit = f"{show(part.limit.si, Dimension.TORQUE, units)} ({part.limit.origin})"
        bent = f"{where}: {part.name} bears {part.use:.0%} of {limit}."
    side = show(place.side_n, Dimension.FORCE, units)
    total = sum(one.force_n for one in groups)
    small = [one for one in groups if one.force_n < _LEAST * total]
    left = f" Places with less than 1 % of it are not named: {len(small)}." if small else ""
    dogleg = show(shape.dogleg_rad_m, Dimension.DOGLEG, units)
    rows = [(f"{bent[:1].upper()}{bent[1:]}", True)]
    if place.state != "ok":
        rows.append((f"{place.state}: {MEANS.get(place.state, 'see the findings')}.", True))
    rows += [
        (
            f"Depths are MD from {job.depth_datum} in {display_unit(Dimension.LENGTH, units)}."
            f" Drawn sideways {sheet.across.times:g} times as large as along the hole, and the hole"
            f" straight; it bends by up to {dogleg} beside the string. Heavy line: axis of the"
            " tubing above.",
            False,
        ),
        (
            f"Side force in all {side}.{left} Dots: where it touches; arrows: push of the wall, as"
            " much as lies in the plane of the view. Sections: black triangle to the low side,"
            " white to the inside of the bend.",
            False,
        ),
    ]
    yield from caption(rows, (9.0, 231.0, 201.0, 255.5), sheet.f, "the findings of passage")
