"""How many cable clamps go in?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict
from abreast.errors import MissingInputError
from abreast.mechanics.cable import pothead
from abreast.model import UpperItem
from abreast.units import Dimension

__all__ = ["CLIP_COUNT"]

_AT_SPLICE = 2
_AT_TOOL = 2
"""Extra clamps: above and below a splice, above and below a packer or valve.

Common practice, no source.
"""


def _places(_context: Context) -> Iterator[tuple[str, str]]:
    yield "", "all"


def _judge(context: Context, _: str) -> Verdict:
    beside = _joints_beside(context)
    couplings = sum(_couplings(context, item) for item in context.job.upper)
    tools = sum(item.kind in ("packer", "safety valve") for item in context.job.upper)
    total = beside + couplings + _AT_SPLICE + _AT_TOOL * tools
    beside_tools = f", {_AT_TOOL * tools} beside packer and valves" if tools else ""
    return Verdict(
        status="ok",
        text=f"{total} in all: {beside} at the ESP's joints above the pothead, {couplings} at"
        f" couplings above the Y-tool, {_AT_SPLICE} beside the splice{beside_tools}. Twin clamps"
        " not counted. Planned, run and left over must agree.",
        dimension=Dimension.COUNT,
        value=float(total),
        assumptions=(
            "one clamp at each joint and coupling; none added at mid-joint for doglegs",
            "joints of tubing as long as their average",
        ),
    )


def _joints_beside(context: Context) -> int:
    """Joints between two ESP pieces, and to the Y-tool, that the cable passes."""
    port = pothead(context.job)
    if context.job.mle is None:
        raise MissingInputError(needs="the section of the MLE")
    if port is None:
        raise MissingInputError(needs="a port of kind pothead")
    height_m = context.assembly.piece(port.piece).bottom_m + port.height_m.si
    return sum(piece.top_m > height_m for piece in context.assembly.side("esp"))


def _couplings(context: Context, item: UpperItem) -> int:
    """Couplings of one item, its own upper end with them; the hanger takes no clamp."""
    if item.kind == "hanger":
        return 0
    if not item.joint_m.is_given:
        return 1
    length_m = item.length_m.known
    if length_m is None:
        length_m = _to_fit_m(context, item)
    return max(1, math.ceil(length_m / item.joint_m.si - 1e-6))


def _to_fit_m(context: Context, item: UpperItem) -> float:
    """Length of the one item that is fitted to the depth [m].

    From the Y-tool to the fixed reference of the depths, less everything else.
    """
    job = context.job
    datum = job.setting.datum or job.depth_datum
    elevation_m = next(one.elevation_m for one in job.datums if one.id == datum)
    others_m = sum(one.length_m.si for one in job.upper if one is not item)
    return max(job.setting.ytool_top_md_m.si - elevation_m.si - others_m, 0.0)


CLIP_COUNT = Check(
    id="cable-clamps",
    question="How many cable clamps go in?",
    places=_places,
    judge=_judge,
    basis="one at each coupling: common practice",
)
