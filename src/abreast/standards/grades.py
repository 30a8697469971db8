"""Steel grades of API Spec 5CT."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from abreast.errors import InputError
from abreast.standards.tables import read_table

__all__ = ["Grade", "grade", "grade_table"]


@dataclass(frozen=True, slots=True)
class Grade:
    """Strength of one grade [Pa]: least and greatest yield, least ultimate."""

    grade: str
    yield_pa: float
    yield_max_pa: float
    ultimate_pa: float
    source: str


@cache
def grade_table() -> tuple[Grade, ...]:
    """Every grade of the table."""
    return read_table("grades.csv", Grade)


def grade(name: str) -> Grade:
    """Strength of a grade by its name, for example ``L80``, ``L-80`` or ``L80-1``.

    Raises
    ------
    InputError
        ``not-in-table``, with the grades there are.

    Examples
    --------
    >>> round(grade("L-80").yield_pa / 6894.757e3)
    80
    """
    wanted = name.strip().upper().replace("-", "").replace(" ", "")
    for row in grade_table():
        if wanted == row.grade or wanted[:-1] == row.grade:
            return row
    known = ", ".join(row.grade for row in grade_table())
    message = f"grade {name!r} is not in the table; it has {known}"
    raise InputError(message, code="not-in-table")
