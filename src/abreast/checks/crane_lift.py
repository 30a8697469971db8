"""How far out may the crane stand for the heaviest lift?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, at_most, weight_n
from abreast.checks.loads import Lift, lifts
from abreast.units import Dimension

__all__ = ["CRANE_LIFT"]


def _places(context: Context) -> Iterator[tuple[str, Lift]]:
    if context.job.crane:
        heaviest = max(lifts(context.assembly), key=lambda lift: lift.mass_kg)
        yield heaviest.name, heaviest


def _judge(context: Context, lift: Lift) -> Verdict:
    factor = context.job.rig.daf_crane_ratio
    load_n = weight_n(lift.mass_kg) * factor.si
    chart = sorted((point.radius_m.si, point.rating_n.si) for point in context.job.crane)
    reach = [radius_m for radius_m, rating_n in chart if rating_n >= load_n]
    weakest_n = min(rating_n for _, rating_n in chart)
    judged = at_most(load_n, weakest_n if reach else max(rating_n for _, rating_n in chart))
    near_only = reach and judged.status == "exceeds"
    where = f"out to {context.length(max(reach))}" if reach else "at no radius of its chart"
    return Verdict(
        status="near limit" if near_only else judged.status,
        text=f"{lift.name}, the heaviest lift: {context.mass(lift.mass_kg)}, with dynamic factor"
        f" {factor.si:g} {context.load(load_n)}; the crane may lift it {where}.",
        dimension=Dimension.FORCE,
        value=load_n,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis=f"load chart of the crane; dynamic factor: {factor.origin}",
        action="" if judged.status == "ok" else "keep within that radius, or lift it in parts",
    )


CRANE_LIFT = Check(
    id="crane-lift",
    question="May the crane lift the heaviest part at every radius of its chart?",
    places=_places,
    judge=_judge,
)
