"""A plug in the bypass: the force on it, and what comes before it is pulled."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.mechanics.tool_passage import plug_force
from abreast.model import Job

__all__ = ["PlugForce", "equalise_words", "plug_forces"]

_STEP_PA = {"oilfield": 100 * 6894.757293168361, "SI": 1e6}
"""Pressure difference for which a plug's force is stated: 100 psi, 10 bar."""


@dataclass(frozen=True, slots=True)
class PlugForce:
    """Force of a pressure difference on a plug in a nipple.

    Parameters
    ----------
    place : str
        The nipple.
    why : str
        What the difference is.
    seal_m : float
        Diameter of the seal: the bore of the nipple [m].
    difference_pa, force_n : float
        Pressure difference and its force on the plug [Pa, N].
    """

    place: str
    why: str
    seal_m: float
    difference_pa: float
    force_n: float


def plug_forces(job: Job) -> tuple[PlugForce, ...]:
    """For the stated difference in each nipple; in that of the Y-tool also with the pump on."""
    step_pa, rise_pa = _STEP_PA[job.units], job.fluids.pump_pressure_pa.known
    asked = [("plug nipple", job.ytool.nipple_bore_m, "stated difference", step_pa)]
    if rise_pa is not None:
        why = "pump running: its pressure rise, from above"
        asked.append(("plug nipple", job.ytool.nipple_bore_m, why, rise_pa))
    for one in job.tail:
        if one.kind == "nipple":
            asked.append((one.id, one.bore_m, "stated difference", step_pa))
    return tuple(
        PlugForce(place, why, bore.si, difference_pa, plug_force(difference_pa, bore.si))
        for place, bore, why, difference_pa in asked
        if bore.is_given and bore.si > 0
    )


def equalise_words() -> tuple[str, ...]:
    """What must be done before a plug is pulled, for a page; the maker's manual rules."""
    return (
        "Stop the pump and equalise across the plug before it is latched: an unequalised plug"
        " throws the tools up the hole.",
        "How to equalise, and which difference may be left, says the manual of the plug's maker;"
        " it rules over this sheet.",
        "With the plug out, do not start the pump: it would only pump round through the bypass.",
    )
