"""What of an assembly may touch the casing: outlines, couplings of the tubing, corners of cable."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from abreast.errors import MissingInputError
from abreast.formulas.enclosing import Disc as Round
from abreast.mechanics.cable import CABLE_ID, cable_course
from abreast.mechanics.outlines import Outline
from abreast.mechanics.twin_beam import Disc, DiscKind
from abreast.model import Assembly, Job
from abreast.spaceout.assemble import BASE_ID

__all__ = ["ABOVE_M", "Laid", "discs"]

ABOVE_M = 20.0
"""How much of what is above the Y-tool is modelled [m]."""
# A shape shorter than this touches at its middle only.
_SHORT_M = 0.3
_END_M = 1e-6
_EVERY_M = 1e9
_KINDS: dict[str, DiscKind] = {"neck": "neck", "connection": "coupling", "clamp": "clamp"}


@dataclass(frozen=True, slots=True)
class Laid:
    """An assembly, and where it lies in the coordinates of its beams.

    Parameters
    ----------
    shapes : tuple of Outline
        Outlines of its pieces, heights in the ESP frame.
    zero_m : float
        Height of the beams' zero in the ESP frame [m].
    x_m : float
        Where the axis of the first string lies in the frame of the outlines [m].
    base_m : float or None
        Height at which a base support joins both strings; None: top-hung.
    """

    job: Job
    assembly: Assembly
    shapes: tuple[Outline, ...]
    zero_m: float
    x_m: float
    base_m: float | None

    def down_m(self, height_m: float) -> float:
        """How far below the zero of the beams a height is [m]."""
        return self.zero_m - height_m


def discs(laid: Laid, side: str, ends_m: tuple[float, float]) -> Iterator[Disc]:
    """The discs of one string (``esp`` with tubing, tail and cable, or ``bypass``).

    Parameters
    ----------
    laid : Laid
        The assembly and where it lies.
    side : str
        Which string.
    ends_m : pair of float
        Upper and lower end of that string [m]; what reaches beyond is cut off.

    Raises
    ------
    MissingInputError
        For sizes of cable or tubing that are not given.
    """
    found = [*_of_pieces(laid, side)]
    if side == "esp":
        found += _of_tubing(laid)
    for shape in found:
        yield from _placed(laid, shape, ends_m)
    if side == "esp":
        yield from _of_cable(laid, ends_m)


def _of_pieces(laid: Laid, side: str) -> Iterator[Outline]:
    below_m = None if laid.base_m is None else laid.down_m(laid.base_m)
    for shape in laid.shapes:
        tail = below_m is not None and laid.down_m(shape.bottom_m) > below_m + _SHORT_M
        main = shape.side in ("esp", "both") or (shape.side == "bypass" and tail)
        if shape.piece == BASE_ID:  # above the seat it is the passage of the bypass
            low, high = (-_EVERY_M, 0.0) if side == "esp" else (0.0, _EVERY_M)
            yield replace(shape, bottom_m=max(shape.bottom_m, low), top_m=min(shape.top_m, high))
        elif main == (side == "esp"):
            yield shape


def _of_tubing(laid: Laid) -> Iterator[Outline]:
    """The couplings of what is above the Y-tool."""
    bottom_m = laid.assembly.top_m
    top_m = laid.assembly.top_m + ABOVE_M
    for item in laid.job.upper:
        if bottom_m >= top_m - _END_M:
            return
        length_m = item.length_m.known
        step_m = item.joint_m.known or 10.0 if length_m is None else length_m
        disc = (Round(laid.x_m, 0.0, item.max_od_m.si / 2),)
        while bottom_m < top_m - _END_M:
            bottom_m += step_m
            if bottom_m < top_m - _SHORT_M:
                yield Outline(item.id, "esp", "connection", bottom_m, bottom_m, disc)
            if length_m is not None:
                break


def _of_cable(laid: Laid, ends_m: tuple[float, float]) -> Iterator[Disc]:
    course = cable_course(laid.job, laid.assembly, 0.0)
    missing = (*course.needs, *course.angle_needs)
    if missing:
        raise MissingInputError(needs="; ".join(missing))
    assert laid.job.mle is not None, "the course of a cable asks for one"
    kind: DiscKind = "guard" if laid.job.mle.guard_m.or_else(0.0) > 0 else "cable"
    for shape in course.outlines():
        # The inner corners lie on the string, behind the outer ones.
        outer = replace(shape, discs=shape.discs[2:])
        for disc in _placed(laid, outer, ends_m):
            yield replace(disc, name=CABLE_ID, kind=kind)


def _placed(laid: Laid, shape: Outline, ends_m: tuple[float, float]) -> Iterable[Disc]:
    """An outline as discs in the coordinates of the beams; none where it lies beyond the ends."""
    top_m = max(laid.down_m(shape.top_m), ends_m[0])
    bottom_m = min(laid.down_m(shape.bottom_m), ends_m[1])
    if top_m > bottom_m:
        return
    if bottom_m - top_m < _SHORT_M:
        top_m = bottom_m = (top_m + bottom_m) / 2
    kind = _KINDS.get(shape.part, "block" if shape.side == "both" else "body")
    for one in shape.discs:
        x_m = one.x_m - laid.x_m
        yield Disc(top_m, x_m, one.y_m, one.radius_m, shape.name, kind, bottom_m - top_m)
