"""What a procedure says that can't be: ids that lead nowhere, intervals upside down, no sizes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pydantic import BaseModel

from abreast.errors import InputError, Where
from abreast.mechanics.ledger.dues import fixed_dues
from abreast.model.procedure import Procedure
from abreast.procedure.read_faults import ACTIONS, not_known

__all__ = ["id_faults"]


def id_faults(procedure: Procedure) -> Iterator[InputError]:
    """Ids that lead nowhere, and intervals that are upside down."""
    known = _known(procedure)
    for where, field, names, what in _references(procedure):
        for name in names:
            if name and name not in known[what]:
                message = not_known(
                    name, known[what], f"{what} of this procedure", _list(known, what)
                )
                at = Where(field=f"{where}, {field}" if where else field)
                yield InputError(message, code="unknown-id", where=at)
    for where, field, low, high in _intervals(procedure):
        if low > high:
            message = f"from {low:g} to {high:g} is upside down; write the smaller number first"
            at = Where(field=f"{where}, {field}" if where else field)
            yield InputError(message, code="bad-interval", where=at)
    yield from _key_faults(procedure, known)
    for field, message in _start_faults(procedure):
        yield InputError(message, code="bad-start", where=Where(field=field))
    yield from _size_faults(procedure)
    ratio = procedure.site.dynamic_ratio
    if ratio is not None and ratio < 1:
        message = f"{ratio:g} would make loads smaller; a dynamic factor is 1 or more"
        yield InputError(message, code="bad-value", where=Where(field="site.dynamic_ratio"))


def _start_faults(procedure: Procedure) -> Iterator[tuple[str, str]]:
    """What a start with a string in the hole must say; field and sentence."""
    start = procedure.start
    if not start.line:
        if start.in_hole:
            yield "start, line", "is blank; say which line carries the string at the start"
        return
    if not start.holder:
        yield "start, holder", "is blank; say what holds the string at the start"
    if start.on not in start.in_hole:
        yield "start, on", f"{start.on!r} is not in start.in_hole; the line holds nothing else"


def _known(procedure: Procedure) -> dict[str, dict[str, None]]:
    rows: dict[str, Iterable[str]] = {
        "piece": (one.id for one in procedure.pieces),
        "joint": (one.id for one in procedure.joints),
        "holder": (one.id for one in procedure.holders),
        "line": (one.id for one in procedure.lines),
        "twin clamp": (one.id for one in procedure.clamps),
        "support": ("rotary", "plate"),
        "due": _dues(procedure),
    }
    return {what: dict.fromkeys(ids) for what, ids in rows.items()}


def _dues(procedure: Procedure) -> Iterator[str]:
    yield from (one.id for one in (*fixed_dues(procedure), *procedure.dues))


def _twice(procedure: Procedure) -> Iterator[str]:
    seen = {one.id for one in fixed_dues(procedure)}
    for due in procedure.dues:
        if due.id in seen:
            yield due.id
        seen.add(due.id)


def _key_faults(procedure: Procedure, known: dict[str, dict[str, None]]) -> Iterator[InputError]:
    """A due that waits for an action nobody can do would never be asked for."""
    things = dict.fromkeys(("open", "closed", "off", "follow", "hold"))
    things |= {name: None for names in known.values() for name in names}
    for name in _twice(procedure):
        message = "is due already, or stands twice in the list; give it an id of its own"
        yield InputError(message, code="twice", where=Where(field=f"due {name}, id"))
    for due in procedure.dues:
        for field, key in (("after", due.after), *(("before", one) for one in due.before)):
            word, _, thing = key.partition(" ")
            where = Where(field=f"due {due.id}, {field}")
            if key and word not in ACTIONS:
                message = not_known(word, ACTIONS, "action", "see the list of actions")
                yield InputError(message, code="unknown-key", where=where)
            elif thing and thing not in things:
                message = not_known(thing, things, "id of this procedure", "see its lists")
                yield InputError(message, code="unknown-key", where=where)


def _list(known: dict[str, dict[str, None]], what: str) -> str:
    names = list(known[what])
    if not names:
        return f"it has no {what}"
    more = f" and {len(names) - 8} more" if len(names) > 8 else ""
    return f"known are {', '.join(names[:8])}{more}"


_ACTION_FIELDS = {
    "holder": "holder",
    "gear": "holder",
    "on": "piece",
    "pieces": "piece",
    "back_up": "piece",
    "line": "line",
    "lines": "line",
    "joint": "joint",
    "joints": "joint",
    "clamp": "twin clamp",
    "support": "support",
    "due": "due",
}
Reference = tuple[str, str, tuple[str, ...], str]


def _references(procedure: Procedure) -> Iterator[Reference]:
    for clamp in procedure.clamps:
        yield f"twin clamp {clamp.id}", "esp", (clamp.esp,), "piece"
        yield f"twin clamp {clamp.id}", "bypass", (clamp.bypass,), "piece"
    if procedure.cable is not None:
        yield "cable", "piece", (procedure.cable.piece,), "piece"
    if procedure.union is not None:
        yield "union", "piece", (procedure.union.piece,), "piece"
        yield "union", "joint", (procedure.union.joint,), "joint"
    start = procedure.start
    yield "start", "in_hole", start.in_hole, "piece"
    yield "start", "line", (start.line,), "line"
    yield "start", "holder", (start.holder,), "holder"
    yield "start", "on", (start.on,), "piece"
    yield "start", "gear", start.gear, "holder"
    yield "start", "clamps", start.clamps, "twin clamp"
    for step in procedure.steps:
        for field in type(step.action).model_fields:
            what = _ACTION_FIELDS.get(field)
            if what is not None and not (field == "on" and step.action.do == "cover"):
                value = getattr(step.action, field)
                names = value if isinstance(value, tuple) else (value,)
                yield f"step {step.id}", field, names, what


_SIZES = ("_n", "_nm", "od_m", "opening_m", "max_m", "travel_m", "bolts", "mass_kg", "plate_m")
_MAY_BE_NOTHING = ("mass_kg", "plate_m")


def _size_faults(procedure: Procedure) -> Iterator[InputError]:
    """A rating or size of nothing or less would let everything pass."""
    for where, part in _parts(procedure):
        for field in type(part).model_fields:
            value = getattr(part, field)
            if not field.endswith(_SIZES) or not isinstance(value, int | float) or value > 0:
                continue
            may_be_nothing = field.endswith(_MAY_BE_NOTHING)
            if value < 0 or not may_be_nothing:
                floor = "must not be negative" if may_be_nothing else "must be above 0"
                message = f"{value:g} can't be; it {floor}, or null when it is not known"
                at = Where(field=f"{where}, {field}")
                yield InputError(message, code="bad-value", where=at)


def _parts(procedure: Procedure) -> Iterator[tuple[str, BaseModel]]:
    yield "site", procedure.site
    yield from ((f"piece {one.id}", one) for one in procedure.pieces)
    yield from ((f"piece {one.id}, neck", one.neck) for one in procedure.pieces if one.neck)
    yield from ((f"joint {one.id}", one) for one in procedure.joints)
    yield from ((f"holder {one.id}", one) for one in procedure.holders)
    yield from ((f"line {one.id}", one) for one in procedure.lines)
    yield from ((f"twin clamp {one.id}", one) for one in procedure.clamps)
    if procedure.union is not None:
        yield "union", procedure.union


def _intervals(procedure: Procedure) -> Iterator[tuple[str, str, float, float]]:
    site = procedure.site
    yield "", "site.reach_m", *site.reach_m
    for piece in procedure.pieces:
        yield f"piece {piece.id}", "bottom_m to top_m", piece.bottom_m, piece.top_m
        for low, high in piece.slick_m:
            yield f"piece {piece.id}", "slick_m", low, high
    for joint in procedure.joints:
        for field, pair in (("torque_nm", joint.torque_nm), ("window_m", joint.window_m)):
            if pair is not None:
                yield f"joint {joint.id}", field, *pair
    for holder in procedure.holders:
        if holder.neck_od_m is not None:
            yield f"holder {holder.id}", "neck_od_m", *holder.neck_od_m
    if procedure.cable is not None and procedure.cable.reach_m is not None:
        yield "cable", "reach_m", *procedure.cable.reach_m
