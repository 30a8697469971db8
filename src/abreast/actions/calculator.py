"""What a calculator is: a checked input, a function of the packages below, a checked output."""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from abreast.errors import InputError, Where

__all__ = [
    "Bend",
    "Calculator",
    "Count",
    "Inclination",
    "Inputs",
    "Name",
    "NotNegative",
    "Number",
    "Outputs",
    "Positive",
    "Share",
    "Turn",
]

# No length, load or stiffness of a well comes near; beyond it a sum may overflow.
_FAR = 1e12
_TURNS = 4 * math.pi
Number = Annotated[float, Field(strict=True, ge=-_FAR, le=_FAR, allow_inf_nan=False)]
"""Any finite number."""
Positive = Annotated[float, Field(strict=True, gt=0, le=_FAR, allow_inf_nan=False)]
"""A number above 0."""
NotNegative = Annotated[float, Field(strict=True, ge=0, le=_FAR, allow_inf_nan=False)]
"""A number not below 0."""
Share = Annotated[float, Field(strict=True, ge=0, le=1, allow_inf_nan=False)]
"""A number from 0 to 1."""
Count = Annotated[int, Field(strict=True, ge=1, le=10_000)]
"""A whole number from 1."""
Inclination = Annotated[float, Field(strict=True, ge=0, le=math.pi, allow_inf_nan=False)]
"""An angle from straight down, 0, to straight up, pi [rad]."""
Bend = Annotated[float, Field(strict=True, ge=0, le=1, allow_inf_nan=False)]
"""A curvature of a hole [rad/m]; figures in degrees are mostly beyond it."""
Turn = Annotated[float, Field(strict=True, ge=-_TURNS, le=_TURNS, allow_inf_nan=False)]
"""An angle of no more than two turns [rad]; figures in degrees are mostly beyond it."""
Name = Annotated[str, Field(strict=True, max_length=200)]
"""A short text."""


class Inputs(BaseModel):
    """Base of every input: unknown fields are errors."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Outputs(BaseModel):
    """Base of every output."""

    model_config = ConfigDict(frozen=True)


@dataclass(frozen=True)
class Calculator:
    """One named computation.

    Parameters
    ----------
    name : str
        As it is called on the command line, words joined by hyphens.
    summary : str
        One line for a list.
    formula : str
        The formula in plain text, or the table it reads.
    source : str
        Where formula or table come from, and how well.
    inputs, outputs : type
        Models whose field names carry SI units and whose fields are described.
    function : callable
        From a valid input to an output.
    example : mapping
        An input that works.
    """

    name: str
    summary: str
    formula: str
    source: str
    inputs: type[Inputs]
    outputs: type[Outputs]
    function: Callable[[Any], Outputs]
    example: Mapping[str, Any]

    def schema(self) -> dict[str, Any]:
        """JSON Schema of the input; formula, source and output stand under ``x-`` keys."""
        return {
            **self.inputs.model_json_schema(),
            "title": self.name,
            "description": self.summary,
            "examples": [dict(self.example)],
            "x-formula": self.formula,
            "x-source": self.source,
            "x-output": self.outputs.model_json_schema(mode="serialization"),
        }

    def run(self, data: object) -> dict[str, Any]:
        """The output for plain data; InputError with one sentence when it cannot be used."""
        if not isinstance(data, dict):
            message = f"{self.name} needs one JSON object; see abreast calc --example {self.name}"
            raise InputError(message, code="bad-input")
        try:
            given = self.inputs.model_validate(data)
        except ValidationError as fault:
            raise _first_fault(fault, self.inputs) from None
        result = self.function(given).model_dump(mode="json", exclude_none=True)
        if not all(math.isfinite(number) for number in _numbers(result)):
            message = f"{self.name} gives no finite result for these figures; check their units"
            raise InputError(message, code="out-of-range")
        return result


def _numbers(data: object) -> Iterator[float]:
    if isinstance(data, dict):
        data = list(data.values())
    if isinstance(data, list):
        for part in data:
            yield from _numbers(part)
    elif isinstance(data, float):
        yield data


def _first_fault(fault: ValidationError, inputs: type[Inputs]) -> InputError:
    """One sentence for the most telling fault: a misspelt field comes before a missing one."""
    errors = _without_echoes(fault.errors(include_url=False))
    first = min(errors, key=lambda error: error["type"] != "extra_forbidden")
    field = ".".join(str(step + 1) if isinstance(step, int) else step for step in first["loc"])
    more = len(errors) - 1
    message = _reason(first, inputs)
    if more:
        message += f" (and {more} more fault{'s' if more > 1 else ''} in the input)"
    return InputError(message, code="bad-input", where=Where(field=field))


def _without_echoes(errors: list[Any]) -> list[Any]:
    """Drop 'too short' of a list that only lacks its own faulty entries."""
    deeper = [error["loc"][:-1] for error in errors]
    outer = {loc[:depth] for loc in deeper for depth in range(1, len(loc) + 1)}
    return [e for e in errors if e["type"] != "too_short" or e["loc"] not in outer]


def _reason(error: Any, inputs: type[Inputs]) -> str:
    kind, context = error["type"], error.get("ctx", {})
    if kind == "extra_forbidden":
        return _unknown(str(error["loc"][-1]), inputs if len(error["loc"]) == 1 else None)
    if kind in _PLAIN:
        return _PLAIN[kind]
    if kind in _BOUNDS:
        word, key = _BOUNDS[kind]
        angle = "_rad" in str(error["loc"][-1]) and kind.startswith("less")
        hint = "; angles are in radians" if angle else ""
        return f"{error['input']!r:.40} must be {word} {context[key]:g}{hint}"
    if kind in ("too_long", "too_short"):
        bound = f"at most {context.get('max_length')}"
        if kind == "too_short":
            bound = f"{context['min_length']} at least"
        return f"has {context['actual_length']} entries, and needs {bound}"
    if kind in ("literal_error", "enum"):
        return f"{error['input']!r:.40} must be {context['expected']}"
    return str(error["msg"]).removeprefix("Value error, ")


def _unknown(field: str, inputs: type[Inputs] | None) -> str:
    known = list(inputs.model_fields) if inputs else []
    near = difflib.get_close_matches(field, known, 1, 0.6)
    if near:
        return f"no such field; did you mean {near[0]}?"
    return f"no such field{'; there are ' + ', '.join(known) if known else ''}"


_PLAIN = {
    "missing": "this field is missing",
    "float_type": "must be a number, without unit or quotes",
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "string_type": "must be a text in quotes",
    "bool_type": "must be true or false",
    "finite_number": "must be a finite number",
    "list_type": "must be a list",
    "tuple_type": "must be a list",
    "model_type": "must be an object with named fields",
    "string_too_long": "is too long a text",
    "string_too_short": "must not be empty",
}
_BOUNDS = {
    "greater_than": ("above", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("below", "lt"),
    "less_than_equal": ("at most", "le"),
}
