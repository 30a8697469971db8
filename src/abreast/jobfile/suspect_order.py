"""Direction of ordered tables: what stands at the ends, and what running sums say."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from abreast.errors import AbreastError
from abreast.jobfile.suspicion import Suspect, length_text, resolved_tail
from abreast.model import FixedPiece, Job, RackItem, effective_length
from abreast.model.frame import esp_string

__all__ = ["order_suspects"]

# Two cumulative figures of two decimals of a foot differ by up to 0.01 ft.
_ROUNDING_M = 0.004
_BOTTOM = {"guide", "gauge"}
_TOP = {"discharge pup", "discharge head"}


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of an ordered table: its entry, what it adds, the supplier's running sum."""

    index: int
    length_m: float | None
    cumulative_m: float | None


def order_suspects(job: Job) -> Iterator[Suspect]:
    """Tables whose ends or running sums speak against the stated order."""
    yield from _esp_ends(job)
    yield from _tail_ends(job)
    yield from _upper_ends(job)
    for table, rows in _sums(job):
        yield from _cumulative(job, table, rows)
    yield from _rack_cumulative(job)


def _turned(table: str, message: str) -> Suspect:
    proposal = f"Turn order.{table} about, or put the rows in order"
    return Suspect("job", None, f"order.{table}", "order", message, proposal)


def _esp_ends(job: Job) -> Iterator[Suspect]:
    kinds = [piece.kind for piece in esp_string(job)]
    if not kinds:
        return
    if kinds[0] in _TOP or kinds[-1] in _BOTTOM:
        message = f"the lowest ESP piece is a {kinds[0]} and the highest a {kinds[-1]}"
        yield _turned("esp", message)
        return
    if "motor" in kinds and "pump" in kinds and kinds.index("pump") < kinds.index("motor"):
        yield _turned("esp", "a pump stands below the motor")


def _tail_ends(job: Job) -> Iterator[Suspect]:
    places = [n for n, piece in resolved_tail(job) if piece.kind == "guide"]
    if places and places[0] != 0:
        yield _turned("bypass", f"the entry guide is piece {places[0] + 1} from the bottom")


def _upper_ends(job: Job) -> Iterator[Suspect]:
    places = [n for n, item in enumerate(job.upper) if item.kind == "hanger"]
    if places and places[-1] != len(job.upper) - 1:
        yield _turned("upper", "the hanger is not the highest item of the upper completion")


def _sums(job: Job) -> Iterator[tuple[str, list[_Row]]]:
    esp = [
        _Row(index, piece.length_m.known, piece.cumulative_m.known)
        for index, piece in enumerate(job.esp)
        if not piece.is_spare
    ]
    yield "esp", esp
    tail = [
        _Row(index, _effective(job, piece), job.tail[index].cumulative_m.known)
        for index, piece in resolved_tail(job)
    ]
    yield "tail", tail
    upper = [
        _Row(index, item.length_m.known, item.cumulative_m.known)
        for index, item in enumerate(job.upper)
    ]
    yield "upper", upper


def _effective(job: Job, piece: RackItem | FixedPiece) -> float | None:
    try:
        return effective_length(job, piece).si
    except (AbreastError, KeyError):
        return None


def _cumulative(job: Job, table: str, rows: Sequence[_Row]) -> Iterator[Suspect]:
    given = [row for row in rows if row.cumulative_m is not None]
    lengths = [row.length_m for row in rows if row.length_m is not None]
    if not given or len(lengths) < len(rows):
        return
    up = list(accumulate(lengths))
    down = [*reversed(list(accumulate(reversed(lengths))))]
    if _agrees(rows, up):
        return
    if _agrees(rows, down) and len(given) > 1:
        yield _turned(
            "bypass" if table == "tail" else table,
            "the running lengths of the table count from the other end",
        )
        return
    yield from _first_break(job, table, rows, up)


def _agrees(rows: Sequence[_Row], sums: Sequence[float]) -> bool:
    return all(
        row.cumulative_m is None or abs(row.cumulative_m - at) <= _ROUNDING_M * (n + 1)
        for n, (row, at) in enumerate(zip(rows, sums, strict=True))
    )


def _first_break(
    job: Job, table: str, rows: Sequence[_Row], sums: Sequence[float]
) -> Iterator[Suspect]:
    """The lowest row from which on the running length of the table is off."""
    before_m = 0.0
    for row, at in zip(rows, sums, strict=True):
        if row.cumulative_m is None:
            continue
        off = row.cumulative_m - at
        if abs(off - before_m) > _ROUNDING_M:
            message = (
                f"running length {length_text(job, row.cumulative_m)}, but the pieces add up to"
                f" {length_text(job, at)}"
            )
            proposal = "Check the length of this row, and whether a row is missing below it"
            yield Suspect(table, row.index, "cumulative", "cumulative", message, proposal)
            return
        before_m = off


def _rack_cumulative(job: Job) -> Iterator[Suspect]:
    """Steps of the supplier's running length against the length of each row."""
    before_m = 0.0
    for index, item in enumerate(job.rack):
        now_m = item.cumulative_m.known
        if now_m is None:
            return
        step_m = now_m - before_m
        before_m = now_m
        wanted = [item.overall_m.known, item.effective_m.known, _effective(job, item)]
        known = [one for one in wanted if one is not None]
        if known and min(abs(step_m - one) for one in known) > _ROUNDING_M:
            message = (
                f"the running length grows by {length_text(job, step_m)} here, which is neither the"
                f" overall length {length_text(job, known[0])} nor the effective one"
            )
            proposal = "Check the length of this row, and whether a row is missing above it"
            yield Suspect("rack", index, "cumulative", "cumulative", message, proposal, item.id)
