"""What is always due, whatever a procedure lists itself."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.model.procedure import Due, FloorJoint, Procedure

__all__ = ["fixed_dues"]


def fixed_dues(procedure: Procedure) -> tuple[Due, ...]:
    """Signatures, readings, measurements and counts that the ledger asks for by itself.

    Notes
    -----
    Orientation of each signed joint before the next section, electrical readings
    before and after MLE and splice, the seat, the difference of the faces before
    the frame is closed, the stroke of the union, and the counts. Common practice.
    """
    found = [*_cable(procedure), *_counts()]
    if procedure.purpose == "run":
        found += [*_orientation(procedure), *_seat(procedure), *_closing(procedure)]
    return tuple(found)


def _cable(procedure: Procedure) -> Iterator[Due]:
    if procedure.cable is None:
        return
    join, part = (
        ("connect_mle", "connected")
        if procedure.purpose == "run"
        else (
            "disconnect_mle",
            "taken off",
        )
    )
    yield Due(
        id="reading before MLE",
        sort="reading",
        text=f"phase and insulation readings before the MLE is {part}",
        before=(join,),
    )
    if procedure.purpose == "pull":
        return
    yield Due(
        id="reading after MLE",
        sort="reading",
        text="phase and insulation readings after the MLE is connected",
        after=join,
        before=("hoist", "lower"),
    )
    if procedure.cable.splice_z_m is None:
        return
    yield Due(
        id="reading before splice",
        sort="reading",
        text="phase and insulation readings of both cables before the splice",
        before=("splice",),
    )
    yield Due(
        id="reading after splice",
        sort="reading",
        text="phase and insulation readings after the splice",
        after="splice",
        before=("hoist", "lower", "hand_over"),
    )


def _counts() -> Iterator[Due]:
    yield Due(
        id="counts",
        sort="count",
        text="lifting subs, clamps, protectors, bolts and tools: counted in as given out",
        before=("hand_over",),
    )


def _orientation(procedure: Procedure) -> Iterator[Due]:
    for joint in procedure.joints:
        if not joint.signed:
            continue
        later = _next(procedure, joint)
        waits = tuple(f"stab {one.id}" for one in later) or ("hand_over",)
        yield Due(
            id=f"orientation {joint.id}",
            sort="signature",
            text=f"orientation of {joint.upper} on {joint.lower}, looking down",
            after=f"make_up {joint.id}",
            before=waits,
        )


def _next(procedure: Procedure, joint: FloorJoint) -> list[FloorJoint]:
    """The next joint above that is made on the floor, along the same string."""
    at = joint.upper
    while True:
        above = [one for one in procedure.joints if one.lower == at]
        if not above or above[0].sort != "workshop":
            return above
        at = above[0].upper


def _seat(procedure: Procedure) -> Iterator[Due]:
    for joint in procedure.joints:
        if joint.sort != "seat":
            continue
        yield Due(
            id="seat set",
            sort="measurement",
            text="seat height set by rule and locked",
            before=(f"stab {joint.id}",),
        )
        yield Due(
            id="seat checked",
            sort="check",
            text="feeler round the seat, retainer and wire looked at",
            after=f"make_up {joint.id}",
            before=("hoist", "lower"),
        )


def _closing(procedure: Procedure) -> Iterator[Due]:
    if procedure.union is None:
        return
    yield Due(
        id="face difference",
        sort="measurement",
        text="bypass face to ESP face by rule, compared with the computed difference",
        before=(f"stab {procedure.union.joint}",),
    )
    yield Due(
        id="union stroke",
        sort="measurement",
        text="stroke exposed by rule, turns from snug, lock fitted",
        after="lock_union",
        before=("hoist", "lower", "hand_over"),
    )
