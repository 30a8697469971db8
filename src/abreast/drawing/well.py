"""The well with the landed string in it: what a tool meets on its way down, and at what depth."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.drawing.body import break_mark
from abreast.drawing.canvas import Canvas, clipped_items
from abreast.drawing.columns import Side, draw_columns
from abreast.drawing.hole import Tube
from abreast.drawing.page import Page, frame
from abreast.drawing.ruler import depth_ruler
from abreast.drawing.scene import Fill, Item, Layer, Line, Outline, Rect, Scene, Text
from abreast.drawing.sheet import HeightMap, Paper, sheet_of
from abreast.drawing.well_labels import MIDDLE, WellFacts, facts_of, hole_labels, string_labels
from abreast.model import Assembly, Job, PlacedPiece

__all__ = ["well_sketch"]

_ESP, _BYPASS, _TUBING = -3.2, 4.6, 1.6
_LEAST_MM, _NO_LIMIT = 4.6, 1e9
_ESP_FILLS: dict[str, Fill] = {"motor": "grey", "pump": "light"}


def well_sketch(job: Job, assembly: Assembly, *, paper: Paper = "A4") -> tuple[Scene, ...]:
    """The casing, its narrow places and perforations, with the landed string at its depths.

    Parameters
    ----------
    job : Job
        Casing, openings, perforations, survey, the completion above the Y-tool.
    assembly : Assembly
        The twin string, planned or run.
    paper : {"A4", "A3"}
        The sheet, upright.

    Returns
    -------
    tuple of Scene
        One sheet, not to scale: depths are stretched where much happens, and a
        ruler of true depths stands beside. Depths from the job's datum.

    Raises
    ------
    MissingInputError
        If the depth of the Y-tool is not known.
    InputError
        If there are too many labels for the paper.
    """
    facts, sheet = facts_of(job, assembly), sheet_of(paper)
    room = sheet.top_mm + 5 * sheet.factor, sheet.bottom_mm - 4 * sheet.factor
    plain = Canvas(sheet=sheet, heights=_straight(facts, room), system=job.units)
    knots = {label.height_m for label in (*hole_labels(plain, facts), *string_labels(plain, facts))}
    heights = HeightMap.stretched(
        (*knots, *plain.heights.heights_m), room, _LEAST_MM * sheet.factor, _NO_LIMIT
    )
    view = Canvas(sheet=sheet, heights=heights, system=job.units)
    return (_scene(view, facts),)


def _straight(facts: WellFacts, room_mm: tuple[float, float]) -> HeightMap:
    """From the top of the hole to a little below the lowest thing known of it."""
    depths = [facts.tail_end_m, *(one.bottom_m for one in facts.hole.tubes)]
    low_m = max(depths) + 0.01 * (max(depths) - facts.top_m)
    return HeightMap((-low_m, -facts.top_m), (room_mm[1], room_mm[0]), 1.0, None)


def _scene(view: Canvas, facts: WellFacts) -> Scene:
    sheet, page = view.sheet, _page(view, facts)
    items = (
        *clipped_items(_drawing(view, facts), sheet.top_mm, sheet.bottom_mm),
        *_columns(view, facts),
        *frame(page),
    )
    return Scene(sheet.width_mm, sheet.height_mm, page.title, items)


def _columns(view: Canvas, facts: WellFacts) -> Iterator[Item]:
    hole, string = tuple(hole_labels(view, facts)), tuple(string_labels(view, facts))
    left = Side(hole, ("hole", "MD"), 27, 91.5, 92.3, 94.5, numbered=False)
    right = Side(string, ("landed string", "MD"), 136, 203, 135.4, 129.5, numbered=False)
    size, y_mm = view.mm(2.3), view.sheet.top_mm - view.mm(1.6)
    x_mm = view.sheet.ruler_mm - view.mm(1.5)
    yield Text(x_mm, y_mm, f"MD [{view.unit}]", size, "ruler", "end", bold=True)
    yield from draw_columns(view, (left, right))


def _drawing(view: Canvas, facts: WellFacts) -> Iterator[Item]:
    yield from depth_ruler(view)
    for casing, half in zip(facts.hole.casings, facts.halves_mm, strict=True):
        yield from _casing(view, casing, view.mm(half))
    for place in facts.hole.openings:
        yield from _narrow(view, place, view.mm(facts.half_mm(place.top_m)))
    for zone in facts.hole.perforations:
        yield from _perforated(view, zone, view.mm(facts.half_mm(zone.top_m)))
    yield from _string(view, facts)


def _casing(view: Canvas, casing: Tube, half_mm: float) -> Iterator[Item]:
    middle, top, shoe = view.mm(MIDDLE), view.y(-casing.top_m), view.y(-casing.bottom_m)
    foot, hat = view.mm(1.7), view.mm(1.2)
    for side in (-1, 1):
        x_mm = middle + side * half_mm
        yield Line(x_mm, top, x_mm, shoe, "casing", view.mm(0.55))
        out = x_mm + side * foot
        yield Outline(((x_mm, shoe - foot), (x_mm, shoe), (out, shoe)), "casing", "black", 0.0)
        yield Line(x_mm, top, x_mm + side * hat, top, "casing", view.mm(0.55))


def _narrow(view: Canvas, place: Tube, half_mm: float) -> Iterator[Item]:
    """Blocks on the wall: black where it is in place, outlined where it is pulled."""
    top, bottom = view.y(-place.top_m), view.y(-place.bottom_m)
    high, wide = max(bottom - top, view.mm(1.4)), view.mm(1.8)
    for side in (-1, 1):
        wall = view.mm(MIDDLE) + side * half_mm
        left = min(wall, wall - side * wide)
        fill: Fill = "none" if place.note else "black"
        yield Rect(left, top, wide, high, "casing", fill, view.mm(0.2))


def _perforated(view: Canvas, zone: Tube, half_mm: float) -> Iterator[Item]:
    top, bottom = view.y(-zone.top_m), view.y(-zone.bottom_m)
    count = max(2, round((bottom - top) / view.mm(1.3)) + 1)
    for number in range(count):
        y_mm = top + (bottom - top) * number / (count - 1)
        for side in (-1, 1):
            x_mm = view.mm(MIDDLE) + side * half_mm
            yield Line(
                x_mm - side * view.mm(0.8),
                y_mm,
                x_mm + side * view.mm(2.6),
                y_mm,
                "casing",
                view.mm(0.4),
            )


# --- the landed string ---------------------------------------------------------------------


def _string(view: Canvas, facts: WellFacts) -> Iterator[Item]:
    yield from _tubing(view, facts)
    for piece in facts.assembly.side("bypass"):
        yield _bar(view, facts, piece, _BYPASS, 1.5, "white")
    for piece in facts.assembly.side("esp"):
        yield _bar(view, facts, piece, _ESP, 3.0, _ESP_FILLS.get(piece.kind, "white"))
    for piece in facts.assembly.side("both"):
        yield _bar(view, facts, piece, 0.6, 7.2, "white")


def _bar(
    view: Canvas, facts: WellFacts, piece: PlacedPiece, off: float, half: float, fill: Fill
) -> Rect:
    top, bottom = view.y(-facts.md_m(piece.top_m)), view.y(-facts.md_m(piece.bottom_m))
    x_mm, wide = view.mm(MIDDLE + off - half), view.mm(2 * half)
    layer: Layer = "bypass" if piece.side == "bypass" else "esp"
    return Rect(x_mm, top, wide, bottom - top, layer, fill, view.mm(0.25), piece.id)


def _tubing(view: Canvas, facts: WellFacts) -> Iterator[Item]:
    """The tubing to surface, with a break mark: the sketch shortens it most."""
    top, bottom = view.sheet.top_mm + view.mm(1), view.y(-facts.md_m(facts.assembly.top_m))
    for side in (-_TUBING, _TUBING):
        x_mm = view.mm(MIDDLE + side)
        yield Line(x_mm, top, x_mm, bottom, "bypass", view.mm(0.3))
    yield from break_mark(view, view.mm(MIDDLE), (top + 2 * bottom) / 3, view.mm(_TUBING + 1))


# --- words ---------------------------------------------------------------------------------


def _page(view: Canvas, facts: WellFacts) -> Page:
    state = "as run" if facts.assembly.status == "as-run" else "as planned"
    return Page(facts.job, view.sheet, f"WELL AND STRING, {state}", _notes(facts), "not to scale")


def _notes(facts: WellFacts) -> tuple[str, ...]:
    datum = facts.assembly.datum or "a datum that is not named"
    notes = [
        "NOT TO SCALE, neither along nor across. The ruler gives true depths; depth MD from"
        f" {datum}. Inclination straight between survey stations.",
        "Black triangle: shoe. Black block: narrow place; outlined block: pulled before the run."
        " Ticks through the wall: perforations. NEXT: what a tool meets first below the string.",
    ]
    if facts.hole.missing:
        notes.insert(0, f"NOT DRAWN, not stated: {'; '.join(facts.hole.missing)}.")
    if facts.restriction is None:
        notes.append("No narrow place and no top of a liner below the string is in the tables.")
    return tuple(notes)
