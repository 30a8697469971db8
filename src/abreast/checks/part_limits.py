"""What the job says each part may bear, by the name that the contact model gives it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from abreast.model import FixedPiece, Job, Quantity, RackItem, UpperItem, esp_string
from abreast.spaceout.assemble import BASE_ID, GUIDE_ID, UNION_ID, YTOOL_ID

__all__ = [
    "PartLimit",
    "has_own_sizes",
    "housing_limits",
    "needs_by_field",
    "pipe_yields",
    "side_limits",
]

_PIPE = "bypass pipe"


@dataclass(frozen=True, slots=True)
class PartLimit:
    """A limit, the part that states it, and the field of the job where it belongs."""

    value: Quantity
    part: str
    field: str


def has_own_sizes(item: RackItem) -> bool:
    """Whether a rack piece is of another body than the bypass pipe."""
    return item.body_od_m.is_given or item.bore_m.is_given or item.wall_m.is_given


def pipe_yields(job: Job) -> dict[str, PartLimit]:
    """Yield strength of every piece of pipe, tail and tubing by its id [Pa]."""
    found = _by_name(_pieces(job, "yield"))
    if job.guide is not None:
        found[GUIDE_ID] = PartLimit(job.guide.yield_pa, GUIDE_ID, "yield of section guide")
    return found


def housing_limits(job: Job) -> dict[str, PartLimit]:
    """Bending stress that each ESP housing may carry where it is set, by its id [Pa]."""
    return {
        one.id: _of_row("esp", one.id, one.bending_stress_pa, "bending_stress")
        for one in esp_string(job)
    }


def side_limits(job: Job) -> dict[str, PartLimit]:
    """Side force that every part may bear at one place, by the name of its outline [N]."""
    pieces = list(_pieces(job, "side_load"))
    named = [*pieces, *((f"{name} connection", limit) for name, limit in pieces)]
    for one in esp_string(job):
        limit = _of_row("esp", one.id, one.side_load_n, "side_load")
        named += [(one.id, limit), (f"{one.id} neck", limit)]
    for clamp in job.clamps:
        limit = _of_row("clamps", clamp.id, clamp.side_load_n, "side_load")
        named.append((f"{clamp.id} clamp", limit))
    blocks = (
        (UNION_ID, "union", job.union),
        (YTOOL_ID, "ytool", job.ytool),
        (BASE_ID, "base", job.base),
        (GUIDE_ID, "guide", job.guide),
    )
    for name, section, block in blocks:
        if block is not None:
            field = f"side_load of section {section}"
            named.append((name, PartLimit(block.side_load_n, name, field)))
    return _by_name(named)


def needs_by_field(what: str, limits: Iterable[PartLimit]) -> tuple[str, ...]:
    """What to ask for, those of one table together, with the field to fill in."""
    by_field: dict[str, dict[str, None]] = {}
    for one in limits:
        if not one.value.is_given:
            by_field.setdefault(one.field, {})[one.part] = None
    return tuple(f"{what} of {', '.join(parts)} ({field})" for field, parts in by_field.items())


def _of_row(table: str, row: str, value: Quantity, column: str) -> PartLimit:
    return PartLimit(value, row, f"column {column} of table {table}")


def _pieces(job: Job, field: str) -> Iterator[tuple[str, PartLimit]]:
    """A limit of every rack piece, tail piece and item above by its id."""
    of_pipe = PartLimit(_read(job.pipe, field), _PIPE, f"{field} of section pipe")
    for item in job.rack:
        own = _of_row("rack", item.id, _read(item, field), field)
        yield item.id, of_pipe if own.value.is_blank and not has_own_sizes(item) else own
    others: tuple[tuple[str, tuple[FixedPiece | UpperItem, ...]], ...] = (
        ("bypass", tuple(one for one in job.tail if not one.rack)),
        ("upper", job.upper),
    )
    for table, rows in others:
        for one in rows:
            yield one.id, _of_row(table, one.id, _read(one, field), field)


def _read(part: object, field: str) -> Quantity:
    value: Quantity = getattr(part, {"yield": "yield_pa", "side_load": "side_load_n"}[field])
    return value


def _by_name(named: Iterable[tuple[str, PartLimit]]) -> dict[str, PartLimit]:
    """Limits by name; of two parts with one name the stricter, as the model can't part them."""
    found: dict[str, PartLimit] = {}
    for name, limit in named:
        found[name] = min(found.get(name, limit), limit, key=_strictness)
    return found


def _strictness(limit: PartLimit) -> float:
    """An open limit is stricter than any number, and any number than none at all."""
    if limit.value.state == "not applicable":
        return float("inf")
    return limit.value.or_else(float("-inf"))
