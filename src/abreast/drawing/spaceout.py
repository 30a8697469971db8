"""The space-out drawings: both strings beside one ruler, true to scale and stretched."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate, pairwise
from math import inf, isfinite

from abreast.drawing.body import clamp_bars, cut_ends, strings
from abreast.drawing.canvas import EVERYTHING, Window, clipped_items
from abreast.drawing.columns import label_columns
from abreast.drawing.labels import left_labels, right_labels
from abreast.drawing.marks import face_dimension, landings
from abreast.drawing.order import lift_names
from abreast.drawing.page import Page, frame
from abreast.drawing.ruler import ruler, ruler_heading
from abreast.drawing.scene import Item, Scene
from abreast.drawing.sheet import Paper
from abreast.drawing.view import Mode, View, view_of
from abreast.errors import InputError
from abreast.model import Assembly, Job

__all__ = ["spaceout_stretched", "spaceout_true"]

_MOST_SHEETS = 12
_NEAR_FOOT = 0.35
"""Share of a sheet's rows by which a cut may be moved to the foot of the twin strings."""
_NO_ROOM = "labels-do-not-fit"


def spaceout_true(job: Job, assembly: Assembly, *, paper: Paper = "A4") -> tuple[Scene, ...]:
    """Both strings to one scale along the well: a check on proportions.

    Parameters
    ----------
    job : Job
        The job; its revision and fingerprint go into the title block.
    assembly : Assembly
        The twin string, planned or run.
    paper : {"A4", "A3"}
        The sheet, upright.

    Returns
    -------
    tuple of Scene
        One ruler of heights and depths; ESP side left, bypass right, running
        numbers, connections, twin clamps, plates and working windows, the union
        with its stroke left. A long tail is drawn broken, its true length
        written. Words overlap nothing and stay on the sheet. One sheet, or
        several from the lowest up when there are too many labels for one.

    Raises
    ------
    InputError
        If the paper is not known, or too many labels stand at one height.
    """
    return _sheets(job, assembly, paper, "true")


def spaceout_stretched(job: Job, assembly: Assembly, *, paper: Paper = "A4") -> tuple[Scene, ...]:
    """The same with short parts drawn large enough to read, and long ones shortened.

    Both sides share one map from heights to paper, straight between the ends of
    the pieces of both, so that parts that face each other in the well do so on
    paper; the ruler's ticks are true heights and depths through that map. Parts
    drawn shorter than one scale for all would draw them carry break marks.
    Parameters, result and errors are those of :func:`spaceout_true`.
    """
    return _sheets(job, assembly, paper, "stretched")


def _sheets(job: Job, assembly: Assembly, paper: Paper, mode: Mode) -> tuple[Scene, ...]:
    """As few sheets as take every label in type that can be read."""
    whole = view_of(job, assembly, paper)
    rows = _label_rows(whole)
    fault = InputError("the string has nothing to draw", code=_NO_ROOM)
    for count in range(1, _MOST_SHEETS + 1):
        windows = _windows(rows, count, whole.foot_m)
        try:
            views = [view_of(job, assembly, paper, mode, one) for one in windows]
            return tuple(_scene(view, number, len(views)) for number, view in enumerate(views, 1))
        except InputError as found:
            if found.code != _NO_ROOM:
                raise
            fault = found
    raise fault


def _label_rows(view: View) -> list[tuple[float, int]]:
    """Height and rows of every label, lowest first."""
    labels = (*left_labels(view), *right_labels(view))
    return sorted((label.height_m, label.rows) for label in labels)


def _windows(rows: list[tuple[float, int]], count: int, foot_m: float) -> list[Window]:
    """Stretches of heights with about as many rows of labels each, cut at the foot if that is near.

    Two strings above and one tail below are read more easily on sheets of their own.
    """
    if count == 1:
        return [EVERYTHING]
    done = list(accumulate(number for _, number in rows))
    gaps = [
        (total, (low + high) / 2)
        for total, ((low, _), (high, _)) in zip(done, pairwise(rows), strict=False)
        if high - low > 1e-3
    ]
    below = sum(number for height, number in rows if height < foot_m)
    cuts = {
        _cut(gaps, done[-1] * sheet / count, (below, foot_m), _NEAR_FOOT * done[-1] / count)
        for sheet in range(1, count)
    }
    return list(pairwise((-inf, *sorted(cuts - {inf}), inf)))


