"""The wanted tool strings as stiff lengths between knuckles."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from abreast.errors import InputError, Where
from abreast.mechanics.tool_passage import Stiff
from abreast.model import Job, ToolPart

__all__ = ["StiffLength", "ToolString", "tool_strings"]

_MOST_ROWS = 200


@dataclass(frozen=True, slots=True)
class StiffLength:
    """Parts with no knuckle between them, taken as one, and the side force it may bear [N].

    ``side_load_n`` is the least of its parts; None: it is not known of each.
    """

    stiff: Stiff
    side_load_n: float | None


@dataclass(frozen=True, slots=True)
class ToolString:
    """A tool string: its stiff lengths, top to bottom, and how far it is run (blank: out)."""

    name: str
    run_to: str
    lengths: tuple[StiffLength, ...]

    @property
    def longest_m(self) -> float:
        """Its longest stiff length [m]."""
        return max(one.stiff.length_m for one in self.lengths)


def tool_strings(job: Job) -> tuple[ToolString, ...]:
    """The tool strings of a job, in the order of its table.

    Raises
    ------
    InputError
        ``tools``: the rows of a string stand apart, or name two places to run to;
        more than 200 rows.
    MissingInputError
        If a length or diameter is missing.

    Notes
    -----
    Adjacent parts with no knuckle between them are one stiff length: their
    lengths added, the largest diameter and the greatest EI all along, which asks
    for more room and for more force than the parts themselves.
    """
    if len(job.tools) > _MOST_ROWS:
        message = f"{len(job.tools)} rows of tools; give {_MOST_ROWS} at most"
        raise InputError(message, code="tools", where=Where(file="tools.csv"))
    found: list[ToolString] = []
    for name, rows in groupby(job.tools, key=lambda row: row.string):
        if any(one.name == name for one in found):
            message = f"rows of tool string {name!r} stand apart; put them together, or rename one"
            raise InputError(message, code="tools", where=_where("string", name))
        found.append(_string(name, tuple(rows)))
    return tuple(found)


def _where(field: str, name: str) -> Where:
    return Where(file="tools.csv", field=field, piece=name)


def _string(name: str, rows: tuple[ToolPart, ...]) -> ToolString:
    places = list(dict.fromkeys(row.run_to for row in rows if row.run_to))
    if len(places) > 1:
        message = f"tool string {name!r} is run to {' and to '.join(places)}; name one place"
        raise InputError(message, code="tools", where=_where("run_to", name))
    lengths: list[StiffLength] = []
    joined: list[ToolPart] = []
    for row in rows:
        joined.append(row)
        if row.knuckle:
            lengths.append(_joined(joined))
            joined = []
    if joined:
        lengths.append(_joined(joined))
    return ToolString(name, places[0] if places else "", tuple(lengths))


def _joined(rows: list[ToolPart]) -> StiffLength:
    ei = [row.ei_nm2.known for row in rows]
    load = [row.side_load_n.known for row in rows]
    stiff = Stiff(
        " + ".join(row.part for row in rows),
        sum(row.length_m.si for row in rows),
        max(row.od_m.si for row in rows),
        max((one for one in ei if one is not None), default=None) if None not in ei else None,
    )
    known = [one for one in load if one is not None]
    return StiffLength(stiff, min(known) if len(known) == len(load) else None)
