"""What parts of a job say of one another, checked without reading any file.

Each contradiction names the table, the row and the field, so that a reader of
files can point at the cell and a program gets the same sentence.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from abreast.model.bypass import pin_ends
from abreast.model.quantity import Quantity
from abreast.units import Dimension, show

if TYPE_CHECKING:
    from abreast.model.job import Job

__all__ = [
    "Contradiction",
    "contradictions",
    "row_contradictions",
    "section_contradictions",
]

# What formulas divide by, or what would not be there.
_ABOVE_ZERO = (
    ("esp", "ea_n"),
    ("openings", "length_m"),
    ("upper", "joint_m"),
)
_STIFF = (("union", "max_od_m"), ("base", "max_od_m"), ("pipe", "body_od_m"))
_WITH_IDS = (
    "esp",
    "ports",
    "landings",
    "clamps",
    "tail",
    "rack",
    "lifts",
    "accessories",
    "threads",
    "datums",
    "bop",
    "holders",
    "upper",
)


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two statements of a job that can't both hold.

    ``index`` counts the rows of the table from 0, bottom to top; ``other`` is the
    row it clashes with.
    """

    table: str
    index: int | None
    field: str
    message: str
    piece: str = ""
    other: int | None = None

    def __str__(self) -> str:
        row = f" {self.piece or f'entry {self.index + 1}'}" if self.index is not None else ""
        return f"{self.table}{row}, {self.field}: {self.message}"


def contradictions(job: Job) -> Iterator[Contradiction]:
    """Every way in which the parts of a job contradict one another."""
    yield from row_contradictions(job)
    yield from section_contradictions(job)


def row_contradictions(job: Job) -> Iterator[Contradiction]:
    """Contradictions between rows of tables; asks for no section."""
    for table in _WITH_IDS:
        yield from _twice(table, getattr(job, table))
    yield from _references(job)
    yield from _landings(job)
    yield from _one_place_each(job)
    yield from _threads(job)
    yield from _ranges(job)


def section_contradictions(job: Job) -> Iterator[Contradiction]:
    """Contradictions of sections, with one another and with tables."""
    yield from _arrangement(job)
    yield from _depths(job)
    yield from _steps(job)
    yield from _in_well(job)
    yield from _strings(job)


def _arrangement(job: Job) -> Iterator[Contradiction]:
    top_hung = job.arrangement == "top-hung"
    if (job.load_path == "top-hung") != top_hung:
        yield Contradiction(
            "job",
            None,
            "load_path",
            f"{job.load_path!r} does not go with arrangement {job.arrangement!r}",
        )
    wanted, other = ("guide", "base") if top_hung else ("base", "guide")
    if getattr(job, wanted) is None:
        yield Contradiction("job", None, wanted, f"a {job.arrangement} job needs section {wanted}")
    if getattr(job, other) is not None:
        yield Contradiction("job", None, other, f"a {job.arrangement} job has no section {other}")
    if top_hung and job.tail:
        yield Contradiction("tail", 0, "id", "a top-hung job has no tail; it ends in the guide")
    if not any(not piece.spare_of for piece in job.esp):
        yield Contradiction("esp", None, "id", "there is no ESP piece in the string")


def _in_well(job: Job) -> Iterator[Contradiction]:
    """Pieces said to be run must be on the rack, once, and no more landings passed than are."""
    rack = {item.id for item in job.rack}
    run = job.in_well.pieces
    for name in run:
        if name not in rack:
            yield Contradiction("in_well", None, "pieces", _unknown(name, rack, "the rack table"))
        elif run.count(name) > 1:
            message = f"{name!r} stands twice; a piece can be in the well once"
            yield Contradiction("in_well", None, "pieces", message)
    if job.in_well.landings_passed > len(job.landings):
        message = f"more than the {len(job.landings)} landings of the job"
        yield Contradiction("in_well", None, "landings_passed", message)


def _twice(table: str, rows: Iterable[Any]) -> Iterator[Contradiction]:
    first: dict[str, int] = {}
    for index, row in enumerate(rows):
        if row.id in first:
            message = f"id {row.id!r} stands twice; give every piece its own id"
            yield Contradiction(table, index, "id", message, row.id, other=first[row.id])
        first.setdefault(row.id, index)


def _unknown(name: str, known: Iterable[str], where: str) -> str:
    names = list(known)
    near = get_close_matches(name, names, 1, 0.6)
    hint = f"; did you mean {near[0]!r}?" if near else ""
    return f"{name!r} is not in {where}{hint}"


def _check(
    table: str, rows: Iterable[Any], field: str, known: set[str], where: str
) -> Iterator[Contradiction]:
    for index, row in enumerate(rows):
        name = getattr(row, field)
        if name and name not in known:
            yield Contradiction(
                table, index, field, _unknown(name, sorted(known), where), getattr(row, "id", "")
            )


