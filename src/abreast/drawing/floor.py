"""Step pictures: what stands on the rig floor after a step, what holds it, and what changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from abreast.drawing.floor_ground import ground_items, ground_labels, rulers
from abreast.drawing.floor_holds import hold_items, hold_labels
from abreast.drawing.floor_labels import FloorLabel, placed
from abreast.drawing.floor_layout import BANNER_MM, TYPE_MM, layout_of
from abreast.drawing.floor_plan import PLAN_MM, plan_items
from abreast.drawing.floor_scaled import scaled
from abreast.drawing.floor_strings import joint_marks, string_items, string_labels
from abreast.drawing.floor_view import Element, FloorView
from abreast.drawing.fonts import clipped, width_mm
from abreast.drawing.page import wrapped
from abreast.drawing.scene import Item, Line, Rect, Scene, Text, printable
from abreast.drawing.svg import svg
from abreast.mechanics.ledger import StepNumbers
from abreast.mechanics.ledger.state import State
from abreast.model.procedure import Procedure

__all__ = ["floor_scene", "floor_svg"]

_WIDTH_MM, _HEIGHT_MM = 88.0, 120.0
_TITLE_MM, _EDGE_MM = 2.7, 0.8
_BOLD = 1.08
"""Bold words are about so much wider than plain ones."""
Elements = Sequence[tuple[str, float, str]]


def floor_scene(
    procedure: Procedure,
    before: State,
    after: State,
    numbers: StepNumbers,
    title: str,
    *,
    elements: Elements = (),
    plan_view: bool = False,
    width_mm: float = _WIDTH_MM,
    height_mm: float = _HEIGHT_MM,
) -> Scene:
    """The picture of one step.

    Parameters
    ----------
    procedure : Procedure
        Pieces, holders, lines and the rig floor.
    before, after : State
        The floor before and after the step; what differs is emphasised.
    numbers : StepNumbers
        Loads after the step.
    title : str
        The step in a few words.
    elements : sequence of (str, float, str)
        What can close below the floor: name, depth below the floor [m], kind.
    plan_view : bool
        Also show the plan, looking down.
    width_mm, height_mm : float
        The picture; a larger one has larger type.

    Returns
    -------
    Scene
        A side elevation, heights to scale near the working level: black
        holders carry, white ones don't. The floor keeps its place from step to
        step of one procedure.
    """
    factor = min(width_mm / _WIDTH_MM, height_mm / _HEIGHT_MM)
    wide, high = width_mm / factor, height_mm / factor
    below = [Element(*one) for one in elements]
    layout = layout_of(procedure, len(below), wide, high)
    view = FloorView(procedure, before, after, layout, below, plan_view=plan_view)
    items = _items(view, numbers, title)
    drawn = tuple(items if factor == 1.0 else (scaled(item, factor) for item in items))
    return Scene(width_mm, height_mm, title, drawn)


def floor_svg(
    procedure: Procedure,
    before: State,
    after: State,
    numbers: StepNumbers,
    title: str,
    *,
    elements: Elements = (),
    plan_view: bool = False,
    width_mm: float = _WIDTH_MM,
    height_mm: float = _HEIGHT_MM,
) -> str:
    """The picture of :func:`floor_scene` as SVG text."""
    scene = floor_scene(
        procedure,
        before,
        after,
        numbers,
        title,
        elements=elements,
        plan_view=plan_view,
        width_mm=width_mm,
        height_mm=height_mm,
    )
    return svg(scene)


def _items(view: FloorView, numbers: StepNumbers, title: str) -> Iterator[Item]:
    layout = view.layout
    left_end = layout.end_mm - (PLAN_MM + 0.4 if view.plan_view else 0.5)
    yield from rulers(view, left_end)
    yield from string_items(view)
    yield from ground_items(view)
    yield from hold_items(view, numbers)
    yield from joint_marks(view)
    top = BANNER_MM if view.changes.banner else BANNER_MM - 2.6
    yield from placed(layout, _labels(view, numbers), top, left_end)
    if view.plan_view:
        yield from plan_items(view)
    yield from _frame(view, title)


def _labels(view: FloorView, numbers: StepNumbers) -> list[FloorLabel]:
    return [
        *hold_labels(view, numbers),
        *string_labels(view),
        *ground_labels(view),
        *_top_labels(view, numbers),
    ]


def _top_labels(view: FloorView, numbers: StepNumbers) -> Iterator[FloorLabel]:
    """How high the tops of both strings stand above the working level."""
    tops = (
        ("bypass top", numbers.bypass_top_m, view.layout.bypass_mm, False),
        ("ESP face", numbers.esp_face_m, view.layout.esp_mm, True),
    )
    for name, above_m, x_mm, left in tops:
        if above_m is None or not view.in_window(view.level_m + above_m):
            continue
        y_mm = view.y(view.level_m + above_m)
        words = f"{name} {view.length(above_m)} above {view.level}"
        at_mm = (x_mm + (-2.2 if left else 2.2), y_mm)
        yield FloorLabel(at_mm, (words,), left, rank=2, plain=True)


def _frame(view: FloorView, title: str) -> Iterator[Item]:
    layout = view.layout
    wide, room = layout.width_mm, layout.width_mm - 2 * _EDGE_MM - 0.8
    yield Rect(0.2, 0.2, wide - 0.4, layout.height_mm - 0.4, "frame", "none", 0.3)
    size, rows = _title_rows(title, room)
    for number, words in enumerate(rows):
        text = clipped(words, room, size, bold=True)
        y_mm = 3.3 - (_TITLE_MM - size) + (3.2 if size == _TITLE_MM else 2.45) * number
        yield Text(_EDGE_MM + 0.4, y_mm, text, size, "frame", bold=True)
    yield Line(0.2, 7.9, wide - 0.2, 7.9, "frame", 0.2)
    if view.changes.banner:
        text = clipped("; ".join(view.changes.banner), room - 1.0, TYPE_MM, bold=True)
        high = width_mm(text, TYPE_MM, bold=True)
        yield Rect(_EDGE_MM, 8.4, high + 1.6, 3.0, "frame", "black", 0.0)
        yield Text(_EDGE_MM + 0.8, 10.7, text, TYPE_MM, "frame", "start", True, True)
    note = f"Heights to scale 1:{layout.scale:g} from floor up to the breaks. Loads static, in air."
    text = clipped(note, room, TYPE_MM)
    yield Text(_EDGE_MM + 0.4, layout.height_mm - 1.0, text, TYPE_MM, "frame")


def _title_rows(title: str, room_mm: float) -> tuple[float, list[str]]:
    """Size and rows of the title: two large ones, else three small ones."""
    for size, most in ((_TITLE_MM, 2), (TYPE_MM, 3)):
        room = room_mm / _BOLD
        rows = list(wrapped(printable(title), room, size))
        if len(rows) <= most:
            return size, rows
    return TYPE_MM, [*rows[:2], clipped(" ".join(rows[2:]), room, TYPE_MM)]
