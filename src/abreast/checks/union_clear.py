"""Is there room for the union beside the ESP?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, at_least, not_checked
from abreast.model import EspPiece, PlacedPiece
from abreast.units import Dimension
from abreast.units.constants import FOOT_M

__all__ = ["UNION_CLEAR"]

_CLEAR_M = 0.9 * FOOT_M
"""Distance along the string that the union keeps from a body it does not fit beside.

Common practice, no source.
"""


@dataclass(frozen=True, slots=True)
class _Beside:
    """An ESP piece within reach of the union; ``away_m`` is 0 when it stands beside it."""

    part: EspPiece
    away_m: float


def _away_m(piece: PlacedPiece, bottom_m: float, top_m: float) -> float:
    return max(piece.bottom_m - top_m, bottom_m - piece.top_m, 0.0)


def _places(context: Context) -> Iterator[tuple[str, _Beside | None]]:
    union = context.assembly.union
    if union is None:
        yield "", None
        return
    part = {piece.id: piece for piece in context.job.esp}
    near = [
        _Beside(part[piece.id], _away_m(piece, union.bottom_m, union.top_m))
        for piece in context.assembly.side("esp")
    ]
    thick = [one for one in near if _gap_m(context, one.part) < 0]
    nearest = min(thick, key=lambda one: one.away_m, default=None)
    for one in near:
        if one is nearest or one.away_m < _CLEAR_M:
            yield one.part.id, one


def _gap_m(context: Context, piece: EspPiece) -> float:
    radii_m = (piece.max_od_m.si + context.job.union.max_od_m.si) / 2
    return context.job.setting.axis_spacing_m.si - radii_m


def _judge(context: Context, beside: _Beside | None) -> Verdict:
    if beside is None:
        return not_checked("the union as set")
    gap_m = _gap_m(context, beside.part)
    return _thick(context, beside) if gap_m < 0 else _thin(context, beside, gap_m)


def _thin(context: Context, beside: _Beside, gap_m: float) -> Verdict:
    job, part = context.job, beside.part
    margin_m = job.rules.envelope_margin_m.si
    sizes = (
        f"{context.small(part.max_od_m.si / 2)} + {context.small(job.union.max_od_m.si / 2)} of"
        f" {context.small(job.setting.axis_spacing_m.si)}"
    )
    return Verdict(
        status="ok" if gap_m >= margin_m else "near limit",
        text=f"Beside {part.id} the union has {context.small(gap_m)} of room ({sizes}).",
        dimension=Dimension.LENGTH,
        value=gap_m,
        limit=margin_m,
        action="" if gap_m >= margin_m else "try the two side by side before they go up",
    )


def _thick(context: Context, beside: _Beside) -> Verdict:
    judged = at_least(beside.away_m, _CLEAR_M)
    return Verdict(
        status=judged.status,
        text=f"The union does not fit beside {beside.part.id}, and is"
        f" {context.length(beside.away_m)} away from it; {context.length(_CLEAR_M)} is kept.",
        dimension=Dimension.LENGTH,
        value=beside.away_m,
        limit=_CLEAR_M,
        utilisation=judged.utilisation,
        basis="distance: common practice",
        action="" if judged.status == "ok" else "change the pieces so that the union stands clear",
    )


UNION_CLEAR = Check(
    id="union-clear",
    question="Is there room for the union beside the ESP?",
    places=_places,
    judge=_judge,
    basis="physics: half of both diameters within the axis spacing",
)
