"""Does the gear carry every lift by itself, with its dynamic factor?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, at_most, weight_n
from abreast.checks.gear import Gear, bypass_gear, section_gear, top_gear, weakest
from abreast.checks.loads import Lift, lifts
from abreast.units import Dimension

__all__ = ["LIFT_MASSES"]


def _places(context: Context) -> Iterator[tuple[str, Lift]]:
    every = lifts(context.assembly)
    tail = [lift for lift in every if lift.kind == "tail"]
    if tail:
        yield "heaviest tail piece", max(tail, key=lambda lift: lift.mass_kg)
    for lift in every:
        if lift.kind != "tail":
            yield lift.name, lift


def _gear(context: Context, lift: Lift) -> list[Gear]:
    job = context.job
    if lift.kind == "esp":
        return section_gear(job, lift.landing)
    if lift.kind == "Y-tool":
        return top_gear(job)
    if lift.kind == "base" and not job.is_top_hung:
        return [Gear("tugger", job.rig.tugger_rating_n)]
    return bypass_gear(job)


def _judge(context: Context, lift: Lift) -> Verdict:
    factor = context.job.rig.daf_derrick_ratio
    load_n = weight_n(lift.mass_kg) * factor.si
    gear = weakest(_gear(context, lift), load_n)
    judged = at_most(load_n, gear.rating_n.si)
    return Verdict(
        status=judged.status,
        text=f"{lift.name}: {context.mass(lift.mass_kg)}, with dynamic factor {factor.si:g}"
        f" {context.load(load_n)}; {gear.name} is the weakest gear, rated"
        f" {context.load(judged.limit)}.",
        dimension=Dimension.FORCE,
        value=load_n,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis=f"rating: {gear.rating_n.origin}; dynamic factor: {factor.origin}",
        action="" if judged.status == "ok" else "use stronger gear, or lift it in parts",
    )


LIFT_MASSES = Check(
    id="lift-mass",
    question="Does the gear carry every lift by itself, with its dynamic factor?",
    places=_places,
    judge=_judge,
)
