"""Can hands reach each port while its section hangs on the plate?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict
from abreast.errors import MissingInputError
from abreast.model import Landing, Port, esp_string, neck_height_m
from abreast.units import Dimension

__all__ = ["PORT_REACH"]


def _places(context: Context) -> Iterator[tuple[str, Port]]:
    run = {piece.id for piece in esp_string(context.job)}
    for port in context.job.ports:
        if port.piece in run:
            yield port.id, port


def _heights(context: Context, port: Port) -> list[tuple[Landing, float]]:
    """Port above the plate [m] at each landing where its piece stands on the string.

    That begins one landing early: the section is made up on the one that hangs.
    """
    landings = context.job.landings
    placed = next(p for p in context.assembly.side("esp") if p.id == port.piece)
    if not landings or not placed.landing:
        raise MissingInputError(needs="the table of landings")
    own = next(i for i, landing in enumerate(landings) if landing.id == placed.landing)
    height_m = placed.bottom_m + port.height_m.si
    return [
        (landing, height_m - neck_height_m(context.job, landing.piece))
        for landing in landings[max(own - 1, 0) :]
    ]


def _judge(context: Context, port: Port) -> Verdict:
    high_m = context.job.window.high_m.si
    heights = _heights(context, port)
    reached = [(at, above) for at, above in heights if 0 <= above <= high_m]
    if reached:
        at, above_m = reached[0]
        return _verdict(
            context, port, above_m, f"{context.length(above_m)} above the plate at {at.id}", ""
        )
    below = [(at, above) for at, above in heights if above < 0]
    at, above_m = below[0] if below else heights[-1]
    if above_m < 0:
        how = "work on it while the block holds it above the plate, brake chained; hoist for it"
        where = f"{context.length(-above_m)} below the plate at {at.id}"
        return _verdict(context, port, above_m, where, how)
    where = f"{context.length(above_m)} above the plate at {at.id}, out of reach"
    return _verdict(context, port, above_m, where, "work on it before the section is stood up")


def _verdict(context: Context, port: Port, above_m: float, where: str, how: str) -> Verdict:
    high_m = context.job.window.high_m.si
    return Verdict(
        status="near limit" if how else "ok",
        text=f"{port.id} ({port.kind}) on {port.piece}: {where}.",
        dimension=Dimension.LENGTH,
        value=above_m,
        limit=0.0 if above_m < 0 else high_m,
        action=how,
        assumptions=("reach is from the plate to the top of the working window",),
    )


PORT_REACH = Check(
    id="port-reach",
    question="Can hands reach each port while a section hangs on the plate?",
    places=_places,
    judge=_judge,
    basis="working window of the job: common practice",
    needs="the table of ports: pothead, vents, fill and drain valves",
)
