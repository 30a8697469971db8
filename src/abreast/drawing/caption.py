"""Words under a chart: verdicts large and bold, the rest after them, in the room there is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from abreast.drawing.page import wrapped
from abreast.drawing.scene import Text

__all__ = ["FIGURE_MM", "VERDICT_MM", "caption"]

FIGURE_MM, VERDICT_MM = 2.5, 3.0
"""Type on A4 of figures and plain words, and of a verdict: common practice, no source."""
_PITCH = 1.37
_BOLD_ROOM = 0.92
"""Bold words are wider than those by which rows are broken."""


def caption(
    rows: Iterable[tuple[str, bool]],
    box_mm: tuple[float, float, float, float],
    f: float,
    more: str,
) -> Iterator[Text]:
    """Rows of words in a box; where there is no room for all of them, where the rest is.

    Parameters
    ----------
    rows : iterable of (str, bool)
        Words, and whether they are a verdict.
    box_mm : (float, float, float, float)
        Left, top, right and bottom, as on A4 [mm].
    f : float
        Paper per size on A4.
    more : str
        Where the rest is to be found.
    """
    left, top, right, bottom = (one * f for one in box_mm)
    step = _PITCH * FIGURE_MM * f
    last = bottom - 1.3 * step
    y_mm = top
    for words, bold in rows:
        size = (VERDICT_MM if bold else FIGURE_MM) * f
        for line in wrapped(words, (right - left) * (_BOLD_ROOM if bold else 1.0), size):
            if y_mm + _PITCH * size > last:
                rest = f"… and more: see {more}"
                yield Text(left, y_mm + step, rest, FIGURE_MM * f, "label", bold=True)
                return
            y_mm += _PITCH * size
            yield Text(left, y_mm, line, size, "label", bold=bold)
