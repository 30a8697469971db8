"""The lists that go with a plan: findings of the checks, and cells corrected or accepted."""

from __future__ import annotations

from collections.abc import Iterable

from abreast.documents.brief import is_small
from abreast.documents.table import Column, Row, Table
from abreast.model import Correction, Finding
from abreast.units import Dimension, System, display_unit, to_unit

__all__ = ["corrections_table", "findings_table"]

_FINDING = (
    "status",
    "id",
    "question",
    "answer",
    "value",
    "limit",
    "unit",
    "utilisation",
    "where",
    "basis",
    "what to do",
    "needs",
    "assumptions",
)
_CORRECTION = ("file", "row", "field", "was", "now", "kind", "who", "when", "why")


def findings_table(findings: Iterable[Finding], system: System) -> Table:
    """All findings, in the order given; value and limit in the unit that stands beside them."""
    columns = tuple(Column(name) for name in _FINDING)
    rows = tuple(_finding(finding, system) for finding in findings)
    return Table("findings", columns, rows, system)


def _finding(finding: Finding, system: System) -> Row:
    kind = Dimension(finding.dimension) if finding.dimension else None

    small = is_small(finding, system)
    unit = display_unit(kind, system, small=small) if kind is not None else ""

    def shown(value: float | None) -> str:
        return "" if value is None or kind is None else f"{to_unit(value, unit, kind):.6g}"

    used = "" if finding.utilisation is None else f"{finding.utilisation:.2f}"
    return Row(
        (
            finding.status,
            finding.id,
            finding.question,
            finding.text,
            shown(finding.value),
            shown(finding.limit),
            unit,
            used,
            finding.where,
            finding.basis,
            finding.action,
            "; ".join(finding.needs),
            "; ".join(finding.assumptions),
        ),
        strong=finding.status == "exceeds",
    )


def corrections_table(corrections: Iterable[Correction], system: System) -> Table:
    """Every cell that a person corrected, or accepted as it stands."""
    columns = tuple(Column(name) for name in _CORRECTION)
    rows = tuple(
        Row(
            (
                one.file,
                one.row,
                one.field,
                one.was,
                one.now,
                "accepted" if one.accepts else "corrected",
                one.who,
                one.when.isoformat(),
                one.why,
            )
        )
        for one in corrections
    )
    return Table("corrections", columns, rows, system)