def _cut(
    gaps: list[tuple[int, float]], wanted: float, foot: tuple[int, float], near: float
) -> float:
    """Height with about so many rows below it; none where all labels stand at one height."""
    if foot[0] and abs(foot[0] - wanted) <= near:
        return foot[1]
    return min(gaps, key=lambda gap: abs(gap[0] - wanted), default=(0, inf))[1]


def _scene(view: View, number: int, of: int) -> Scene:
    sheet, page = view.sheet, _page(view, number, of)
    items = (
        *clipped_items(_drawing(view), *view.span_mm),
        *cut_ends(view),
        *ruler_heading(view),
        *label_columns(view),
        *frame(page),
    )
    return Scene(sheet.width_mm, sheet.height_mm, page.title, items)


def _drawing(view: View) -> Iterator[Item]:
    yield from ruler(view)
    yield from strings(view)
    yield from landings(view)
    yield from clamp_bars(view)
    yield from face_dimension(view)


def _page(view: View, number: int, of: int) -> Page:
    state = "as run" if view.assembly.status == "as-run" else "as planned"
    return Page(
        job=view.job,
        sheet=view.sheet,
        heading=f"SPACE-OUT {_kind(view)}, {state}",
        notes=_notes(view),
        scale=_scale(view),
        number=number,
        of=of,
    )


def _kind(view: View) -> str:
    return "STRETCHED" if view.mode == "stretched" else "TO SCALE"


def _scale(view: View) -> str:
    n = view.heights.scale
    if view.heights.is_stretched:
        return f"long parts 1:{n:.0f} on {view.sheet.paper}"
    return f"1:{n:.4g} on {view.sheet.paper}"


def _notes(view: View) -> tuple[str, ...]:
    zero = "motor base" if view.job.is_top_hung else "ESP seating shoulder"
    datum = f"depth MD from {view.assembly.datum}" if view.assembly.datum else ""
    depth = datum if view.depth_of_zero_m is not None else "depth not known"
    return (
        f"{_scale_words(view)} All lengths in {view.unit}; height z up from the {zero}; {depth}."
        f"{_cut_words(view)}",
        "White bar with black ends: twin clamp. Thick line through the ESP: plate at a landing."
        " Upright bar: working window of the bypass top; black square: the bypass top.",
        "'no.' is the order of running. 'adds' is the effective length. Check each figure against"
        " the tally with the same fingerprint before use."
        f"{_lift_words(view)}",
    )


def _lift_words(view: View) -> str:
    """The pieces of lifts whose name is too long for a label."""
    names = lift_names(view.assembly).items()
    return "".join(f" Lift {short}: {lift}." for lift, short in names if short != lift)


def _scale_words(view: View) -> str:
    n, paper = view.heights.scale, view.sheet.paper
    if view.heights.is_stretched:
        return (
            f"Long parts 1:{n:.0f} printed full size on {paper}, STRETCHED ON SHORT ONES; the"
            " ruler is true. Broken bar: drawn shorter than to scale. NOT TO SCALE ACROSS."
        )
    here = "; nothing is stretched on this sheet" if view.mode == "stretched" else ""
    return (
        f"Scale along the well 1:{n:.4g} printed full size on {paper}{here}; NOT TO SCALE ACROSS."
    )


def _cut_words(view: View) -> str:
    low, high = view.window_m
    below = [f"from z {view.length(low)} up"] if isfinite(low) else []
    above = [f"up to z {view.length(high)}"] if isfinite(high) else []
    return f" This sheet: {', '.join(below + above)}." if below or above else ""
