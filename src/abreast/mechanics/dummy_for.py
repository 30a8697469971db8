"""The drift dummy for a job: which body is hardest to pass, and what a dummy must be like."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from abreast.errors import MissingInputError
from abreast.formulas.rigid_tool import bend_side_force, longest_rigid_tool, must_bend
from abreast.mechanics.drift_dummy import Body, Proof, equivalent_stiffness, judge_dummy
from abreast.mechanics.fit import Fit, fit
from abreast.mechanics.hole_curve import Curve, hole_curve
from abreast.mechanics.twin_beam_lines import read_twin_beam
from abreast.model import Assembly, Job
from abreast.units import Dimension, show

__all__ = ["DummyFor", "Gauge", "dummy_for", "dummy_words"]

_STEEL_PA = 2.07e11
_D = Dimension


@dataclass(frozen=True, slots=True)
class Gauge:
    """A rigid gauge of the full width, to be run first.

    Parameters
    ----------
    of : str
        The part it stands for, the longest rigid one.
    od_m, length_m : float
        Largest width of the whole string, and length of that part [m].
    longest_m : float
        Longest rigid body of that width that lies in the sharpest bend unbent [m].
    """

    of: str
    od_m: float
    length_m: float
    longest_m: float


@dataclass(frozen=True, slots=True)
class DummyFor:
    """What a dummy must be like, and what it proves.

    Parameters
    ----------
    name : str
        ESP piece that pushes hardest on the sharpest bend, the bypass beside it.
    real, dummy : Body
        That piece with what lies beside it, and the dummy for it.
    bar_m : float
        Diameter of a solid steel bar as stiff as the dummy [m].
    must_bend_m : float
        How far the piece must bend there; not above 0: it lies unbent [m].
    longest_m : float
        Longest rigid body of its width that lies in the bend unbent [m].
    drift_m : float
        Smallest drift on the way [m].
    curve : Curve
        Sharpest bend on the way.
    gauge : Gauge
        The rigid gauge to run first.
    proof : Proof
        What the dummy proves once it went through.
    assumptions : tuple of str
        What was taken for granted.
    """

    name: str
    real: Body
    dummy: Body
    bar_m: float
    must_bend_m: float
    longest_m: float
    drift_m: float
    curve: Curve
    gauge: Gauge
    proof: Proof
    assumptions: tuple[str, ...]


def dummy_for(
    job: Job, assembly: Assembly, length_m: float | None = None, od_m: float | None = None
) -> DummyFor:
    """The dummy that stands for a job's assembly on its way into the well.

    Parameters
    ----------
    job : Job
        Casing, survey, sizes and stiffness of the pieces.
    assembly : Assembly
        The twin string.
    length_m, od_m : float or None
        Length and width of a dummy that is at hand; None: those of the piece [m].

    Raises
    ------
    MissingInputError
        For a size, a stiffness, a drift or a survey that is missing.
    InputError
        ``out-of-range``: a body is not smaller than the drift, or the dummy is so
        short or thin that no stiffness makes it push as hard.
    """
    found = fit(job, assembly)
    drift_m = _drift_m(found)
    depths = [one.bottom_md_m for one in assembly.pieces if one.bottom_md_m is not None]
    if not depths:
        raise MissingInputError(needs="depth of the Y-tool in section setting")
    curve = hole_curve(job, 0.0, max(depths))
    if curve.rad_m <= 0:
        raise MissingInputError(needs="a survey with a bend, or its allowance for tortuosity")
    if found.tightest.diameter_m >= drift_m:
        raise MissingInputError(
            needs="a string that is narrower than the smallest drift on its way"
        )
    bodies = dict(_bodies(job, assembly, found))
    if not bodies:
        raise MissingInputError(needs="an ESP piece in the string")
    name = max(bodies, key=lambda one: _push(bodies[one], drift_m, curve.rad_m))
    real = bodies[name]
    longest_m = longest_rigid_tool(drift_m, real.od_m, 1 / curve.rad_m)
    must_bend_m = must_bend(drift_m, real.od_m, real.length_m, curve.rad_m)
    dummy = _dummy(real, length_m, od_m, drift_m, curve.rad_m)
    return DummyFor(
        name,
        real,
        dummy,
        (64 * dummy.ei_nm2 / math.pi / _STEEL_PA) ** 0.25,
        must_bend_m,
        longest_m,
        drift_m,
        curve,
        _gauge(assembly, found, drift_m, curve.rad_m),
        judge_dummy(real, dummy, drift_m, curve.rad_m),
        (
            "each ESP piece with the bypass beside it is one body, its stiffness theirs added;"
            " rod with free ends in a bend of constant curvature",
            "sharpest bend and smallest drift of the whole way taken together",
            "steel of 207 GPa for the bar",
        ),
    )


def _drift_m(found: Fit) -> float:
    if found.way_needs:
        raise MissingInputError(needs="; ".join(found.way_needs))
    return min(
        one.passage.drift_m
        for one in found.clearances
        if one.section is not None and one.passage.kind != "rig" and one.passage.drift_m is not None
    )


def _bodies(job: Job, assembly: Assembly, found: Fit) -> Iterator[tuple[str, Body]]:
    """Each ESP piece: its length, its widest circle, its stiffness and that beside it."""
    esp, bypass = read_twin_beam(job, assembly).twin.strings
    for piece in assembly.side("esp"):
        own = [one for one in esp.segments if one.name == piece.id]
        top_m, bottom_m = min(one.top_m for one in own), max(one.bottom_m for one in own)
        beside = [
            one.ei_nm2
            for one in bypass.segments
            if one.kind == "body" and one.top_m < bottom_m and one.bottom_m > top_m
        ]
        ei_nm2 = max(one.ei_nm2 for one in own) + max(beside, default=0.0)
        od_m = max(section.diameter_m for section in found.of(piece.id))
        yield piece.id, Body(piece.effective_m, od_m, ei_nm2)


def _push(body: Body, drift_m: float, bend_rad_m: float) -> tuple[float, float]:
    """Force on the bend, and of those that lie unbent how near they come to bending."""
    bent_m = must_bend(drift_m, body.od_m, body.length_m, bend_rad_m)
    clear_m = drift_m - body.od_m
    return bend_side_force(body.ei_nm2, body.length_m, clear_m, bend_rad_m), bent_m


def _dummy(
    real: Body, length_m: float | None, od_m: float | None, drift_m: float, bend_rad_m: float
) -> Body:
    """One at hand made to push as hard; without sizes one like the real body."""
    if length_m is None and od_m is None:
        return real
    size = length_m or real.length_m, od_m or real.od_m
    return Body(*size, equivalent_stiffness(real, *size, drift_m, bend_rad_m))


def _gauge(assembly: Assembly, found: Fit, drift_m: float, bend_rad_m: float) -> Gauge:
    block = max(assembly.side("both"), key=lambda one: one.effective_m)
    od_m = found.tightest.diameter_m
    longest_m = longest_rigid_tool(drift_m, od_m, 1 / bend_rad_m)
    return Gauge(block.id, od_m, block.effective_m, longest_m)


def dummy_words(job: Job, found: DummyFor) -> tuple[str, ...]:
    """The dummy in a few sentences, in the units of the job."""

    def long(value_m: float) -> str:
        return show(value_m, _D.LENGTH, job.units)

    def small(value_m: float) -> str:
        return show(value_m, _D.LENGTH, job.units, small=True)

    real, dummy, gauge, curve = found.real, found.dummy, found.gauge, found.curve
    bend = show(curve.rad_m, _D.DOGLEG, job.units)
    where = " to ".join(long(one) for one in curve.at_md_m)
    unseen = f" Not checked: needs {'; '.join(curve.needs)}." if curve.needs else ""
    yield_or_stick = (
        f"bends by {small(found.must_bend_m)} and pushes with"
        f" {show(found.proof.real_n, _D.FORCE, job.units)}; a rigid gauge of that size would stick,"
        f" {long(found.longest_m)} is the longest"
        if found.must_bend_m > 0
        else f"lies unbent; a rigid gauge up to {long(found.longest_m)} long does so too"
    )
    fits = "passes" if gauge.length_m <= gauge.longest_m else "WOULD NOT PASS"
    stiff = show(dummy.ei_nm2, _D.BENDING_STIFFNESS, job.units)
    return (
        f"Sharpest bend on the way: {bend} at {where}; smallest drift"
        f" {small(found.drift_m)}.{unseen}",
        f"First a rigid gauge, {small(gauge.od_m)} by {long(gauge.length_m)}, as wide as the"
        f" string and as long as {gauge.of}: it {fits} that bend unbent, up to"
        f" {long(gauge.longest_m)} would.",
        f"Hardest to pass is {found.name} with the bypass beside it, {small(real.od_m)} by"
        f" {long(real.length_m)}: it {yield_or_stick}. Its dummy: {small(dummy.od_m)} by"
        f" {long(dummy.length_m)}, EI {stiff}: a solid steel bar of {small(found.bar_m)}, with"
        " rings.",
        f"Through, it proves {'; '.join(found.proof.proves) or 'nothing'}. It does not prove"
        f" {'; '.join(found.proof.does_not_prove)}.",
    )
