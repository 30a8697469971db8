"""The way down over depth: hole, doglegs, side force, bending, drag, where no shape is found."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.drawing.caption import caption
from abreast.drawing.fonts import width_mm
from abreast.drawing.page import Page, frame
from abreast.drawing.passing_bands import bend_track, drag_track, side_track, state_track
from abreast.drawing.passing_hole import dogleg_track, hole_track
from abreast.drawing.passing_tracks import LOOK, STATES, TrackSheet, slanted
from abreast.drawing.passing_words import states, words_of
from abreast.drawing.scene import Circle, Item, Line, Rect, Scene, Text
from abreast.drawing.sheet import Paper, sheet_of
from abreast.mechanics.running_in import RunIn
from abreast.model import Assembly, Job

__all__ = ["passing_chart"]


def passing_chart(
    job: Job, assembly: Assembly, running: RunIn, *, paper: Paper = "A4"
) -> tuple[Scene, ...]:
    """The way down on one sheet, depths down the page, one track beside the other.

    Parameters
    ----------
    job : Job
        Limits of bending and doglegs, units.
    assembly : Assembly
        The twin string.
    running : RunIn
        What the contact model found, :func:`abreast.mechanics.running_in.run_in`.
    paper : {"A4", "A3"}
        The sheet, upright.
    """
    sheet = sheet_of(paper)
    end_m = float(running.hole.path.md_m[-1])
    last_m = min(running.planned_md_m + 1.15 * running.length_m, max(end_m, running.planned_md_m))
    chart = TrackSheet(job, running, sheet, last_m)
    page = Page(
        job=job,
        sheet=sheet,
        heading="On the way down",
        notes=_notes(chart),
        scale="not to scale",
    )
    items = (
        *hole_track(chart),
        *dogleg_track(chart),
        *side_track(chart),
        *bend_track(chart),
        *drag_track(chart),
        *state_track(chart),
        *_legend(chart),
        *_words(chart),
        *frame(page),
    )
    return (Scene(sheet.width_mm, sheet.height_mm, page.title, items),)


def _notes(chart: TrackSheet) -> tuple[str, ...]:
    taken = "; ".join(chart.running.assumptions)
    return (f"{taken[:1].upper()}{taken[1:]}.",)


def _legend(chart: TrackSheet) -> Iterator[Item]:
    """Keys in two rows under the tracks."""
    f, size = chart.f, chart.size
    keys: list[list[tuple[str, str]]] = [
        [
            ("band", "best to worst roll"),
            ("dot", "each roll"),
            ("esp", "ESP part"),
            ("bypass", "bypass part"),
            ("both", "Y-tool, base"),
            ("limit", "limit"),
            ("line", "sharpest along the string"),
            ("planned", "planned"),
        ],
        [
            ("close", "no roll has a shape"),
            ("wide", "some rolls have none"),
            *((state, state) for state, _ in STATES),
        ],
    ]
    others = set(states(chart.running.down)) - {state for state, _ in STATES}
    keys[1] += [(state, state) for state in sorted(others)]
    for row, entries in enumerate(keys):
        x_mm, y_mm = 9 * f, (214.0 + 4 * row) * f
        for key, words in entries:
            yield from _key(chart, key, x_mm, y_mm)
            yield Text(x_mm + 6.4 * f, y_mm, words, size, "label")
            x_mm += 9.2 * f + width_mm(words, size)


def _key(chart: TrackSheet, key: str, x_mm: float, y_mm: float) -> Iterator[Item]:
    f = chart.f
    box, middle = (x_mm, y_mm - 1.9 * f, 5 * f, 2.3 * f), y_mm - 0.75 * f
    right, bottom = x_mm + 5 * f, y_mm + 0.4 * f
    if key == "dot":
        yield Circle(x_mm + 2.5 * f, middle, 0.4 * f, "esp", "black", 0.0)
    elif key == "limit":
        yield Line(x_mm, middle, right, middle, "limit", 0.5 * f, (2.0, 1.2))
    elif key in ("line", "planned"):
        wide = (0.35 if key == "line" else 0.7) * f
        yield Line(x_mm, middle, right, middle, "esp", wide)
    elif key in ("close", "wide"):
        pitch = (3.2 if key == "wide" else 1.6) * f
        yield from slanted((x_mm, y_mm - 1.9 * f, right, bottom), pitch, 0.25 * f)
        yield Rect(*box, "ruler", "none", 0.15 * f)
    elif key in LOOK:
        layer, fill = LOOK[key]
        yield Rect(*box, layer, fill, 0.15 * f)
    else:
        fill = "light" if key == "band" else dict(STATES).get(key, "light")
        yield Rect(*box, "esp" if key == "band" else "limit", fill, 0.15 * f)


def _words(chart: TrackSheet) -> Iterator[Item]:
    """The worst of each kind in words; as many rows as there is room."""
    depths = (
        f"Depths: MD of the Y-tool's top from {chart.job.depth_datum}; hole and doglegs at their"
        " own depth, they act on the string while its top is up to its length above them."
    )
    rows = (*words_of(chart.job, chart.running), (depths, False))
    return caption(rows, (9.0, 219.5, 201.0, 255.5), chart.f, "the findings of passage")
