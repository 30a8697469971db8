"""Who prepared, checked and approved a job, and which cells were corrected."""

from __future__ import annotations

from datetime import date
from typing import ClassVar

from pydantic import Field, field_validator

from abreast.model.part import Part, Text, Words, remark
from abreast.model.texts import SignatureText

__all__ = ["Correction", "Revision"]


class Revision(Part):
    """The revision of a job; unapproved is a draft."""

    called: ClassVar[str] = "revision"

    number: Text = Field(description="number or letter of the revision")
    prepared: SignatureText | None = Field(None, description="who prepared it and when")
    checked: SignatureText | None = Field(None, description="who checked it and when")
    approved: SignatureText | None = Field(None, description="who approved it and when")
    note: Text = remark("what changed")

    @property
    def is_draft(self) -> bool:
        """Whether every page must say DRAFT."""
        return None in (self.prepared, self.checked, self.approved)


class Correction(Part):
    """One cell that a person corrected, or accepted as it stands."""

    called: ClassVar[str] = "correction"

    file: Words = Field(description="table the cell is in, for example rack.csv")
    row: int | None = Field(None, description="row of the cell, heading 1; blank in job.toml")
    field: Words = Field(description="column or field, without its unit")
    was: Text = remark("what stands there")
    now: Text = remark("what is to stand there; the same as 'was' accepts it")
    who: Words = Field(description="who says so")
    when: date = Field(description="on which day")
    why: Words = Field(description="why")

    @field_validator("file")
    @classmethod
    def _table_name(cls, value: str) -> str:
        return value if value.endswith((".csv", ".toml")) else f"{value}.csv"

    @property
    def accepts(self) -> bool:
        """Whether the cell is accepted as it stands."""
        return self.was == self.now
