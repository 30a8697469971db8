"""Border, heading, notes and title block: whose sheet it is, and what it may be used for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from abreast import __version__
from abreast.drawing.fonts import clipped, width_mm
from abreast.drawing.scene import Item, Line, Rect, Text, printable
from abreast.drawing.sheet import Sheet
from abreast.model import Job, Signature, fingerprint

__all__ = ["Page", "frame"]

_MOST_NOTES, _NOTE_MM, _NOTE_PITCH_MM = 4, 2.3, 3.1
_BLOCK_MM = 3.2, 2.3
Cell = tuple[str, str]


@dataclass(frozen=True)
class Page:
    """What stands round a drawing.

    Parameters
    ----------
    job : Job
        Whose drawing it is.
    sheet : Sheet
        The paper.
    heading : str
        What it is.
    notes : tuple of str
        What must be known to read it; long ones go on in the next row.
    scale : str
        Scale for the title block.
    number, of : int
        Number of this sheet, and of how many.
    """

    job: Job
    sheet: Sheet
    heading: str
    notes: tuple[str, ...]
    scale: str
    number: int = 1
    of: int = 1

    def mm(self, on_a4_mm: float) -> float:
        """A size on this sheet that has the given size on A4 [mm]."""
        return on_a4_mm * self.sheet.factor

    @property
    def title(self) -> str:
        """The sheet in one line, for a program that lists files."""
        draft = ", DRAFT" if self.job.revision.is_draft else ""
        sheet = f", sheet {self.number} of {self.of}" if self.of > 1 else ""
        return f"{self.heading}: {self.job.name}, revision {self.job.revision.number}{sheet}{draft}"


def frame(page: Page) -> Iterator[Item]:
    """Everything around the drawing."""
    sheet, edge = page.sheet, page.sheet.margin_mm - page.mm(2)
    wide, high = sheet.width_mm - 2 * edge, sheet.height_mm - 2 * edge
    yield Rect(edge, edge, wide, high, "frame", "none", page.mm(0.5))
    yield from _heading(page)
    yield from _notes(page)
    yield from _block(page)


def _heading(page: Page) -> Iterator[Item]:
    left, y_mm = page.sheet.margin_mm, page.mm(14)
    room = page.mm(150)
    for row, (words, on_a4_mm) in enumerate(_heading_rows(page)):
        size = page.mm(on_a4_mm)
        text = clipped(words, room, size, bold=not row)
        yield Text(left, y_mm + row * page.mm(6), text, size, "frame", bold=not row)
    if page.job.revision.is_draft:
        yield from _draft(page)


def _heading_rows(page: Page) -> tuple[tuple[str, float], ...]:
    sheets = f", sheet {page.number} of {page.of}" if page.of > 1 else ""
    return (
        (page.heading + sheets, 4.6),
        (f"{page.job.name}, revision {page.job.revision.number}", 3.6),
    )


def _draft(page: Page) -> Iterator[Item]:
    size, text = page.mm(8), "DRAFT"
    wide = width_mm(text, size, bold=True) + page.mm(4)
    left, top = page.sheet.width_mm - page.sheet.margin_mm - wide, page.mm(8.2)
    yield Rect(left, top, wide, page.mm(8.6), "frame", "none", page.mm(0.8))
    yield Text(left + wide / 2, top + page.mm(7.1), text, size, "frame", "middle", bold=True)
    y_mm, right = page.mm(20), page.sheet.width_mm - page.sheet.margin_mm
    yield Text(right, y_mm, "not approved: not for use on the rig", page.mm(2.5), "frame", "end")


def wrapped(words: str, room_mm: float, size_mm: float) -> Iterator[str]:
    """Words in rows that are no wider than the room."""
    row = ""
    for word in words.split():
        longer = f"{row} {word}".strip()
        if row and width_mm(longer, size_mm) > room_mm:
            yield row
            longer = word
        row = longer
    yield clipped(row, room_mm, size_mm)


def _notes(page: Page) -> Iterator[Item]:
    size, left = page.mm(_NOTE_MM), page.sheet.margin_mm
    room = page.sheet.width_mm - 2 * left
    rows = [row for note in page.notes for row in wrapped(note, room, size)]
    rows[_MOST_NOTES - 1 :] = [" ".join(rows[_MOST_NOTES - 1 :])]  # clipped where it is too long
    for number, words in enumerate(row for row in rows if row):
        y_mm = page.sheet.height_mm - page.mm(40.1 - number * _NOTE_PITCH_MM)
        yield Text(left, y_mm, clipped(words, room, size), size, "frame")


def _signed(signature: Signature | None) -> str:
    return str(signature) if signature is not None else "not signed"


def _cells(page: Page) -> tuple[tuple[Cell, ...], ...]:
    job, revision = page.job, page.job.revision
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
            ("scale", page.scale),
            ("made by; sheet", f"abreast {__version__}; {page.number} of {page.of}"),
        ),
    )


def _block(page: Page) -> Iterator[Item]:
    left, high = page.sheet.margin_mm - page.mm(2), page.mm(8.2)
    top = page.sheet.height_mm - left - 3 * high
    wide = page.sheet.width_mm - 2 * left
    for row, cells in enumerate(_cells(page)):
        yield from _block_row(page, cells, (left, top + row * high), (wide, high))


def _block_row(
    page: Page, cells: Sequence[Cell], at_mm: tuple[float, float], size_mm: tuple[float, float]
) -> Iterator[Item]:
    (x_mm, y_mm), (wide, high) = at_mm, size_mm
    each, inset = wide / len(cells), page.mm(1.4)
    yield Line(x_mm, y_mm, x_mm + wide, y_mm, "frame", page.mm(0.3))
    for place, (caption, words) in enumerate(cells):
        left = x_mm + place * each
        if place:
            yield Line(left, y_mm, left, y_mm + high, "frame", page.mm(0.2))
        yield Text(left + inset, y_mm + page.mm(2.7), caption, page.mm(2.2), "frame")
        yield from _fitted(page, words, (left + inset, y_mm + page.mm(6.9)), each - 2 * inset)


def _fitted(page: Page, words: str, at_mm: tuple[float, float], room_mm: float) -> Iterator[Text]:
    """Words in the largest type that lets them in, else clipped in the smallest."""
    large, small = page.mm(_BLOCK_MM[0]), page.mm(_BLOCK_MM[1])
    wide = width_mm(printable(words), 1.0, bold=True)
    size = large if wide * large <= room_mm else max(small, room_mm / wide * (1 - 1e-6))
    text = clipped(printable(words), room_mm, size, bold=True)
    yield Text(*at_mm, text, size, "frame", bold=True)
