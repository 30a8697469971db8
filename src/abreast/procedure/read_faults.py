"""What is wrong with the form of a procedure: fields, words and types, one sentence each."""

from __future__ import annotations

import json
from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from abreast.errors import InputError, Where
from abreast.model import procedure as parts
from abreast.model.floor_actions import Action
from abreast.model.procedure import Procedure

__all__ = ["ACTIONS", "form_faults", "not_known", "place"]

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


def form_faults(data: dict[str, Any]) -> tuple[list[InputError], Procedure | None]:
    """Faults of form, or the procedure when there are none."""
    try:
        return [], Procedure.model_validate_json(json.dumps(data), strict=True)
    except ValidationError as fault:
        found = [dict(one) for one in fault.errors(include_url=False)]
    # A list whose only entry is at fault is also called too short: one sentence is enough.
    real = [one for one in found if not (one["type"] == "too_short" and one["input"])]
    return [_form_fault(one, data) for one in real or found], None


def _form_fault(one: dict[str, Any], data: dict[str, Any]) -> InputError:
    at: Place = one["loc"]
    code = {"extra_forbidden": "unknown-field", "missing": "missing-field"}
    return InputError(
        _sentence(one, at),
        code=code.get(one["type"], "bad-procedure"),
        where=place(at, data),
    )


def _sentence(one: dict[str, Any], at: Place) -> str:
    kind, context = str(one["type"]), one.get("ctx", {})
    if kind == "extra_forbidden":
        return not_known(str(at[-1]), _fields_at(at[:-1]), "field here", "leave it out")
    if kind == "union_tag_invalid":
        return not_known(str(context["tag"]), ACTIONS, "action", "see the list of actions")
    if kind == "literal_error":
        choices = [word.strip("'") for word in _choices(str(context["expected"]))]
        return not_known(str(one["input"]), choices, "choice", "take " + context["expected"])
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


def not_known(name: str, known: Iterable[str], what: str, else_: str) -> str:
    """A sentence on a name that nobody knows, with the nearest one that is known."""
    names = list(known)
    near = get_close_matches(name, names, 1, 0.5)
    hint = f"did you mean {near[0]!r}?" if near else else_
    return f"{name!r} is no {what}; {hint}"
