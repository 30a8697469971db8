"""The table of the best depths, each with the reason for its rank."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees

from abreast.drawing.caption import FIGURE_MM
from abreast.drawing.fonts import clipped
from abreast.drawing.scene import Item, Line, Rect, Text
from abreast.drawing.sheet import Sheet
from abreast.mechanics.setting_places import Place, SettingScan
from abreast.units import Dimension, display_unit, show

__all__ = ["table_items"]

MOST_ROWS = 10
_COLUMNS = (9.0, 18.0, 37.0, 56.0, 72.0, 88.0, 110.0, 128.0)
_RIGHT, _PITCH = 201.0, 3.9


def table_items(scan: SettingScan, sheet: Sheet, top: float) -> Iterator[Item]:
    """The ten best, and the planned depth if it is none of them.

    Parameters
    ----------
    scan : SettingScan
        The ranked depths.
    sheet : Sheet
        The paper.
    top : float
        Where it begins, as on A4 [mm].
    """
    f = sheet.factor
    shown = list(scan.places[:MOST_ROWS])
    if scan.planned not in shown:
        shown.append(scan.planned)
    yield from _row(f, top, _heading(scan), bold=True)
    yield Line(8 * f, (top + 1.1) * f, _RIGHT * f, (top + 1.1) * f, "frame", 0.3 * f)
    for number, place in enumerate(shown, 1):
        y = top + number * _PITCH
        if place.is_planned:
            yield Rect(8 * f, (y - 2.7) * f, (_RIGHT - 8) * f, 3.7 * f, "esp", "light", 0.0)
        yield from _row(f, y, _cells(scan, place), bold=place.is_planned)


def _heading(scan: SettingScan) -> tuple[str, ...]:
    long = display_unit(Dimension.LENGTH, scan.system)
    bend = display_unit(Dimension.DOGLEG, scan.system)
    return (
        "rank",
        f"Y-tool [{long}]",
        f"off plan [{long}]",
        "dogleg",
        "joint off",
        "inclination [°]",
        "contact",
        f"why (doglegs in {bend}, tolerance and allowance in them)",
    )


def _cells(scan: SettingScan, place: Place) -> tuple[str, ...]:
    low, high = (degrees(one) for one in place.candidate.inclination_rad)
    off = _figure(place.from_planned_m, Dimension.LENGTH, scan, 1)
    return (
        str(scan.rank(place)),
        _figure(place.top_md_m, Dimension.LENGTH, scan, 1),
        "0" if place.is_planned else off if place.from_planned_m < 0 else f"+{off}",
        _figure(place.dogleg_rad_m, Dimension.DOGLEG, scan, 2),
        "–" if place.slide_rad_m is None else _figure(place.slide_rad_m, Dimension.DOGLEG, scan, 2),
        f"{low:.1f} to {high:.1f}",
        _contact(place),
        scan.reason(place),
    )


def _figure(value: float, dimension: Dimension, scan: SettingScan, digits: int) -> str:
    """The digits alone; the heading carries the unit."""
    unit = display_unit(dimension, scan.system)
    return show(value, dimension, scan.system, digits=digits).removesuffix(unit).strip()


def _contact(place: Place) -> str:
    if place.contact is None:
        return "not asked"
    ratio = place.contact.moment_ratio
    return "not known" if ratio is None else f"{100 * ratio:.0f} %"


def _row(f: float, y: float, cells: tuple[str, ...], *, bold: bool) -> Iterator[Item]:
    edges = (*_COLUMNS[1:], _RIGHT + 1.0)
    for left, right, words in zip(_COLUMNS, edges, cells, strict=True):
        text = clipped(words, (right - left - 1.0) * f, FIGURE_MM * f, bold=bold)
        yield Text(left * f, y * f, text, FIGURE_MM * f, "label", bold=bold)
