"""What is in the well already, when a job is solved again half-way."""

from __future__ import annotations

from typing import ClassVar

from pydantic import Field

from abreast.model.part import Count, Id, Part, Text, remark

__all__ = ["InWell"]


class InWell(Part):
    """Bypass pieces that have been run; the space-out keeps them as they are."""

    called: ClassVar[str] = "state of the well"

    pieces: tuple[Id, ...] = Field(
        (), description="ids of the rack pieces above the base that are run, bottom to top"
    )
    landings_passed: Count = Field(
        0, description="landings that lie behind, counted from the bottom"
    )
    note: Text = remark("remark")
