"""Where the cable of the motor lies: from the pothead up the ESP, at the angle of the pothead."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from abreast.formulas.flat_cable import FlatCable
from abreast.mechanics.needs import needs_of
from abreast.mechanics.outlines import Outline
from abreast.model import Assembly, Job, Mle, Port, Quantity

__all__ = ["CABLE_ID", "CableCourse", "cable_course", "pothead"]

CABLE_ID = "MLE"
_SAME_ANGLE_RAD = math.radians(0.5)


@dataclass(frozen=True, slots=True)
class CableCourse:
    """The cable beside the ESP.

    Parameters
    ----------
    bottom_m, top_m : float
        Heights of the pothead and of the Y-tool's ESP leg face [m].
    angle_rad, tolerance_rad : float or None
        Angle of the pothead from the line to the bypass, looking down,
        clockwise positive, and how far it may be off [rad].
    spans : tuple of (bottom, top, FlatCable)
        The cable on each ESP piece, as far as sizes are known [m].
    needs : tuple of str
        What its outline lacks.
    angle_needs : tuple of str
        What its angle lacks.
    corner_needs : tuple of str
        The radius of its corners, when nobody states it and they are taken as sharp.
    """

    bottom_m: float
    top_m: float
    angle_rad: float | None
    tolerance_rad: float | None
    spans: tuple[tuple[float, float, FlatCable], ...] = ()
    needs: tuple[str, ...] = ()
    angle_needs: tuple[str, ...] = ()
    corner_needs: tuple[str, ...] = ()

    def at(self, height_m: float) -> FlatCable | None:
        """The cable at a height; None: it is not there, or a size is missing."""
        for bottom_m, top_m, cable in self.spans:
            if bottom_m <= height_m <= top_m:
                return cable
        return None

    def outlines(self) -> Iterator[Outline]:
        """Its shapes at the angle of the pothead; while something is missing, one that says so."""
        missing = "; ".join((*self.needs, *self.angle_needs))
        if missing or self.angle_rad is None:
            yield Outline(CABLE_ID, "cable", "", self.bottom_m, self.top_m, needs=missing)
            return
        for bottom_m, top_m, cable in self.spans:
            discs = cable.discs(self.angle_rad)
            yield Outline(CABLE_ID, "cable", "", bottom_m, top_m, discs)


def pothead(job: Job) -> Port | None:
    """The port at which the cable enters the motor; None when the table has none in the string."""
    run = {piece.id for piece in job.esp if not piece.is_spare}
    found = [port for port in job.ports if port.kind == "pothead" and port.piece in run]
    return found[0] if found else None


def cable_course(job: Job, assembly: Assembly, spread_m: float) -> CableCourse:
    """The course of the cable beside the ESP, as far as the job tells.

    Parameters
    ----------
    job : Job
        MLE, ports and the diameters of the ESP pieces.
    assembly : Assembly
        Where they stand.
    spread_m : float
        How far the cable stays on a wider piece past its end [m].

    Returns
    -------
    CableCourse
        On each piece it lies on the largest diameter. With no pothead stated
        it is taken to run along the whole ESP, and that is asked for.
    """
    port, mle = pothead(job), job.mle
    bottom_m, missing = _start_m(assembly, port)
    angle_rad, angle_needs = _angle(mle, port)
    if mle is None:
        missing = (*missing, "the section of the MLE")
        return CableCourse(
            bottom_m, assembly.esp_leg_m, None, None, needs=missing, angle_needs=angle_needs
        )
    needs = (*missing, *_size_needs(mle))
    known = not needs
    return CableCourse(
        bottom_m,
        assembly.esp_leg_m,
        angle_rad,
        mle.pothead_tolerance_rad.known,
        tuple(_spans(job, assembly, mle, bottom_m, spread_m)) if known else (),
        needs,
        angle_needs,
        corner_needs=_unmeasured(mle.corner_radius_m),
    )


def _start_m(assembly: Assembly, port: Port | None) -> tuple[float, tuple[str, ...]]:
    lowest_m = min(piece.bottom_m for piece in assembly.side("esp"))
    if port is None:
        return lowest_m, ("a port of kind pothead",)
    if not port.height_m.is_given:
        return lowest_m, needs_of(port.height_m)
    return assembly.piece(port.piece).bottom_m + port.height_m.si, ()


def _angle(mle: Mle | None, port: Port | None) -> tuple[float | None, tuple[str, ...]]:
    """The one angle that MLE and table of ports state."""
    stated: list[Quantity] = [mle.pothead_angle_rad] if mle is not None else []
    stated += [port.angle_rad] if port is not None else []
    given = [one.si for one in stated if one.is_given]
    if not given:
        return None, needs_of(*stated[:1]) or ("the angle of the pothead",)
    apart = abs(math.remainder(given[-1] - given[0], 2 * math.pi))
    if apart > _SAME_ANGLE_RAD:
        both = " and ".join(f"{math.degrees(one):.0f}°" for one in given)
        return None, (f"one angle of the pothead: MLE and table of ports say {both}",)
    return given[0], ()


def _size_needs(mle: Mle) -> tuple[str, ...]:
    return (*needs_of(mle.thickness_m, mle.width_m), *_unmeasured(mle.guard_m))


def _unmeasured(size: Quantity) -> tuple[str, ...]:
    """What is asked for when a size is not stated; one that does not apply is none."""
    return needs_of(size) if size.state == "not measured" else ()


def _spans(
    job: Job, assembly: Assembly, mle: Mle, start_m: float, spread_m: float
) -> Iterator[tuple[float, float, FlatCable]]:
    """The cable piece by piece; it stays on the wider of two neighbours past the end of it."""
    od_m = {piece.id: piece.max_od_m.known for piece in job.esp}
    seats = [
        (piece.top_m, od_m[piece.id]) for piece in assembly.side("esp") if piece.top_m > start_m
    ]
    bottom_m = start_m
    for number, (top_m, od) in enumerate(seats):
        above = seats[number + 1][1] if number + 1 < len(seats) else None
        end_m = top_m
        if od is not None and above is not None and above != od:
            end_m += spread_m if od > above else -spread_m
        if od is not None and end_m > bottom_m:
            yield bottom_m, end_m, _cable(mle, od / 2)
        bottom_m = max(bottom_m, end_m)


def _cable(mle: Mle, seat_m: float) -> FlatCable:
    thickness_m = mle.thickness_m.si + mle.guard_m.or_else(0.0)
    return FlatCable(seat_m, thickness_m, mle.width_m.si, mle.corner_radius_m.or_else(0.0))
