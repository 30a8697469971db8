"""The wireline tool strings that are wanted through the bypass."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field, model_validator

from abreast.model.part import Diameter, Id, Part, Text, Value, optional, remark

__all__ = ["ToolPart"]


class ToolPart(Part):
    """One part of a tool string; the rows of a string stand together, top to bottom."""

    called: ClassVar[str] = "tool part"

    string: Id = Field(description="name of the tool string")
    part: Id = Field(description="what the part is")
    length_m: Value = Field(description="length it adds to the string")
    od_m: Diameter = Field(description="largest diameter")
    ei_nm2: Value = optional("bending stiffness EI; only asked for if the part has to bend")
    side_load_n: Value = optional("side force it may bear in its middle; only if it has to bend")
    run_to: Text = remark(
        "place of the bypass way above which it ends, for example plug nipple; blank: it goes out"
        " at the lower end"
    )
    knuckle: bool = Field(False, description="yes: a knuckle joint at its lower end")
    note: Text = remark("remark")
    origin: Text = remark("origin of the values of this row that state none")

    @property
    def known_as(self) -> str:
        """How a message names this part: by itself and its string."""
        return f"{self.called} {self.part} of {self.string}"

    @model_validator(mode="after")
    def _has_a_size(self) -> ToolPart:
        for field in ("length", "od", "ei"):
            value = getattr(self, f"{field}_nm2" if field == "ei" else f"{field}_m").known
            if value is not None and value <= 0:
                message = f"{field} must be above 0"
                raise ValueError(message)
        if self.side_load_n.known is not None and self.side_load_n.si < 0:
            message = "side_load must not be below 0"
            raise ValueError(message)
        return self
