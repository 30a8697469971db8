"""What is wrong in the file of a procedure: fields, words and ids, one sentence each."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from abreast.errors import InputError, Where
from abreast.mechanics.ledger.dues import fixed_dues
from abreast.model import procedure as parts
from abreast.model.floor_actions import Action
from abreast.model.procedure import Procedure

__all__ = ["ACTIONS", "form_faults", "id_faults", "place"]

ACTIONS: dict[str, type[BaseModel]] = {
    str(one.model_fields["do"].default): one for one in get_args(get_args(Action)[0])
}
"""Class of each action by its word ``do``."""

_TABLES: dict[str, type[BaseModel]] = {
    "site": parts.FloorSite,
    "lines": parts.HoistLine,
    "pieces": parts.FloorPiece,
    "joints": parts.FloorJoint,
    "holders": parts.FloorHolder,
    "clamps": parts.ClampPlace,
    "cable": parts.CableLine,
    "union": parts.FloorUnion,
    "dues": parts.Due,
    "start": parts.StartState,
    "steps": parts.Step,
}
_ONE = {
    "steps": "step",
    "lines": "line",
    "pieces": "piece",
    "joints": "joint",
    "holders": "holder",
    "clamps": "twin clamp",
    "dues": "due",
}
_SAYS = {
    "string_type": "must be a text in quotes",
    "float_type": "must be a number without quotes",
    "int_type": "must be a whole number without quotes",
    "int_from_float": "must be a whole number",
    "bool_type": "must be true or false",
    "dict_type": "must be an object in { }",
    "model_type": "must be an object in { }",
    "model_attributes_type": "must be an object in { }",
    "tuple_type": "must be a list in [ ]",
    "too_short": "must name at least one",
    "string_too_short": "must not be blank",
    "missing": "is missing; every one needs it",
    "union_tag_not_found": 'does not say what is done; give "do", for example "do": "lower"',
}
Place = tuple[str | int, ...]


def place(at: Place, data: dict[str, Any]) -> Where:
    """Where a field stands, with the id of its step, piece or holder."""
    words: list[str] = []
    rest = at
    if len(at) > 1 and at[0] in _ONE and isinstance(at[1], int):
        words.append(f"{_ONE[str(at[0])]} {_name(data, str(at[0]), at[1])}")
        rest = at[2:]
    if rest and rest[0] == "action":
        rest = rest[1:] if len(rest) > 1 else rest
    field = ".".join(str(one) for one in rest if one not in ACTIONS or len(rest) == 1)
    return Where(field=", ".join([*words, field] if field else words))


def _name(data: dict[str, Any], table: str, index: int) -> str:
    rows = data.get(table)
    row = rows[index] if isinstance(rows, list) and index < len(rows) else None
    own = row.get("id") if isinstance(row, dict) else None
    return own if isinstance(own, str) and own.strip() else f"no. {index + 1}"


def form_faults(data: dict[str, Any], file: str) -> tuple[list[InputError], Procedure | None]:
    """Faults of form, or the procedure when there are none."""
    try:
        return [], Procedure.model_validate_json(json.dumps(data), strict=True)
    except ValidationError as fault:
        found = [dict(one) for one in fault.errors(include_url=False)]
    # A list whose only entry is at fault is also called too short: one sentence is enough.
    real = [one for one in found if not (one["type"] == "too_short" and one["input"])]
    return [_form_fault(one, data, file) for one in real or found], None


def _form_fault(one: dict[str, Any], data: dict[str, Any], file: str) -> InputError:
    at: Place = one["loc"]
    code = {"extra_forbidden": "unknown-field", "missing": "missing-field"}
    return InputError(
        _sentence(one, at),
        code=code.get(one["type"], "bad-procedure"),
        where=place(at, data),
    ).at(file=file)  # type: ignore[return-value]


def _sentence(one: dict[str, Any], at: Place) -> str:
    kind, context = str(one["type"]), one.get("ctx", {})
    if kind == "extra_forbidden":
        return _unknown(str(at[-1]), _fields_at(at[:-1]), "field here", "leave it out")
    if kind == "union_tag_invalid":
        return _unknown(str(context["tag"]), ACTIONS, "action", "see the list of actions")
    if kind == "literal_error":
        choices = [word.strip("'") for word in _choices(str(context["expected"]))]
        return _unknown(str(one["input"]), choices, "choice", "take " + context["expected"])
    if kind == "missing" and isinstance(at[-1], int):
        return "is missing; two numbers are needed, the smaller one first"
    if "gt" in context or "ge" in context:
        return f"must be above {context['gt']:g}" if "gt" in context else "must not be negative"
    message = str(one["msg"]).removeprefix("Value error, ")
    return _SAYS.get(kind, message[:1].lower() + message[1:])


def _choices(expected: str) -> list[str]:
    return expected.replace(" or ", ", ").split(", ")


def _fields_at(at: Place) -> Iterable[str]:
    model: type[BaseModel] | None = Procedure if not at else _TABLES.get(str(at[0]))
    names = [str(one) for one in at]
    if "neck" in names:
        model = parts.Neck
    elif at and at[0] == "steps" and "action" in names:
        model = ACTIONS.get(names[-1])
    return model.model_fields if model else ()


def _unknown(name: str, known: Iterable[str], what: str, else_: str) -> str:
    names = list(known)
    near = get_close_matches(name, names, 1, 0.5)
    hint = f"did you mean {near[0]!r}?" if near else else_
    return f"{name!r} is no {what}; {hint}"


# --- ids and intervals ------------------------------------------------------------------


def id_faults(procedure: Procedure, file: str) -> Iterator[InputError]:
    """Ids that lead nowhere, and intervals that are upside down."""
    known = _known(procedure)
    for where, field, names, what in _references(procedure):
        for name in names:
            if name and name not in known[what]:
                message = _unknown(
                    name, known[what], f"{what} of this procedure", _list(known, what)
                )
                at = Where(file, field=f"{where}, {field}" if where else field)
                yield InputError(message, code="unknown-id", where=at)
    for where, field, low, high in _intervals(procedure):
        if low > high:
            message = f"from {low:g} to {high:g} is upside down; write the smaller number first"
            at = Where(file, field=f"{where}, {field}" if where else field)
            yield InputError(message, code="bad-interval", where=at)
    yield from (one.at(file=file) for one in _key_faults(procedure, known))  # type: ignore[misc]
    for field, message in _start_faults(procedure):
        yield InputError(message, code="bad-start", where=Where(file, field=field))
    ratio = procedure.site.dynamic_ratio
    if ratio is not None and ratio < 1:
        message = f"{ratio:g} would make loads smaller; a dynamic factor is 1 or more"
        yield InputError(message, code="bad-value", where=Where(file, field="site.dynamic_ratio"))


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
                message = _unknown(word, ACTIONS, "action", "see the list of actions")
                yield InputError(message, code="unknown-key", where=where)
            elif thing and thing not in things:
                message = _unknown(thing, things, "id of this procedure", "see its lists")
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
