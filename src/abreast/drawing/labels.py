"""The words beside the strings: which label, at which height, with which columns."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.drawing.marks import PLATE_MM, lane_mm
from abreast.drawing.order import Numbered, lift_names
from abreast.drawing.view import View
from abreast.model import PlacedClamp, PlacedPiece
from abreast.units import Dimension, feet_inches, show

__all__ = ["Label", "left_labels", "right_labels"]


@dataclass(frozen=True, slots=True)
class Label:
    """One label: a row of columns, and perhaps further rows of words under it.

    Parameters
    ----------
    height_m : float
        What it names stands here.
    x_mm : float
        Where its leader starts, on the string.
    number, name : str
        First two columns; the name is bold when the piece is chosen from the rack.
    figures : tuple of str
        Columns of figures, those of the heading.
    more : tuple of str
        Further rows.
    tag : str
        Words in a black box in place of the number.
    part : str
        Id of the piece it names.
    note : str
        Small words between name and figures.
    """

    height_m: float
    x_mm: float
    name: str
    number: str = ""
    figures: tuple[str, ...] = ()
    more: tuple[str, ...] = ()
    tag: str = ""
    bold: bool = False
    part: str = ""
    note: str = ""

    @property
    def rows(self) -> int:
        """How many rows of words it takes."""
        return 1 + len(self.more)


def left_labels(view: View) -> list[Label]:
    """Labels of the ESP side, from the top of the sheet downwards."""
    found = [_esp(view, one) for one in view.part("ESP")]
    found += [_joining(view, one) for one in view.part("both")]
    found += [_clamp(view, one) for one in view.assembly.clamps if view.shows(one.height_m)]
    found += list(_plates(view))
    return sorted(found, key=lambda label: -label.height_m)


def right_labels(view: View) -> list[Label]:
    """Labels of the bypass side, from the top of the sheet downwards."""
    found = [_bypass(view, one) for one in view.part("bypass", "tail")]
    found += list(_tops(view))
    found += list(_tape_check(view))
    found += list(_tail_words(view))
    return sorted(found, key=lambda label: -label.height_m)


def _esp(view: View, one: Numbered) -> Label:
    piece = one.piece
    return Label(
        view.middle_m(piece.bottom_m, piece.top_m),
        view.sheet.esp_mm - view.half_mm(piece),
        piece.id,
        str(one.number),
        (view.length(piece.effective_m), view.length(one.top_m)),
        part=piece.id,
    )


def _joining(view: View, one: Numbered) -> Label:
    piece, is_base = one.piece, one.piece.kind == "base support"
    top_m = -view.assembly.seat_m if is_base else piece.top_m
    height_m = view.middle_m(piece.bottom_m, top_m)
    seat = f"seat height {_in_words(view, view.assembly.seat_m)}"
    return Label(
        height_m,
        view.sheet.esp_mm - view.mm(7),
        piece.id,
        str(one.number),
        (view.length(piece.effective_m), view.length(one.top_m)),
        more=(seat,) if is_base else (),
        part=piece.id,
    )


def _in_words(view: View, length_m: float) -> str:
    text = f"{view.length(length_m)} {view.unit}"
    return f"{text} ({feet_inches(length_m)})" if view.unit == "ft" else text


def _clamp(view: View, clamp: PlacedClamp) -> Label:
    by = show(clamp.shift_m, Dimension.LENGTH, view.system, small=True)
    moved = f", moved {'+' if clamp.shift_m > 0 else ''}{by}" if clamp.shift_m else ""
    return Label(
        clamp.height_m,
        view.sheet.esp_mm - view.mm(7),
        f"twin clamp {clamp.id}{moved}",
        figures=("", view.length(clamp.height_m)),
        part=clamp.id,
    )


def _plates(view: View) -> Iterator[Label]:
    for landing in view.assembly.landings:
        if not view.shows(landing.neck_m):
            continue
        yield Label(
            landing.neck_m,
            view.sheet.esp_mm - view.mm(PLATE_MM),
            f"plate at neck of {landing.piece}",
            figures=("", view.length(landing.neck_m)),
            tag=landing.id,
            part=landing.id,
        )


def _bypass(view: View, one: Numbered) -> Label:
    piece = one.piece
    figures = view.length(piece.effective_m), view.length(one.top_m), view.depth(one.top_m)
    lift = lift_names(view.assembly).get(piece.lift, "")
    return Label(
        view.middle_m(piece.bottom_m, piece.top_m),
        view.sheet.bypass_mm + view.half_mm(piece),
        "union" if piece.kind == "union" else piece.id,
        str(one.number),
        tuple(text for text in figures if text),
        more=tuple(_bypass_more(view, piece)),
        bold=True,
        part=piece.id,
        note=f"lift {lift}" if lift else "",
    )


def _bypass_more(view: View, piece: PlacedPiece) -> Iterator[str]:
    union = view.assembly.union
    if piece.kind == "union" and union is not None:
        to_close, to_open = view.length(union.to_close_m), view.length(union.to_open_m)
        yield f"stroke left: {to_close} to closed, {to_open} to open"
        yield _off_target(view, union.from_target_m)
    if view.job.is_top_hung and piece.bottom_m == view.foot_m:
        yield f"stick-down {_in_words(view, view.assembly.seat_m)}"


def _off_target(view: View, from_target_m: float) -> str:
    off = view.length(abs(from_target_m))
    if not off.strip("0."):
        return "at the wanted length"
    return f"{off} {'longer' if from_target_m > 0 else 'shorter'} than wanted"


def _tops(view: View) -> Iterator[Label]:
    for number, landing in enumerate(view.assembly.landings):
        if not view.shows(landing.bypass_top_m):
            continue
        low, high = (view.length(end) for end in landing.window_m)
        yield Label(
            landing.bypass_top_m,
            lane_mm(view, number) + view.mm(0.8),
            f"top {view.length(landing.above_plate_m)} above plate ({low} to {high})",
            tag=landing.id,
            part=landing.id,
        )


def _tape_check(view: View) -> Iterator[Label]:
    union = view.assembly.union
    if union is None or not view.shows(union.bottom_m):
        return
    distance_m = view.assembly.esp_leg_m - union.bottom_m
    where = "above" if distance_m >= 0 else "below"
    yield Label(
        union.bottom_m,
        view.sheet.bypass_mm + view.mm(3.2),
        _in_words(view, abs(distance_m)),
        more=(f"ESP face {where} bypass top before Y-tool",),
        tag="TAPE",
    )


def _tail_words(view: View) -> Iterator[Label]:
    tail = [one for one in view.numbered if one.part == "tail"]
    if not tail or not view.shows(view.foot_m):
        return
    length_m = sum(one.piece.effective_m for one in tail)
    words = f"tail, {len(tail)} pieces, true length {view.length(length_m)} {view.unit}"
    broken = view.heights.broken_m is not None
    yield Label(
        view.foot_m,
        view.sheet.bypass_mm + view.mm(4),
        words,
        more=("below here not to scale; figures are true",) if broken else (),
    )
