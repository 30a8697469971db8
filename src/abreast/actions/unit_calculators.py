"""The calculator that reads a quantity as people write it and shows it in other units."""

from __future__ import annotations

from pydantic import Field

from abreast.actions.calculator import Calculator, Inputs, Name, Outputs
from abreast.errors import InputError, Where
from abreast.units import Dimension, Parsed, feet_inches, parse, show, to_unit, unit_named

__all__ = ["CALCULATORS"]

_BARE = (Dimension.RATIO, Dimension.COUNT)
# Refusals that only say "not this kind of quantity": another kind may do.
_OTHER_KIND = frozenset({"unknown-unit", "wrong-dimension"})


class ConvertInputs(Inputs):
    """A quantity in words."""

    text: Name = Field(description="the quantity as written, for example 31 ft 5 in")
    quantity: Dimension | None = Field(
        None, description="what it is; needed where a unit serves two kinds, as °F does"
    )
    written_in: Name | None = Field(None, description="unit of a number that has none")
    to: Name | None = Field(None, description="unit wanted, for example m")


class ConvertOutputs(Outputs):
    """How it was read, and what it is elsewhere."""

    reading: str = Field(description="how the text was understood")
    quantity: Dimension = Field(description="the kind of quantity")
    si: float = Field(description="value in the SI unit of its kind")
    oilfield: str = Field(description="in oilfield units, rounded as usual")
    metric: str = Field(description="in SI units, rounded as usual")
    feet_inches: str | None = Field(None, description="a length, to 1/16 in")
    value: float | None = Field(None, description="value in the unit wanted")
    unit: str | None = Field(None, description="the unit wanted")


def _convert(given: ConvertInputs) -> ConvertOutputs:
    quantity, read = _read(given)
    value = unit = None
    if given.to is not None:
        try:
            unit = unit_named(given.to, quantity).symbol
        except InputError as fault:
            raise fault.at(field="to") from None
        value = to_unit(read.si, unit, quantity)
    return ConvertOutputs(
        reading=read.echo,
        quantity=quantity,
        si=read.si,
        oilfield=show(read.si, quantity, "oilfield"),
        metric=show(read.si, quantity, "SI"),
        feet_inches=feet_inches(read.si) if quantity is Dimension.LENGTH else None,
        value=value,
        unit=unit,
    )


def _read(given: ConvertInputs) -> tuple[Dimension, Parsed]:
    """The text as the quantity it is said to be, or as the first that its unit allows."""
    kinds = [given.quantity] if given.quantity else [d for d in Dimension if d not in _BARE]
    faults: list[InputError] = []
    for kind in kinds:
        try:
            return kind, parse(given.text, kind, given.written_in)
        except InputError as fault:
            faults.append(fault)
    telling = [fault for fault in faults if fault.code not in _OTHER_KIND]
    if telling or given.quantity:
        raise (telling or faults)[0].at(field="text")
    message = (
        f"no quantity has the unit of {given.text!r}; write for example 31.42 ft or 26.4 lb/ft"
    )
    raise InputError(message, code="unknown-unit", where=Where(field="text"))


CALCULATORS = (
    Calculator(
        name="convert",
        summary="read a quantity as people write it, show it in other units",
        formula="exact factors: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, g = 9.80665 m/s2",
        source="NIST Special Publication 811 (from memory)",
        inputs=ConvertInputs,
        outputs=ConvertOutputs,
        function=_convert,
        example={"text": "31 ft 5 1/16 in", "to": "m"},
    ),
)
