"""The tally on paper and in files: text for a terminal, CSV, workbook."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from abreast.documents.table import Column, Row, Table
from abreast.documents.table_out import csv_of, text_of, workbook_of
from abreast.documents.tally import Sums, Tally, TallyRow
from abreast.units import Dimension, display_unit, figure

__all__ = ["tally_csv", "tally_text", "tally_workbook"]

_LENGTH, _MASS = Dimension.LENGTH, Dimension.MASS
_FIGURES = ("overall", "loss", "eff", "cum", "top z", "top MD")
WIDTH = 100


def tally_csv(tally: Tally) -> str:
    """Every piece as CSV: run, struck and left; the state and the fingerprint in each row."""
    return csv_of(_full(tally))


def tally_workbook(tally: Tally) -> bytes:
    """The tally as a workbook: the pieces, struck ones struck out, and the sums.

    Raises
    ------
    MissingInputError
        If the package that writes workbooks is not installed.
    """
    return workbook_of([_full(tally), _sums_table(tally)])


def tally_text(tally: Tally) -> str:
    """The tally for a terminal or a printer, at most 100 signs wide."""
    parts = [
        *_head(tally),
        "",
        text_of(_short(tally, tally.rows), WIDTH).rstrip("\n"),
        "",
        text_of(_sums_table(tally), WIDTH).rstrip("\n"),
        *_wrapped(_closure(tally)),
        *_struck(tally),
        *_left(tally),
    ]
    return "\n".join(parts) + "\n"


def _head(tally: Tally) -> Iterator[str]:
    revision = tally.job.revision
    yield from _wrapped(f"TALLY in running order: {tally.job.name}, revision {revision.number}")
    if revision.is_draft:
        yield "DRAFT: not approved, not for use on the rig"
    unit = display_unit(_LENGTH, tally.job.units)
    zero = "motor base" if tally.job.is_top_hung else "ESP seating shoulder"
    datum = f"; depth MD from {tally.datum}" if tally.datum else ""
    yield f"fingerprint {tally.fingerprint}"
    yield from _wrapped(
        f"All lengths in {unit}; eff = overall - loss; cum from the lower end of its own string;"
        f" height z up from the {zero}{datum}."
    )


def _wrapped(text: str, indent: str = "") -> list[str]:
    return textwrap.wrap(text, WIDTH, subsequent_indent=indent, break_on_hyphens=False)


def _short(tally: Tally, rows: Iterable[TallyRow]) -> Table:
    """The columns that fit on a terminal; units stand in the head of the page."""
    columns = (
        Column("no.", least=3),
        Column("part", least=6),
        Column("id", least=4),
        Column("what", least=6),
        Column("ends", least=5),
        *(Column(name, _LENGTH, bare=True) for name in _FIGURES),
        Column("at", least=2),
        Column("lift", least=3),
    )
    return Table("tally", columns, tuple(_short_row(row) for row in rows), tally.job.units)


def _short_row(row: TallyRow) -> Row:
    return Row(
        (
            row.number,
            row.part,
            row.id,
            row.what,
            _threads(row),
            row.overall_m,
            row.loss_m,
            row.effective_m,
            row.cumulative_m,
            row.top_m,
            row.top_md_m,
            row.landing,
            row.lift if row.part == "bypass" and row.lift != row.id else "",
        )
    )


def _threads(row: TallyRow) -> str:
    """Both ends in one word: ``SF pin/box``, ``EU pin x SF box``."""
    low, high = row.lower.rpartition(" "), row.upper.rpartition(" ")
    if row.lower and row.upper and low[0] == high[0]:
        return f"{row.lower}/{high[2]}"
    return " x ".join(text for text in (row.lower, row.upper) if text)


def _full(tally: Tally) -> Table:
    datum = f" from {tally.datum}" if tally.datum else ""
    columns = (
        *(
            Column(name)
            for name in ("no.", "part", "id", "what", "state", "lower end", "upper end")
        ),
        *(Column(name, _LENGTH) for name in ("overall", "make-up loss", "effective")),
        *(Column(name, _LENGTH) for name in ("cumulative", "bottom z", "top z")),
        *(Column(f"{end} MD{datum}", _LENGTH) for end in ("bottom", "top")),
        Column("mass", _MASS),
        *(Column(name) for name in ("lift", "landing", "serial", "reason")),
        *(Column(name) for name in ("fingerprint", "revision")),
    )
    draft = " DRAFT" if tally.job.revision.is_draft else ""
    tag = (tally.fingerprint, f"{tally.job.revision.number}{draft}")
    rows = (*tally.rows, *tally.struck, *tally.left)
    return Table("tally", columns, tuple(_full_row(row, tag) for row in rows), tally.job.units)


def _full_row(row: TallyRow, tag: tuple[str, str]) -> Row:
    cells = (
        row.number,
        row.part,
        row.id,
        row.what,
        row.state,
        row.lower,
        row.upper,
        row.overall_m,
        row.loss_m,
        row.effective_m,
        row.cumulative_m,
        row.bottom_m,
        row.top_m,
        row.bottom_md_m,
        row.top_md_m,
        row.mass_kg,
        row.lift,
        row.landing,
        row.serial,
        row.reason,
        *tag,
    )
    return Row(cells, struck=row.is_struck)


def _sums_table(tally: Tally) -> Table:
    columns = (
        Column("sums of pipe", least=6),
        Column("pieces"),
        Column("overall", _LENGTH),
        Column("losses", _LENGTH),
        Column("effective", _LENGTH),
    )
    rows = [_sums_row(sums) for sums in tally.sums]
    return Table("sums", columns, tuple(rows), tally.job.units)


def _sums_row(sums: Sums) -> Row:
    return Row((sums.part, sums.count, sums.overall_m, sums.loss_m, sums.effective_m))


def _length(tally: Tally, length_m: float) -> str:
    return figure(length_m, _LENGTH, tally.job.units)


def _closure(tally: Tally) -> str:
    pipe_m = next((s.effective_m for s in tally.sums if s.part == "bypass"), 0.0)
    unit = display_unit(_LENGTH, tally.job.units)
    start = _length(tally, tally.connection_m)
    if tally.union_m is None:
        return f"closure: the union is not set yet; bypass connection z {start} {unit}"
    end = _length(tally, tally.connection_m + pipe_m + tally.union_m)
    return (
        f"closure: bypass connection z {start} + pipe {_length(tally, pipe_m)} + union"
        f" {_length(tally, tally.union_m)} = {end} {unit}; bypass leg of the Y-tool z"
        f" {_length(tally, tally.leg_m)} {unit}"
    )


def _struck(tally: Tally) -> Iterator[str]:
    if not tally.struck:
        return
    yield ""
    yield f"STRUCK, not to be run ({len(tally.struck)}):"
    for row in tally.struck:
        length = "no length" if row.overall_m is None else _length(tally, row.overall_m)
        yield from _wrapped(f"  x {row.id}, overall {length}: {row.reason}", "      ")


def _left(tally: Tally) -> Iterator[str]:
    if not tally.left:
        return
    yield ""
    kept = [row for row in tally.left if row.reason]
    free = [row for row in tally.left if not row.reason]
    for rows, note in ((free, ""), (kept, ", kept for the tail")):
        if rows:
            named = ", ".join(f"{row.id} {_length(tally, row.effective_m or 0.0)}" for row in rows)
            text = f"Left on the rack{note}, effective ({len(rows)}): {named}"
            yield from _wrapped(text, "  ")
