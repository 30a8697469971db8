"""Which link of the load path is the weakest, and which has no rating?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked, weight_n
from abreast.checks.links import Link, links
from abreast.units import Dimension

__all__ = ["WEAKEST_LINK"]

Part = tuple[Literal["rated", "unrated"], tuple[Link, ...]]


def _places(context: Context) -> Iterator[tuple[str, Part]]:
    every = [one for one in links(context.job, context.assembly) if one.mass_kg > 0]
    rated = tuple(one for one in every if one.rating_n.is_given)
    unrated = tuple(one for one in every if not one.rating_n.is_given)
    if rated:
        yield "rated links", ("rated", rated)
    if unrated:
        yield "links without rating", ("unrated", unrated)


def _judge(context: Context, part: Part) -> Verdict:
    kind, row = part
    if kind == "unrated":
        return _unrated(row)
    factor = context.job.rig.daf_derrick_ratio
    ranked = sorted(row, key=lambda one: one.mass_kg / max(one.rating_n.si, 1e-9), reverse=True)
    link = ranked[0]
    load_n = weight_n(link.mass_kg) * factor.si
    judged = at_most(load_n, link.rating_n.si)
    others = ", ".join(one.name for one in ranked[1:3])
    return Verdict(
        status=judged.status,
        text=f"Weakest of {len(row)} rated links: {link.name}, {context.mass(link.mass_kg)} or"
        f" {context.load(load_n)} with dynamic factor {factor.si:g}, rated"
        f" {context.load(judged.limit)}. Next: {others}."
        if others
        else f"The only rated link: {link.name}, {context.load(load_n)} with dynamic factor"
        f" {factor.si:g}, rated {context.load(judged.limit)}.",
        dimension=Dimension.FORCE,
        value=load_n,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis=f"rating: {link.rating_n.origin}; dynamic factor: {factor.origin}",
        action="" if judged.status == "ok" else "strengthen this link before anything else",
        assumptions=(
            f"load path {context.job.load_path}",
            "where two links share a load in an unknown way, each has the whole",
        ),
    )


def _unrated(row: tuple[Link, ...]) -> Verdict:
    absent = [one for one in row if one.rating_n.state == "not applicable"]
    retainer = next((one for one in absent if one.name == "guide retainer"), None)
    if retainer is not None:
        return Verdict(
            status="exceeds",
            text="The load path is declared ESP-held, but the base support has no guide retainer"
            f" ({retainer.rating_n.reason}): the ESP can't lift the bypass by it.",
            action="declare another load path, or use a base with a retained guide",
        )
    return not_checked(*(f"rating of {one.name}" for one in row))


WEAKEST_LINK = Check(
    id="weakest-link",
    question="Which link of the load path is the weakest?",
    places=_places,
    judge=_judge,
    needs="landings that the bypass reaches",
)