def _references(job: Job) -> Iterator[Contradiction]:
    pieces = {piece.id for piece in job.esp}
    rack = {item.id for item in job.rack}
    yield from _check("ports", job.ports, "piece", pieces, "the ESP table")
    yield from _check("landings", job.landings, "piece", pieces, "the ESP table")
    yield from _check("clamps", job.clamps, "piece", pieces, "the ESP table")
    yield from _check("esp", job.esp, "spare_of", pieces, "the ESP table")
    holders = {holder.id for holder in job.holders}
    yield from _check("landings", job.landings, "holder", holders, "the table of holders")
    for index, lift in enumerate(job.lifts):
        for name in lift.pieces:
            if name not in rack:
                message = _unknown(name, sorted(rack), "the rack")
                yield Contradiction("lifts", index, "pieces", message, lift.id)
    for index, piece in enumerate(job.tail):
        if piece.rack and piece.id not in rack:
            message = _unknown(piece.id, sorted(rack), "the rack")
            yield Contradiction("tail", index, "id", message, piece.id)
        if not piece.rack and piece.id in rack:
            message = f"{piece.id!r} is on the rack too; say rack = yes, or give it its own id"
            yield Contradiction("tail", index, "id", message, piece.id)


def _landings(job: Job) -> Iterator[Contradiction]:
    by_id = {piece.id: piece for piece in job.esp}
    for table, field in (("landings", "piece"), ("clamps", "piece")):
        for index, row in enumerate(getattr(job, table)):
            piece = by_id.get(row.piece)
            if piece is None:
                continue
            if piece.is_spare:
                message = f"{piece.id!r} is a spare and not in the string"
                yield Contradiction(table, index, field, message, row.id)
            if not piece.has_neck:
                message = f"{piece.id!r} has no clamp neck; fill in its neck_below_top"
                yield Contradiction(table, index, field, message, row.id)
    for index, piece in enumerate(job.esp):
        origin = by_id.get(piece.spare_of)
        if origin is not None and (origin.is_spare or origin.id == piece.id):
            message = f"{origin.id!r} is itself a spare"
            yield Contradiction("esp", index, "spare_of", message, piece.id)


def _one_place_each(job: Job) -> Iterator[Contradiction]:
    places = [
        *(("tail", i, piece.id, piece.id) for i, piece in enumerate(job.tail) if piece.rack),
        *(("lifts", i, name, lift.id) for i, lift in enumerate(job.lifts) for name in lift.pieces),
    ]
    count = Counter(name for _, _, name, _ in places)
    seen: set[str] = set()
    for table, index, name, owner in places:
        if count[name] > 1 and name in seen and table != "tail":
            message = f"{name!r} is used in another place too; a piece can be in one place only"
            yield Contradiction(table, index, "pieces", message, owner)
        seen.add(name)


def _threads(job: Job) -> Iterator[Contradiction]:
    known = {thread.id for thread in job.threads}
    for table in ("rack", "tail"):
        for index, row in enumerate(getattr(job, table)):
            if row.make_up_loss_m.is_given:
                continue
            for end in pin_ends(row.lower_end, row.upper_end):
                if end.thread not in known:
                    field = "lower_end" if end == row.lower_end else "upper_end"
                    message = _unknown(end.thread, sorted(known), "the table of threads")
                    message += "; add the thread, or give the piece its own make_up_loss"
                    yield Contradiction(table, index, field, message, row.id)


def _depths(job: Job) -> Iterator[Contradiction]:
    known = {datum.id for datum in job.datums}
    where = "the table of datums; a depth needs a named zero"
    if job.survey and job.survey_head is None:
        message = "a survey needs its section, with wellbore, datum and north"
        yield Contradiction("job", None, "survey", message)
    if job.depth_datum not in known:
        message = _unknown(job.depth_datum, sorted(known), where)
        yield Contradiction("job", None, "depth_datum", message)
    for section in ("survey_head", "setting", "fluids"):
        name = getattr(getattr(job, section), "datum", "")
        if name and name not in known:
            message = _unknown(name, sorted(known), where)
            yield Contradiction("job", None, f"{section.removesuffix('_head')}.datum", message)
    for table in ("casing", "openings", "perforations"):
        yield from _check(table, getattr(job, table), "datum", known, where)


def _falls(table: str, rows: Iterable[Any], low: str, high: str) -> Iterator[Contradiction]:
    for index, row in enumerate(rows):
        a, b = getattr(row, low).known, getattr(row, high).known
        if a is not None and b is not None and a >= b:
            message = f"is not below {low.removesuffix('_m')}"
            yield Contradiction(table, index, high.removesuffix("_m"), message, row.known_as)


