"""The tally: every piece in running order, with both sums, and what stays on the rack."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from abreast.drawing import Numbered, running_order
from abreast.model import (
    Assembly,
    Choice,
    End,
    FixedPiece,
    Job,
    PlacedPiece,
    RackItem,
    base_top_m,
    effective_length,
    fingerprint,
    make_up_loss_m,
)

__all__ = ["Sums", "Tally", "TallyRow", "tally", "why_struck"]

State = Literal["to run", "run", "struck", "left on rack"]


@dataclass(frozen=True, slots=True)
class TallyRow:
    """One piece of the tally; lengths, heights and depths in metres, None where there is none.

    ``cumulative_m`` counts from the lower end of the piece's own string;
    ``reason`` tells why a piece is struck, or that nothing can replace it.
    """

    number: int | None
    part: str
    id: str
    what: str
    state: State
    lower: str = ""
    upper: str = ""
    overall_m: float | None = None
    loss_m: float | None = None
    effective_m: float | None = None
    cumulative_m: float | None = None
    bottom_m: float | None = None
    top_m: float | None = None
    bottom_md_m: float | None = None
    top_md_m: float | None = None
    mass_kg: float | None = None
    lift: str = ""
    landing: str = ""
    serial: str = ""
    reason: str = ""

    @property
    def is_struck(self) -> bool:
        """Whether it may not be run."""
        return self.state == "struck"


@dataclass(frozen=True, slots=True)
class Sums:
    """Sums over the pipe of one part: overall less losses is effective [m]."""

    part: str
    count: int
    overall_m: float
    loss_m: float
    effective_m: float


@dataclass(frozen=True, slots=True)
class Tally:
    """The tally of a string.

    ``rows`` are in running order, ``struck`` and ``left`` in the order of the
    rack. The bypass closes where ``connection_m`` plus the pipe of the bypass
    plus ``union_m`` is ``leg_m``.
    """

    job: Job
    fingerprint: str
    datum: str
    rows: tuple[TallyRow, ...]
    struck: tuple[TallyRow, ...]
    left: tuple[TallyRow, ...]
    sums: tuple[Sums, ...]
    connection_m: float
    union_m: float | None
    leg_m: float


def tally(job: Job, assembly: Assembly, choice: Choice | None = None) -> Tally:
    """The tally of a planned or run string.

    Parameters
    ----------
    job : Job
        The job, for threads and for the pieces that are not run.
    assembly : Assembly
        The string.
    choice : Choice, optional
        Tells which pieces cannot be replaced.

    Returns
    -------
    Tally
        Every piece in the order in which it goes into the well, rejected and
        suspected pieces of the rack with the reason, and the usable ones that
        stay on the rack.

    Raises
    ------
    MissingInputError
        If the make-up loss of a thread on the rack is missing.
    """
    needed = frozenset(choice.irreplaceable if choice is not None else ())
    bottoms, run = _bottoms(assembly), _run_already(job, assembly)
    rows = tuple(
        _row(job, one, bottoms, "run" if one.piece.id in run else "to run", needed)
        for one in running_order(assembly)
    )
    ids = {row.id for row in rows}
    rest = [_on_rack(job, item) for item in job.rack if item.id not in ids]
    return Tally(
        job=job,
        fingerprint=fingerprint(job),
        datum=assembly.datum,
        rows=rows,
        struck=tuple(row for row in rest if row.is_struck),
        left=tuple(row for row in rest if not row.is_struck),
        sums=tuple(_sums(rows)),
        connection_m=base_top_m(job) - assembly.seat_m,
        union_m=assembly.union.length_m if assembly.union is not None else None,
        leg_m=assembly.bypass_leg_m,
    )


def _bottoms(assembly: Assembly) -> dict[str, float]:
    """Lower end of each string: the ESP's own, and that of tail or guide for all else."""
    esp = min((p.bottom_m for p in assembly.pieces if p.side == "esp"), default=0.0)
    rest = min((p.bottom_m for p in assembly.pieces if p.side != "esp"), default=0.0)
    return {"esp": esp, "bypass": rest, "both": rest}


def _run_already(job: Job, assembly: Assembly) -> set[str]:
    """What is in the well, as the record or the job says.

    Where a bypass piece is run, so are the tail and the foot below it; where a
    landing is passed, so are the ESP pieces that landed there.
    """
    found = {piece.id for piece in assembly.pieces if piece.status == "run"}
    if not (job.in_well.pieces or job.in_well.landings_passed):
        return found
    passed = {landing.id for landing in job.landings[: job.in_well.landings_passed]}
    esp = {p.id for p in assembly.side("esp") if p.landing in passed}
    foot = {one.piece.id for one in running_order(assembly) if one.is_foot}
    return found | esp | foot | set(job.in_well.pieces)


