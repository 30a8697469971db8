"""Do the twin clamps hold the bypass of a top-hung string by their grip?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, at_most, plural, weight_n
from abreast.checks.loads import Hanging, hanging
from abreast.errors import MissingInputError
from abreast.model import TwinClamp
from abreast.units import Dimension

__all__ = ["CLAMP_GRIP"]


def _places(context: Context) -> Iterator[tuple[str, Hanging]]:
    if context.job.load_path == "top-hung":
        for state in hanging(context.job, context.assembly):
            yield state.name, state


def _tight(context: Context, landing: str) -> list[TwinClamp]:
    """The twin clamps up to the neck of a landing that grip both strings."""
    neck_m = next(s.neck_m for s in context.assembly.landings if s.id == landing)
    part = {clamp.id: clamp for clamp in context.job.clamps}
    below = [part[c.id] for c in context.assembly.clamps if c.height_m <= neck_m + 1e-6]
    for clamp in below:
        if clamp.grip == "not stated":
            raise MissingInputError(
                needs=f"grip of twin clamp {clamp.id}: what it does to the strings"
            )
    return [clamp for clamp in below if clamp.grip == "grips both"]


def _judge(context: Context, state: Hanging) -> Verdict:
    factor, use = context.job.rig.daf_derrick_ratio, context.job.rules.grip_use_ratio
    clamps = _tight(context, state.name)
    load_n = weight_n(state.bypass_side_kg) * factor.si
    grip_n = sum(clamp.grip_load_n.si for clamp in clamps)
    judged = at_most(load_n, use.si * grip_n)
    return Verdict(
        status=judged.status,
        text=f"Bypass {context.mass(state.bypass_side_kg)}, with dynamic factor {factor.si:g}"
        f" {context.load(load_n)}, on {plural(len(clamps), 'twin clamp')} that grip both strings:"
        f" {use.si:.0%} of {context.load(grip_n)} may be used.",
        dimension=Dimension.FORCE,
        value=load_n,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis=f"share of the grip: {use.origin}",
        action="" if judged.status == "ok" else "tighten more clamps before the bypass is let go",
        assumptions=("all bolts of these clamps at their torque", "every clamp carries its share"),
    )


CLAMP_GRIP = Check(
    id="clamp-grip",
    question="Do the tightened twin clamps hold the bypass?",
    places=_places,
    judge=_judge,
)
