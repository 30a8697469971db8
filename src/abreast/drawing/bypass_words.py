"""Beside the way of tools: bars of the longest stiff lengths, and what else must be known."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor, log10

from abreast.drawing.page import wrapped
from abreast.drawing.scene import Circle, Fill, Item, Line, Rect, Text
from abreast.drawing.sheet import Sheet
from abreast.mechanics.access import Met
from abreast.mechanics.access_words import bore_words, unchecked_words, valve_words, way_facts
from abreast.mechanics.bypass_plug import equalise_words
from abreast.mechanics.bypass_tools import (
    LongestStiff,
    StringPassage,
    ToolPassages,
)
from abreast.model import Job
from abreast.units import Dimension, display_unit, show, to_unit

__all__ = ["bars", "words"]

_LEFT_MM, _RIGHT_MM, _BAR_MM, _END_MM = 128.0, 203.0, 142.0, 190.0
_TOP_MM, _PITCH_MM, _MOST_MM = 44.0, 4.2, 63.0
_MOST_BARS, _SAME_ROW_M = 16, 0.0017
_SIZE_MM, _ROW_MM, _GAP_MM, _FOOT_MM = 2.4, 3.4, 15.0, 252.0


# --- bars ----------------------------------------------------------------------------------


class _Log:
    """A logarithmic scale of lengths across the bars, in the unit of the job."""

    def __init__(self, job: Job, sheet: Sheet, lengths_m: list[float]) -> None:
        self.unit = display_unit(Dimension.LENGTH, job.units)
        self.f = sheet.factor
        shown = [to_unit(one, self.unit) for one in lengths_m if one > 0]
        self.low = _round(min(shown), down=True)
        self.high = max(_round(max(shown), down=False), self.low * 10)

    def x(self, length_m: float) -> float:
        value = min(max(to_unit(length_m, self.unit), self.low), self.high)
        share = log10(value / self.low) / log10(self.high / self.low)
        return (_BAR_MM + share * (_END_MM - _BAR_MM)) * self.f

    def ticks(self) -> Iterator[tuple[float, float]]:
        """Round figures and their places."""
        value, share = self.low, log10(self.high / self.low)
        while value <= self.high * (1 + 1e-9):
            place = _BAR_MM + log10(value / self.low) / share * (_END_MM - _BAR_MM)
            yield value, place * self.f
            value = _next(value)


def _round(value: float, *, down: bool) -> float:
    """The nearest 1, 2 or 5 times a power of ten, below or above."""
    power = 10.0 ** floor(log10(value))
    steps = [power * one for one in (1, 2, 5, 10)]
    if down:
        return max(one for one in steps if one <= value * (1 + 1e-9))
    return min(one for one in steps if one >= value * (1 - 1e-9))


def _next(value: float) -> float:
    return _round(value * 1.5, down=False)


def bars(job: Job, sheet: Sheet, found: ToolPassages) -> Iterator[Item]:
    """A bar for each diameter; a dot for each stiff length that is wanted all the way."""
    f = sheet.factor
    size, pitch, top = _SIZE_MM * f, _pitch_mm(found) * f, _TOP_MM * f
    wanted = [one.stiff for string in found.strings if not string.run_to for one in string.lengths]
    table = _shown(found)
    lengths = [one for row in table for one in (row.length_m, row.hole_m)]
    lengths += [one.length_m for one in wanted]
    scale, foot = _Log(job, sheet, lengths), top + pitch * len(table)
    yield from _title(job, sheet, found)
    for value, x_mm in scale.ticks():
        yield Line(x_mm, top, x_mm, foot, "grid", 0.1 * f)
        yield Text(x_mm, foot + 3.2 * f, f"{value:g}", size, "ruler", "middle")
    middle = (_BAR_MM + _END_MM) / 2 * f
    title = f"stiff length [{scale.unit}], logarithmic"
    yield Text(middle, foot + 6.6 * f, title, size, "ruler", "middle", bold=True)
    if found.way is not None and found.way.sharpest is not None:
        text = "light: if the bypass lay no sharper than its hole"
        yield Text(middle, foot + 10.0 * f, text, size, "ruler", "middle")
    for number, row in enumerate(table):
        y_mm = top + number * pitch
        yield from _bar(job, scale, row, (y_mm, pitch), f)
        for one in wanted:
            if _nearest(table, one.od_m) is row:
                x_mm = scale.x(one.length_m)
                fill: Fill = "black" if one.length_m <= row.length_m else "white"
                yield Circle(x_mm, y_mm + pitch / 2, 0.75 * f, "limit", fill, 0.25 * f)
    yield Line(_BAR_MM * f, top, _BAR_MM * f, foot, "ruler", 0.3 * f)


def _shown(found: ToolPassages) -> tuple[LongestStiff, ...]:
    """The thickest, whose lengths are the shortest."""
    return found.table[-_MOST_BARS:]


def _pitch_mm(found: ToolPassages) -> float:
    """Height of a bar with its gap, on A4."""
    return min(_PITCH_MM, _MOST_MM / max(1, len(_shown(found))))


def _title(job: Job, sheet: Sheet, found: ToolPassages) -> Iterator[Item]:
    f = sheet.factor
    kept = show(found.clearance_m or 0.0, Dimension.LENGTH, job.units, small=True)
    rows = (
        "Longest stiff length that passes straight, by diameter",
        f"Clearance of {kept} kept. Dot: wanted; open dot: not straight.",
    )
    for number, text in enumerate(rows):
        y_mm = (_TOP_MM - 8.4 + 3.4 * number) * f
        yield Text(_LEFT_MM * f, y_mm, text, _SIZE_MM * f, "ruler", bold=not number)
    unit = display_unit(Dimension.LENGTH, job.units, small=True)
    y_mm = (_TOP_MM - 1.4) * f
    yield Text((_BAR_MM - 1.0) * f, y_mm, f"OD [{unit}]", _SIZE_MM * f, "ruler", "end", bold=True)


def _bar(
    job: Job, scale: _Log, row: LongestStiff, place_mm: tuple[float, float], f: float
) -> Iterator[Item]:
    y_mm, pitch = place_mm
    size, base = _SIZE_MM * f, y_mm + pitch / 2 + 0.35 * _SIZE_MM * f
    digits = 1 if job.units == "SI" else 4
    od = show(row.od_m, Dimension.LENGTH, job.units, digits=digits, small=True)
    yield Text((_BAR_MM - 1.0) * f, base, od.rpartition(" ")[0], size, "ruler", "end")
    wide = max(scale.x(row.length_m) - _BAR_MM * f, 0.2 * f)
    thick = 0.6 * pitch
    if row.hole_m > row.length_m:
        more_mm = scale.x(row.hole_m) - _BAR_MM * f
        yield Rect(_BAR_MM * f, y_mm + 0.2 * pitch, more_mm, thick, "casing", "light", 0.1 * f)
    yield Rect(_BAR_MM * f, y_mm + 0.2 * pitch, wide, thick, "bypass", "grey", 0.15 * f)
    text = _rounded_down(job, scale.unit, row) + (" or more" if row.or_more else "")
    yield Text(_RIGHT_MM * f, base, text, size, "label", "end", bold=True)


def _rounded_down(job: Job, unit: str, row: LongestStiff) -> str:
    """A longest length is never shown longer than it is."""
    digits = 2 if job.units == "SI" else 1
    return f"{floor(to_unit(row.length_m, unit) * 10**digits + 1e-6) / 10**digits:.{digits}f}"


def _nearest(table: tuple[LongestStiff, ...], od_m: float) -> LongestStiff | None:
    """The row of a diameter: the thinnest that is not thinner; None: it has no row."""
    row = next((row for row in table if row.od_m >= od_m - 2e-4), None)
    return row if row is not None and row.od_m - od_m < _SAME_ROW_M else None


# --- words ---------------------------------------------------------------------------------


def words(job: Job, sheet: Sheet, found: ToolPassages) -> Iterator[Item]:
    """Smallest bore, plug, tool strings: headings and rows, as many as the sheet takes."""
    f, y_mm = sheet.factor, _TOP_MM + _pitch_mm(found) * len(_shown(found)) + _GAP_MM
    for heading, rows in _blocks(job, found):
        lines = [line for row in rows for line in _wrapped(row, sheet)]
        most = int((_FOOT_MM - y_mm) / _ROW_MM)
        if not lines or most < 2:
            continue
        if len(lines) > most:
            lines = [*lines[: most - 1], "... the rest stands in the work pack"]
        yield Text(_LEFT_MM * f, y_mm * f, heading, 2.6 * f, "label", bold=True)
        for line in lines:
            y_mm += _ROW_MM
            yield Text(_LEFT_MM * f, y_mm * f, line, _SIZE_MM * f, "label")
        y_mm += _ROW_MM + 1.2


def _wrapped(row: str, sheet: Sheet) -> Iterator[str]:
    room_mm = (_RIGHT_MM - _LEFT_MM) * sheet.factor
    return (line for line in wrapped(row, room_mm, _SIZE_MM * sheet.factor) if line)


def _blocks(job: Job, found: ToolPassages) -> Iterator[tuple[str, tuple[str, ...]]]:
    yield "Smallest bore of the whole path", tuple(_smallest(job, found))
    yield "In the bore", (found.in_bore or "not stated",)
    if found.access is not None and found.way is not None:
        facts = way_facts(job, found.way, found.access)
        yield "On the way", tuple(f"{name}: {text}" for name, text in facts)
        yield "Safety valve", valve_words(job, found.access)
    yield "Before a plug is pulled", equalise_words()
    yield "Tool strings", tuple(_string(job, found, one) for one in found.strings)
    yield "Not checked", (*(f"needs {need}" for need in found.needs), *unchecked_words())
    yield "Force on a plug", tuple(_forces(job, found))
    if found.access is not None:
        yield "Below the open end: MD, TVD", tuple(_below(job, one) for one in found.access.below)


def _below(job: Job, one: Met) -> str:
    md = show(one.top_md_m, Dimension.LENGTH, job.units)
    if one.top_tvd_m is None:
        return f"{one.what}: {md}"
    tvd = show(one.top_tvd_m, Dimension.LENGTH, job.units)
    return f"{one.what}: {md.rpartition(' ')[0]}, {tvd}"


def _smallest(job: Job, found: ToolPassages) -> Iterator[str]:
    place = found.smallest.place
    if place is None or place.bore_m is None:
        yield "not known"
        return
    bore = show(place.bore_m, Dimension.LENGTH, job.units, small=True)
    yield f"{bore}: {bore_words(job, place)}"
    for zero, top_m, _ in found.smallest.depths:
        yield f"at {show(top_m, Dimension.LENGTH, job.units)} from {zero}"


def _forces(job: Job, found: ToolPassages) -> Iterator[str]:
    for one in found.plug_forces:
        difference = show(one.difference_pa, Dimension.PRESSURE, job.units)
        force = show(one.force_n, Dimension.FORCE, job.units)
        seal = show(one.seal_m, Dimension.LENGTH, job.units, small=True)
        why = f" ({one.why})" if "pump" in one.why else ""
        yield f"{one.place}, {seal}: {force} at {difference}{why}"


def _string(job: Job, found: ToolPassages, string: StringPassage) -> str:
    to = f" to above {string.run_to}" if string.run_to else ""
    open_ = found.way.needs if found.way is not None else ()
    if string.needs:
        return f"{string.name}{to}: not checked: needs {'; '.join(string.needs)}"
    worst = min(string.passages, key=lambda one: (_RANK[one.verdict], one.room_m))
    if worst.verdict == "passes":
        unseen = f"; not checked: needs {'; '.join(open_)}" if open_ else ""
        return f"{string.name}{to}: passes straight{unseen}"
    if worst.force_n is None:
        ending = "not checked: needs its EI" if worst.verdict == "not checked" else "too thick"
        return f"{string.name}{to}: {worst.name} at {worst.where}: {ending}"
    force = show(worst.force_n, Dimension.FORCE, job.units)
    known = next(
        one.side_load_n
        for one, passage in zip(string.lengths, string.passages, strict=True)
        if passage is worst
    )
    limit = "not checked: needs its side load"
    if known is not None:
        limit = f"it may bear {show(known, Dimension.FORCE, job.units)}"
    bend = f"{worst.name} must bend at {worst.where}, {force} from the side"
    return f"{string.name}{to}: {bend}; {limit}"


_RANK = {"does not pass": 0, "not checked": 1, "passes bent": 2, "passes": 3}
