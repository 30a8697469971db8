"""From the text of a job to the job: sections, tables, zeros, contradictions, suspicions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import islice
from typing import Any

from pydantic import ValidationError

from abreast.errors import AbreastError, Where
from abreast.jobfile.corrections import Cell, apply_corrections
from abreast.jobfile.issues import Issue, ReadResult, one_for_each_cell
from abreast.jobfile.layout import (
    FORMAT,
    ORDERED,
    Table,
    columns_of,
    normal,
    sections,
    tables,
)
from abreast.jobfile.raw import HEADING_ROW, RawJob
from abreast.jobfile.rows import Reading, read_section, read_table, read_top
from abreast.jobfile.suspect import Suspect, suspects
from abreast.model import Correction, Job, Part, Suspicion
from abreast.model.consistency import (
    Contradiction,
    row_contradictions,
    section_contradictions,
)
from abreast.model.frame import zero_shift_m

__all__ = ["build_job", "shifted"]

_MOST_ISSUES = 500


@dataclass
class _Draft:
    """The parts of a job as far as they could be read, and where each row stood."""

    parts: dict[str, Any]
    numbers: dict[str, tuple[int, ...]]
    keys_ok: bool


def build_job(raw: RawJob, *, apply: bool = True) -> ReadResult:
    """The job that a text means, with everything that is wrong or looks wrong in it."""
    reading = Reading(issues=raw.issues)
    accepted = _correct(reading, raw, apply)
    draft = _draft(reading, raw)
    job = Job.model_construct(**draft.parts)
    if draft.keys_ok:
        job = _in_esp_frame(reading, raw, job)
    for one in islice(_contradictions(job, draft, raw), _MOST_ISSUES):
        reading.issues.append(_issue_of(one, draft, raw))
    found = _suspicions(job, draft, raw, accepted) if draft.keys_ok else []
    reading.issues.extend(issue for issue, _ in found)
    failed = any(one.severity == "error" for one in reading.issues)
    whole = None if failed else _whole(reading, raw, job, [one for _, one in found])
    return ReadResult(
        whole, tuple(_capped(one_for_each_cell(reading.issues))), tuple(reading.echoes)
    )


def _whole(reading: Reading, raw: RawJob, job: Job, found: list[Suspicion]) -> Job | None:
    fields = {name: getattr(job, name) for name in job.__dict__}
    try:
        return Job(**fields | {"suspicions": tuple(found)})
    except ValidationError as fault:
        for one in fault.errors(include_url=False):
            message = str(one["msg"]).removeprefix("Value error, ")
            field = ".".join(str(step) for step in one["loc"])
            reading.error("bad-value", message, Where(raw.keys_label, None, field))
        return None


def _capped(issues: list[Issue]) -> Iterator[Issue]:
    yield from issues[:_MOST_ISSUES]
    if len(issues) > _MOST_ISSUES:
        more = len(issues) - _MOST_ISSUES
        yield Issue(
            "error", "more", f"{more} more issues are not listed; mend these first", Where()
        )


def _correct(reading: Reading, raw: RawJob, apply: bool) -> set[Cell]:
    """Apply the corrections; the rows go back into the text with their units filled in."""
    raw_table = raw.tables.get("corrections")
    if raw_table is None or not apply:
        return set()
    table = next(one for one in tables() if one.name == "corrections")
    rows = read_table(Reading(), table, raw_table)
    pairs = [(number, row) for number, row in rows if isinstance(row, Correction)]
    kept, accepted = apply_corrections(raw, pairs)
    for (number, _), row in zip(pairs, kept, strict=True):
        for index, heading in enumerate(raw_table.heading):
            if normal(heading) in ("was", "now"):
                text = getattr(row, normal(heading))
                raw.tables["corrections"] = raw.tables["corrections"].with_cell(number, index, text)
    return accepted


def _draft(reading: Reading, raw: RawJob) -> _Draft:
    before = len(reading.issues)
    _check_format(reading, raw)
    names = [section.name for section in sections()]
    parts: dict[str, Any] = dict.fromkeys(Job.model_fields)
    parts |= {name: info.get_default(call_default_factory=True) for name, info in _optional()}
    parts |= read_top(reading, raw, names)
    reading.default_origin = parts.get("default_origin") or ""
    for section in sections():
        part = read_section(reading, section, raw)
        if part is not None:
            parts[section.field] = part
    keys_ok = not any(one.severity == "error" for one in reading.issues[before:])
    keys_ok = keys_ok and bool(raw.keys)
    numbers: dict[str, tuple[int, ...]] = {}
    for table in tables():
        parts[table.field], numbers[table.field] = _rows(reading, raw, table, parts["order"])
    return _Draft(parts, numbers, keys_ok)


def _optional() -> list[tuple[str, Any]]:
    return [(n, info) for n, info in Job.model_fields.items() if not info.is_required()]


def _check_format(reading: Reading, raw: RawJob) -> None:
    text = raw.keys.get("format", "").strip()
    where = raw.key_where("format")
    if raw.keys and not text:
        reading.error("no-format", f"is blank; write format = {FORMAT}", where)
    elif raw.keys and text != str(FORMAT):
        message = f"{text!r} is not a format this version reads; it reads format = {FORMAT}"
        reading.error("bad-format", message, where)
        raw.keys["format"] = str(FORMAT)


def _rows(
    reading: Reading, raw: RawJob, table: Table, order: Any
) -> tuple[tuple[Part, ...], tuple[int, ...]]:
    """Rows bottom to top, and the row number of each."""
    raw_table = raw.tables.get(table.name)
    if raw_table is None:
        if table.required:
            message = f"the job has no table {table.file} ({table.description}); add it"
            reading.error("missing-table", message, Where(table.file))
        return (), ()
    rows = read_table(reading, table, raw_table)
    if table.required and not raw_table.rows:
        message = f"has no rows; fill in the {table.description}"
        reading.error("no-rows", message, raw_table.where())
    stated = getattr(order, ORDERED.get(table.name, ""), "")
    if stated == "top to bottom":
        rows.reverse()
    return tuple(row for _, row in rows), tuple(number for number, _ in rows)


def _in_esp_frame(reading: Reading, raw: RawJob, job: Job) -> Job:
    """The job with the heights that files count from another zero put into the ESP frame."""
    try:
        shift_m = zero_shift_m(job, job.heights_from)
    except AbreastError as fault:
        reading.error(fault.code, fault.message, raw.key_where("heights_from"))
        return job
    if not shift_m:
        return job
    update: dict[str, Any] = {"rules": shifted(job.rules, shift_m)}
    for table in tables():
        update[table.field] = tuple(shifted(row, shift_m) for row in getattr(job, table.field))
    return job.model_copy(update=update)


def shifted(part: Part, shift_m: float) -> Part:
    """A part with its heights moved from one zero to another; kept to a nanometre."""
    update = {}
    for column in columns_of(type(part)):
        value = getattr(part, column.field)
        if column.from_zero and value.is_given:
            update[column.field] = replace(value, given=round(value.si + shift_m, 9))
    return part.model_copy(update=update) if update else part


def _contradictions(job: Job, draft: _Draft, raw: RawJob) -> Iterator[Contradiction]:
    unread = _unread_ids(draft, raw)
    for one in row_contradictions(job):
        if not any(one.message.startswith(f"{name!r} is not in") for name in unread):
            yield one
    if draft.keys_ok:
        yield from section_contradictions(job)


def _unread_ids(draft: _Draft, raw: RawJob) -> set[str]:
    """Ids of rows that could not be read: a reference to one is no further fault."""
    unread: set[str] = set()
    for table in tables():
        raw_table = raw.tables.get(table.name)
        heading = [normal(one) for one in raw_table.heading] if raw_table else []
        if raw_table is None or "id" not in heading:
            continue
        index = heading.index("id")
        read = set(draft.numbers[table.field])
        unread |= {
            row.cells[index].strip()
            for row in raw_table.rows
            if row.number not in read and index < len(row.cells)
        }
    return unread


def _place(one: Contradiction | Suspect, draft: _Draft, raw: RawJob) -> tuple[Where, str, Cell]:
    """Where an entry of the model stands in the files: for people, its address, as a cell."""
    table, index, field, piece = one.table, one.index, one.field, one.piece
    if table == "job":
        where = raw.key_where(field)
        return where, "", Cell("job.toml", None, field)
    on_file = next(one for one in tables() if one.field == table)
    row = HEADING_ROW if index is None else draft.numbers[table][index]
    raw_table = raw.tables.get(on_file.name)
    if raw_table is None:
        return Where(on_file.file, row, field, piece), "", Cell(on_file.file, row, field)
    heading = [normal(one.split("[")[0]) for one in raw_table.heading]
    address = raw_table.address(row, heading.index(field)) if field in heading else ""
    return raw_table.where(row, field, piece), address, Cell(on_file.file, row, field)


def _issue_of(one: Contradiction, draft: _Draft, raw: RawJob) -> Issue:
    where, address, _ = _place(one, draft, raw)
    message = one.message
    if one.other is not None:
        first = draft.numbers[one.table][one.other]
        message = f"{message} (the other stands in row {first})"
    return Issue("error", "contradiction", message, where, cell=address)


def _suspicions(
    job: Job, draft: _Draft, raw: RawJob, accepted: set[Cell]
) -> list[tuple[Issue, Suspicion]]:
    found = []
    for one in suspects(job):
        where, address, cell = _place(one, draft, raw)
        if cell in accepted:
            continue
        found.append((_issue(one, where, address), _suspicion(one, cell)))
    return found


def _issue(one: Suspect, where: Where, address: str) -> Issue:
    return Issue("suspicion", one.code, one.message, where, one.proposal, address)


def _suspicion(one: Suspect, cell: Cell) -> Suspicion:
    text = f"{one.message}. {one.proposal}" if one.proposal else one.message
    return Suspicion(file=cell.file, row=cell.row, field=cell.field, piece=one.piece, text=text)