def _ranges(job: Job) -> Iterator[Contradiction]:
    yield from _falls("casing", job.casing, "top_md_m", "shoe_md_m")
    yield from _falls("perforations", job.perforations, "top_md_m", "bottom_md_m")
    for index, (upper, lower) in enumerate(zip(job.survey, job.survey[1:], strict=False), 1):
        a, b = upper.md_m.known, lower.md_m.known
        if a is not None and b is not None and b <= a:
            lower_md, upper_md = (show(md, Dimension.LENGTH, job.units or "SI") for md in (b, a))
            message = (
                f"depth does not increase: {lower_md} after {upper_md} in the row above; correct"
                " one, or delete a row that stands twice"
            )
            yield Contradiction("survey", index, "md", message)
    for table, field in _ABOVE_ZERO:
        for index, row in enumerate(getattr(job, table)):
            value = getattr(row, field).known
            if value is not None and value <= 0:
                yield Contradiction(table, index, _name(field), "is not above zero", row.known_as)


def _steps(job: Job) -> Iterator[Contradiction]:
    for section, part, name in (("base", job.base, "seat"), ("guide", job.guide, "stick_down")):
        if part is None:
            continue
        low, high, step, plan = (
            getattr(part, f"{name}_{end}_m").known for end in ("min", "max", "step", "planned")
        )
        if low is not None and high is not None and low > high:
            yield Contradiction("job", None, f"{section}.{name}_min", "is above the maximum")
        elif None not in (low, high, plan) and not low - 1e-9 <= plan <= high + 1e-9:
            yield Contradiction("job", None, f"{section}.{name}_planned", "is outside its range")
        if step is not None and step <= 0:
            yield Contradiction("job", None, f"{section}.{name}_step", "is not above zero")


def _strings(job: Job) -> Iterator[Contradiction]:
    """Stiffness, friction, and where blocks and clamps lie across the two axes."""
    for section, od in _STIFF:
        part = getattr(job, section)
        if part is not None and _is_no_body(part.ei_nm2, getattr(part, od)):
            yield Contradiction("job", None, f"{section}.ei", _NO_BODY)
        if part is not None and part.ea_n.or_else(1.0) <= 0:
            yield Contradiction("job", None, f"{section}.ea", "is not above zero")
    for index, piece in enumerate(job.esp):
        for field, ei_nm2 in (("ei", piece.ei_nm2), ("neck_ei", piece.neck_ei_nm2)):
            if _is_no_body(ei_nm2, piece.max_od_m):
                yield Contradiction("esp", index, field, _NO_BODY, piece.id)
    friction = job.friction.cased_ratio.known
    if friction is not None and not 0 <= friction <= 1:
        yield Contradiction("job", None, "friction.cased", "is not from 0 to 1")
    spacing_m = job.setting.axis_spacing_m.known
    for section in ("ytool", "base"):
        if _is_beside(getattr(job, section), spacing_m):
            yield Contradiction("job", None, f"{section}.centre", _BESIDE)
    for index, clamp in enumerate(job.clamps):
        if _is_beside(clamp, spacing_m):
            yield Contradiction("clamps", index, "centre", _BESIDE, clamp.id)


_BESIDE = (
    "one of the two axes would lie outside of max_od; centre counts from the ESP's axis towards"
    " that of the bypass"
)


_NO_BODY = (
    "is no bending stiffness of steel of this outside diameter; check the number and its unit"
)
# Young's modulus of steel with some to spare [Pa], and the thinnest thing that is still a body.
_STEEL_PA = 230e9
_LEAST_SHARE = 1e-4


def _is_no_body(ei_nm2: Quantity, od_m: Quantity) -> bool:
    """Whether EI is above that of a solid bar of the diameter, or next to nothing of it."""
    stiff = ei_nm2.known
    if stiff is None or od_m.known is None:
        return stiff is not None and stiff <= 0
    solid = _STEEL_PA * math.pi / 64 * od_m.known**4
    return not _LEAST_SHARE * solid < stiff <= solid


def _is_beside(part: Any, spacing_m: float | None) -> bool:
    """Whether a round part does not reach round both axes."""
    if part is None or spacing_m is None:
        return False
    centre_m: float | None = part.centre_m.known
    od_m: float | None = part.max_od_m.known
    if centre_m is None or od_m is None:
        return False
    reach_m: float = max(abs(centre_m), abs(spacing_m - centre_m))
    return reach_m > od_m / 2


def _name(field: str) -> str:
    """A field as it is typed: without its unit."""
    return field.rpartition("_")[0]
