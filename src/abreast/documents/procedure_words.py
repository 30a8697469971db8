"""Words of the procedure's pages: loads, holds, and the boxes that are written in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from abreast.documents.workpack_words import Data
from abreast.mechanics.ledger import HoldLoad, Link, State, StepNumbers
from abreast.model.entries import ENTRY_FIELDS, EntryField, EntryKind
from abreast.model.procedure import Procedure
from abreast.procedure.prove import ProvedStep
from abreast.procedure.words_names import Names
from abreast.units import Dimension, display_unit

__all__ = [
    "Floor",
    "boxes",
    "changes_carrier",
    "hold_lines",
    "link_text",
    "numbers_of",
    "percent",
    "span",
]

_SAME_N = 0.5


class Floor(Names):
    """The names of a procedure, with the words of its numbers."""

    def __init__(self, procedure: Procedure) -> None:
        super().__init__(procedure)
        self.factor = procedure.site.dynamic_ratio

    def support(self, by: str) -> str:
        """What a holder hangs from or stands on."""
        if by == "":
            return "on nothing"
        if by in self.hoists:
            return f"by {self.line(by)}"
        return "on the plate" if by == "plate" else f"in the {by}"

    def working_level(self, state: State) -> str:
        """The working level in a word."""
        return "plate" if state.plate == "closed" else "floor"

    def unit(self, dimension: Dimension) -> str:
        """The unit in which a quantity is written."""
        return display_unit(dimension, self.system)


def span(floor: Floor, loads_n: tuple[float, float] | None) -> str:
    """A load, or the least and the greatest where it is not one number."""
    if loads_n is None:
        return "not known"
    low_n, high_n = loads_n
    if high_n - low_n < _SAME_N:
        return floor.load(high_n)
    return f"{floor.load(low_n)} to {floor.load(high_n)}"


def percent(utilisation: float | None) -> str:
    """Part of a rating that is used; says so when there is no rating."""
    return "no rating" if utilisation is None else f"{100 * utilisation:.0f} %"


def link_text(floor: Floor, link: Link | None) -> str:
    """A link, what it carries, and how much of its rating that is."""
    if link is None:
        return "none that carries has a rating"
    pushed = link.high_n < 0
    ends = (-link.high_n, -link.low_n) if pushed else (link.low_n, link.high_n)
    loads = f"{'pushed by ' if pushed else ''}{span(floor, ends)}"
    return f"{link.name}, {loads}, {percent(link.utilisation)} of its rating"


def hold_lines(floor: Floor, holds: Iterable[HoldLoad]) -> list[Data]:
    """Each holder: what it is on, what it hangs from, and what it carries."""
    return [_hold(floor, one) for one in holds]


def _hold(floor: Floor, one: HoldLoad) -> Data:
    carries = span(floor, (one.low_n, one.high_n)) if one.taut else "slack"
    used = f" ({percent(one.utilisation)})" if one.taut else ""
    where = f"{floor.holder(one.holder)} on {one.on}, {floor.support(one.by)}"
    return {"taut": one.taut, "words": f"{where}: {carries}{used}"}


def numbers_of(floor: Floor, numbers: StepNumbers, state: State) -> list[tuple[str, str]]:
    """Captions and values of a state, for the side of a step or a card."""
    level = floor.working_level(state)

    def height(value_m: float | None) -> str:
        if value_m is None:
            return "-"
        side = "below" if value_m < 0 else "above"
        return f"{floor.length(abs(value_m))} {side} {level}"

    left_m = numbers.hook_left_m
    return [
        ("weakest link", link_text(floor, numbers.weakest)),
        ("bypass top", height(numbers.bypass_top_m)),
        ("ESP face", height(numbers.esp_face_m)),
        ("hook height left", "not known" if left_m is None else floor.length(left_m)),
    ]


def changes_carrier(one: ProvedStep) -> bool:
    """Whether another holder carries after a step than before it."""
    return _carriers(one.before) != _carriers(one.after)


def _carriers(state: State) -> set[tuple[str, str, str]]:
    return {(hold.holder, hold.on, hold.by) for hold in state.holds if hold.taut}


# --- boxes to write in ----------------------------------------------------------------------


def boxes(
    floor: Floor, records: Sequence[EntryKind], signs: Sequence[str], most: int
) -> list[list[Data]]:
    """Rows of boxes: one for every value of every record, then one for each who signs.

    The kind ``signature`` asks for name and role; a signer's own box is both.
    ``most`` is how many narrow boxes a row has.
    """
    found = [
        _box(floor, kind, field)
        for kind in records
        for field in ENTRY_FIELDS[kind]
        if not (kind == "signature" and signs)
    ]
    found.append({"name": "time, initials", "unit": "", "required": True, "wide": 1})
    found += [{"name": f"signed: {one}", "unit": "", "required": True, "wide": 2} for one in signs]
    rows: list[list[Data]] = [[]]
    for one in found:
        if sum(box["wide"] for box in rows[-1]) + one["wide"] > most:
            rows.append([])
        rows[-1].append(one)
    return rows


def _box(floor: Floor, kind: EntryKind, field: EntryField) -> Data:
    unit = floor.unit(field.dimension) if field.dimension else ""
    wide = 2 if kind in ("remark", "count", "drift", "electrical") else 1
    name = field.what if field.required else f"{field.what} (if taken)"
    return {"name": name, "unit": unit, "required": field.required, "wide": wide}
