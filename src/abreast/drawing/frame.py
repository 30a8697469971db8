"""Border, heading, notes and title block: whose drawing it is, and what it may be used for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from abreast import __version__
from abreast.drawing.fonts import clipped, width_mm
from abreast.drawing.scene import Item, Line, Rect, Text
from abreast.drawing.view import View
from abreast.model import Signature, fingerprint

__all__ = ["frame"]

Cell = tuple[str, str]


def frame(view: View) -> Iterator[Item]:
    """Everything around the strings."""
    sheet, edge = view.sheet, view.sheet.margin_mm - view.mm(2)
    wide, high = sheet.width_mm - 2 * edge, sheet.height_mm - 2 * edge
    yield Rect(edge, edge, wide, high, "frame", "none", view.mm(0.5))
    yield from _heading(view)
    yield from _ruler_heading(view)
    yield from _notes(view)
    yield from _block(view)


def _heading(view: View) -> Iterator[Item]:
    left, y_mm = view.sheet.margin_mm, view.mm(14)
    state = "as run" if view.assembly.status == "as-run" else "as planned"
    yield Text(left, y_mm, f"SPACE-OUT, {state}", view.mm(4.6), "frame", bold=True)
    words = f"{view.job.name}, revision {view.job.revision.number}"
    room = view.mm(150)
    size = view.mm(3.6)
    yield Text(left, view.mm(20), clipped(words, room, size), size, "frame")
    if view.job.revision.is_draft:
        yield from _draft(view)


def _draft(view: View) -> Iterator[Item]:
    size, text = view.mm(8), "DRAFT"
    wide = width_mm(text, size, bold=True) + view.mm(4)
    left, top = view.sheet.width_mm - view.sheet.margin_mm - wide, view.mm(8.2)
    yield Rect(left, top, wide, view.mm(8.6), "frame", "none", view.mm(0.8))
    yield Text(left + wide / 2, top + view.mm(7.1), text, size, "frame", "middle", bold=True)
    y_mm, right = view.mm(20), view.sheet.width_mm - view.sheet.margin_mm
    yield Text(right, y_mm, "not approved: not for use on the rig", view.mm(2.5), "frame", "end")


def _ruler_heading(view: View) -> Iterator[Item]:
    size, x_mm, y_mm = view.mm(2.3), view.sheet.ruler_mm, view.sheet.top_mm - view.mm(1.6)
    yield Text(x_mm - view.mm(1.5), y_mm, f"z [{view.unit}]", size, "ruler", "end", bold=True)
    if view.depth_of_zero_m is not None:
        yield Text(x_mm + view.mm(1.5), y_mm, f"MD [{view.unit}]", size, "ruler", bold=True)


def _note_lines(view: View) -> tuple[str, ...]:
    job, scale = view.job, f"{view.heights.scale:g}"
    zero = "motor base" if job.is_top_hung else "ESP seating shoulder"
    datum = f"depth MD from {view.assembly.datum}" if view.assembly.datum else ""
    depth = datum if view.depth_of_zero_m is not None else "depth not known"
    return (
        f"Scale along the well 1:{scale} printed full size on {view.sheet.paper}; NOT TO SCALE"
        f" ACROSS. All lengths in {view.unit}; height z up from the {zero}; {depth}.",
        "White bar with black ends: twin clamp. Thick line through the ESP: plate at a landing."
        " Upright bar: working window of the bypass top; black square: the bypass top.",
        "'no.' is the order of running. 'adds' is the effective length. Check each figure against"
        " the tally with the same fingerprint before use.",
    )


def _notes(view: View) -> Iterator[Item]:
    size, left = view.mm(2.3), view.sheet.margin_mm
    room = view.sheet.width_mm - 2 * left
    for row, words in enumerate(_note_lines(view)):
        y_mm = view.sheet.height_mm - view.mm(38) + row * view.mm(3.2)
        yield Text(left, y_mm, clipped(words, room, size), size, "frame")


def _signed(signature: Signature | None) -> str:
    return str(signature) if signature is not None else "not signed"


def _cells(view: View) -> tuple[tuple[Cell, ...], ...]:
    job, revision = view.job, view.job.revision
    status = "DRAFT" if revision.is_draft else "approved"
    return (
        (
            ("job", job.name),
            ("well", job.well),
            ("revision", revision.number),
            ("status", status),
        ),
        (
            ("prepared", _signed(revision.prepared)),
            ("checked", _signed(revision.checked)),
            ("approved", _signed(revision.approved)),
            ("fingerprint", fingerprint(job)),
        ),
        (
            ("arrangement", job.arrangement),
            ("bypass pipe", job.pipe.name),
            ("scale along", f"1:{view.heights.scale:g} on {view.sheet.paper}"),
            ("made by", f"abreast {__version__}"),
        ),
    )


def _block(view: View) -> Iterator[Item]:
    left, high = view.sheet.margin_mm - view.mm(2), view.mm(8.2)
    top = view.sheet.height_mm - left - 3 * high
    wide = view.sheet.width_mm - 2 * left
    for row, cells in enumerate(_cells(view)):
        yield from _block_row(view, cells, (left, top + row * high), (wide, high))


def _block_row(
    view: View, cells: Sequence[Cell], at_mm: tuple[float, float], size_mm: tuple[float, float]
) -> Iterator[Item]:
    (x_mm, y_mm), (wide, high) = at_mm, size_mm
    each, inset = wide / len(cells), view.mm(1.4)
    yield Line(x_mm, y_mm, x_mm + wide, y_mm, "frame", view.mm(0.3))
    for place, (caption, words) in enumerate(cells):
        left = x_mm + place * each
        if place:
            yield Line(left, y_mm, left, y_mm + high, "frame", view.mm(0.2))
        yield Text(left + inset, y_mm + view.mm(2.7), caption, view.mm(2), "frame")
        size = view.mm(3.2)
        text = clipped(words, each - 2 * inset, size, bold=True)
        yield Text(left + inset, y_mm + view.mm(6.8), text, size, "frame", bold=True)
