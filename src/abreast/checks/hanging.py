"""Does the holder at each landing carry all that hangs there, by the declared load path?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked, weight_n
from abreast.checks.gear import Gear, lifting_clamp, of_type, top_gear, weakest
from abreast.checks.loads import Hanging, by_length, closed_frame, hanging
from abreast.errors import MissingInputError
from abreast.model import Job, Landing
from abreast.units import Dimension

__all__ = ["HANGING", "landing_gear"]

_CLOSED = "closed frame"
_NOT_COUNTED = (
    "not counted: cable and motor lead, slings, the holder itself, fluid inside the strings"
)


def _places(context: Context) -> Iterator[tuple[str, Landing | None]]:
    for landing in context.job.landings:
        yield landing.id, landing
    yield _CLOSED, None


def landing_gear(job: Job, landing: Landing) -> list[Gear]:
    """What carries the string on the plate at a landing, by the declared load path.

    Raises
    ------
    MissingInputError
        If the tables name no holder of the kind that the path needs.

    Notes
    -----
    ESP-held and top-hung: the lifting clamp. Bypass-held: the slips on the
    bypass, the lifting clamp stands by. Both-held: lifting clamp and holding
    clamp; how they share is not known, so each is held against the whole.
    """
    plate = Gear("false rotary", job.rig.false_rotary_rating_n)
    gear = [plate]
    if job.load_path != "bypass-held":
        holder = lifting_clamp(job, landing)
        gear.append(Gear(holder.id, holder.rating_n))
    kind = {"bypass-held": "slips", "both-held": "holding clamp"}.get(job.load_path)
    if kind:
        holders = of_type(job, kind, sides=("bypass", "both", "any"))
        if not holders:
            raise MissingInputError(needs=f"{kind} for the bypass in the table of holders")
        gear += [Gear(holder.id, holder.rating_n) for holder in holders]
    return gear


_CARRIES = {
    "esp-held": "the lifting clamp carries tail, base, bypass and ESP",
    "bypass-held": "the bypass carries everything; the lifting clamp only stands by",
    "both-held": "how lifting clamp and holding clamp share is not known: each against the whole",
    "top-hung": "the lifting clamp carries the ESP, and through the twin clamps the bypass",
}


def _judge(context: Context, landing: Landing | None) -> Verdict:
    job, assembly = context.job, context.assembly
    if landing is None:
        if assembly.union is None:
            return not_checked("the union as set")
        gear = [Gear("Y-tool", job.ytool.rating_n), *top_gear(job)]
        return _verdict(context, closed_frame(job, assembly), gear)
    states = {one.name: one for one in hanging(job, assembly)}
    if landing.id not in states:
        return not_checked(f"the bypass pieces still to be run before {landing.id}")
    return _verdict(context, states[landing.id], landing_gear(job, landing))


def _verdict(context: Context, load: Hanging, gear: list[Gear]) -> Verdict:
    factor = context.job.rig.daf_derrick_ratio
    load_n = weight_n(load.total_kg) * factor.si
    link = weakest(gear, load_n)
    judged = at_most(load_n, link.rating_n.si)
    return Verdict(
        status=judged.status,
        text=f"{context.mass(load.total_kg)} hang in air ({_parts(context, load)}); with dynamic"
        f" factor {factor.si:g} {context.load(load_n)} on {link.name}, rated"
        f" {context.load(judged.limit)}.",
        dimension=Dimension.FORCE,
        value=load_n,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis=f"rating: {link.rating_n.origin}; dynamic factor: {factor.origin}",
        action="" if judged.status == "ok" else "use a stronger holder, or run less before it",
        assumptions=(_path(context, load), _NOT_COUNTED, *_by_length(context)),
    )


def _parts(context: Context, load: Hanging) -> str:
    """What the mass is made of; the parts add up to it."""
    masses = {
        "ESP": load.esp_kg,
        "bypass side": load.bypass_side_kg,
        "twin clamps": load.clamps_kg,
        "union and Y-tool": load.ytool_kg,
    }
    named = {name: kg for name, kg in masses.items() if kg or name != "union and Y-tool"}
    return ", ".join(f"{name} {context.mass(kg)}" for name, kg in named.items())


def _path(context: Context, load: Hanging) -> str:
    if load.name == _CLOSED:
        return "block and tubing elevator carry all on the Y-tool"
    return f"load path {context.job.load_path}: {_CARRIES[context.job.load_path]}"


def _by_length(context: Context) -> tuple[str, ...]:
    names = by_length(context.job, context.assembly)
    return (f"mass by length of pipe: {', '.join(names)}",) if names else ()


HANGING = Check(
    id="hanging-load",
    question="Does the holder carry all that hangs on it, by the declared load path?",
    places=_places,
    judge=_judge,
)
