"""What a job asks to be confirmed beyond the fixed rules: checks, readings, oil, plug."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from abreast.model import Assembly, Job, LandingState
from abreast.model.procedure import Due
from abreast.procedure.floor_joints import SEAT, Y_LEG, joint_id

__all__ = ["PLUG", "STICK_DOWN", "STRAPPED", "WELL_QUIET", "filled", "floor_dues", "read", "ready"]

WELL_QUIET = "well quiet"
STICK_DOWN = "stick-down set"
STRAPPED = "bypass strapped"
PLUG = "plug"
_CHECKS = {
    "motor": "motor: shipping cap off, shaft turned, oil, phase and insulation readings",
    "gauge": "gauge reading",
    "protector": "protector: shaft spline, coupling, end play, O-ring, oil",
    "intake": "intake: shipping screws out, shaft turned through the whole stack",
    "gas separator": "gas separator: shipping screws out, shaft turned through the whole stack",
    "pump": "pump: caps off, shaft spline, coupling and end play, shaft turned",
    "discharge pup": "discharge pup: bore clean, swivel nut runs free",
}


def ready(piece: str) -> str:
    """Id of the check before the section of a piece is lifted."""
    return f"{piece} ready"


def filled(piece: str) -> str:
    """Id of the check that a piece is full of oil and tight."""
    return f"{piece} filled"


def read(landing: str) -> str:
    """Id of the electrical reading at a landing."""
    return f"reading {landing}"


def floor_dues(job: Job, assembly: Assembly) -> tuple[Due, ...]:
    """All of them, in the order in which they come up.

    The order of common practice; no standard asks for them in this form.
    """
    return tuple(_dues(job, assembly))


def _dues(job: Job, assembly: Assembly) -> Iterator[Due]:
    yield Due(
        id=WELL_QUIET,
        sort="check",
        text="well dead and watched, shut-in card of every landing rehearsed, lifting subs, clamps"
        " and tools counted out",
        before=("pick_up",),
    )
    if job.is_top_hung:
        yield from _top_hung(assembly)
    else:
        yield Due(
            id=STRAPPED,
            sort="check",
            text=f"bypass strapped to the head of {assembly.landings[0].piece} with a soft strap",
            after=f"make_up {SEAT}",
            before=("lower",),
        )
    followers = [*assembly.landings[1:], None]
    for state, after in zip(assembly.landings, followers, strict=True):
        yield from _section(job, assembly, state, after)
    if job.ytool.plug:
        yield Due(id=PLUG, sort="check", text=job.ytool.plug, before=(f"stab {Y_LEG}",))


def _top_hung(assembly: Assembly) -> Iterator[Due]:
    """What comes before the first twin clamp."""
    if not assembly.clamps:
        return
    before = tuple(f"fit_twin_clamp {one.id}" for one in assembly.clamps)
    piece = assembly.landings[0].piece
    yield Due(
        id=STICK_DOWN,
        sort="measurement",
        text="stick-down of the bypass below the ESP by rule: the last free length",
        before=before,
    )
    yield Due(
        id=f"orientation {piece}",
        sort="signature",
        text=f"orientation of {piece} to the bypass, looking down",
        before=before,
    )


def _section(
    job: Job, assembly: Assembly, state: LandingState, after: LandingState | None
) -> Iterator[Due]:
    placed = [one for one in assembly.side("esp") if one.landing == state.id]
    kinds = list(dict.fromkeys(one.kind for one in placed))
    asked = [_CHECKS[kind] for kind in kinds if kind in _CHECKS]
    yield Due(
        id=ready(state.piece),
        sort="check",
        text="; ".join([*asked, "clamp insert against the neck"]),
        before=(f"pick_up {state.piece}",),
    )
    before = (_next_stab(assembly, after),)
    oil = {port.piece for port in job.ports if port.kind == "fill valve"}
    for one in placed:
        if one.id in oil:
            yield Due(
                id=filled(one.id),
                sort="check",
                text=f"{one.id} filled with the vents open, then watched for leaks",
                before=before,
            )
    if "motor" in kinds:
        yield Due(
            id=read(state.id),
            sort="reading",
            text="gauge, phase and insulation readings of the motor while it hangs",
            before=before,
        )


def _next_stab(assembly: Assembly, after: LandingState | None) -> str:
    """Key of the action that puts the next section on."""
    if after is None:
        return f"stab {Y_LEG}"
    pairs = pairwise(assembly.side("esp"))
    low, high = next((low, high) for low, high in pairs if high.landing == after.id != low.landing)
    return f"stab {joint_id(low.id, high.id)}"