def _row(
    job: Job, one: Numbered, bottoms: dict[str, float], state: State, needed: frozenset[str]
) -> TallyRow:
    piece, ends = one.piece, _ends(job, one)
    return TallyRow(
        number=one.number,
        part=one.part,
        id=piece.id,
        what=_what(piece),
        state=state,
        lower=_end_text(ends[0]),
        upper=_end_text(ends[1]),
        overall_m=piece.overall_m,
        loss_m=piece.make_up_loss_m,
        effective_m=piece.effective_m,
        cumulative_m=one.top_m - bottoms[piece.side],
        bottom_m=piece.bottom_m,
        top_m=one.top_m,
        bottom_md_m=piece.bottom_md_m,
        top_md_m=one.top_md_m,
        mass_kg=piece.mass_kg,
        lift=piece.lift,
        landing=piece.landing,
        serial=piece.serial,
        reason="cannot be replaced from this rack" if piece.id in needed else "",
    )


def _what(piece: PlacedPiece) -> str:
    return piece.name or piece.kind


def _end_text(end: End | None) -> str:
    return "" if end is None else str(end)


def _ends(job: Job, one: Numbered) -> tuple[End | None, End | None]:
    """Lower and upper connection of a piece; ESP joints are in the ESP table."""
    if one.part == "ESP":
        return None, None
    fixed = {piece.id: piece for piece in job.tail if not piece.rack}
    rack = {item.id: item for item in job.rack}
    found: RackItem | FixedPiece | None = (
        fixed.get(one.piece.id, rack.get(one.piece.id))
        if one.part == "tail"
        else rack.get(one.piece.id)
    )
    if found is not None:
        return found.lower_end, found.upper_end
    return _part_ends(job, one.piece.kind)


def _part_ends(job: Job, kind: str) -> tuple[End | None, End | None]:
    if kind == "union":
        return job.union.lower_end, job.union.upper_end
    if kind == "base support" and job.base is not None:
        return job.base.lower_end, job.base.upper_end
    if kind == "guide" and job.guide is not None:
        return None, job.guide.upper_end
    return None, job.ytool.upper_end if kind == "Y-tool" else None


def _on_rack(job: Job, item: RackItem) -> TallyRow:
    reason = why_struck(job, item)
    measured = item.overall_m.is_given
    return TallyRow(
        number=None,
        part="rack",
        id=item.id,
        what=item.kind,
        state="struck" if reason else "left on rack",
        lower=str(item.lower_end),
        upper=str(item.upper_end),
        overall_m=item.overall_m.known,
        loss_m=make_up_loss_m(job, item) if measured else None,
        effective_m=effective_length(job, item).si if measured else None,
        mass_kg=item.mass_kg.known,
        serial=item.serial,
        reason=reason or ("kept for the tail" if item.usable_for == "tail" else ""),
    )


def why_struck(job: Job, item: RackItem) -> str:
    """Why a piece may not be run; empty for a usable one."""
    if job.usable(item):
        return ""
    reasons = list(_reasons(job, item))
    return "; ".join(dict.fromkeys(reasons))


def _reasons(job: Job, item: RackItem) -> Iterator[str]:
    if item.status != "usable":
        yield f"{item.status}: {item.status_reason}" if item.status_reason else item.status
    elif not item.drift_ok:
        yield f"drift {item.drift}: {item.drift_reason}".removesuffix(": ")
    if not item.overall_m.is_given:
        yield f"length {item.overall_m.state}: {item.overall_m.reason}"
    yield from (f"suspected: {one.text}" for one in job.suspicions if one.piece == item.id)


def _sums(rows: Iterable[TallyRow]) -> Iterator[Sums]:
    """Sums of the pipe of tail and bypass; what has no overall length of its own is no pipe."""
    pipe = [row for row in rows if row.part in ("tail", "bypass") and row.loss_m is not None]
    for part in dict.fromkeys(row.part for row in pipe):
        own = [row for row in pipe if row.part == part]
        yield Sums(
            part,
            len(own),
            sum(row.overall_m or 0.0 for row in own),
            sum(row.loss_m or 0.0 for row in own),
            sum(row.effective_m or 0.0 for row in own),
        )
