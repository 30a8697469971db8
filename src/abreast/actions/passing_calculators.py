"""Calculators on strings in a curved hole: one beam on its contacts."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from abreast.actions.calculator import Calculator, Inputs, Name, Number, Outputs, Positive
from abreast.errors import InputError
from abreast.formulas.guard import require
from abreast.mechanics.twin_beam import BeamSegment, BeamString, Disc, Held, TwinBeam

__all__ = ["CALCULATORS"]

# A limp length above lets the beam float between its contacts.
_LEADER_M, _LIMP = 5.0, 1e-6
_MOST_NODES = 2000


class ContactInput(Inputs):
    """A round part of the beam that may touch the wall."""

    id: Name = Field("", description="its name")
    at_m: Number = Field(description="its place along the beam, from the top [m]")
    diameter_m: Positive = Field(description="its diameter [m]")


class BeamInputs(Inputs):
    """One string in a round hole of constant curvature."""

    length_m: Positive = Field(description="length of the string [m]")
    ei_nm2: Positive = Field(description="its bending stiffness EI [N m2]")
    bore_m: Positive = Field(description="inner diameter of the hole [m]")
    dogleg_rad_m: Number = Field(0.0, description="dogleg severity, 3 deg/30 m: 0.001745 [rad/m]")
    side_load_n_m: Number = Field(
        0.0, description="weight across the hole per length, to the inside of the bend [N/m]"
    )
    tension_n: Number = Field(0.0, description="effective tension, push negative [N]")
    contacts: Annotated[tuple[ContactInput, ...], Field(min_length=2, max_length=400)] = Field(
        description="parts that may touch; between them the string is free"
    )
    longest_m: Positive = Field(1.0, description="longest element [m]")


class PushOutputs(Outputs):
    """One contact that touches."""

    id: str = Field(description="its name, else its place in the list")
    at_m: float = Field(description="its place [m]")
    force_n: float = Field(description="push of the wall, positive to the inside of the bend [N]")


class BeamOutputs(Outputs):
    """How it lies."""

    state: str = Field(
        description="ok; does not fit; buckled: unstable before any wall helps; not found"
    )
    where: str | None = Field(None, description="of one that does not fit: the part too deep")
    touching: tuple[PushOutputs, ...] | None = Field(None, description="contacts that touch")
    moment_nm: float | None = Field(None, description="greatest bending moment [N m]")
    side_n: float | None = Field(None, description="sum of all pushes [N]")


def _beam(given: BeamInputs) -> BeamOutputs:
    import numpy as np

    from abreast.mechanics.twin_beam_mesh import mesh
    from abreast.mechanics.twin_beam_solve import Fields, solve

    fits = given.length_m / given.longest_m <= _MOST_NODES
    require(
        fits, "longest_m", f"cuts the string in more than {_MOST_NODES} elements; make it longer"
    )
    discs = []
    for number, one in enumerate(given.contacts, 1):
        inside = 0 <= one.at_m <= given.length_m
        require(inside, f"contacts.{number}.at_m", f"{one.at_m:g} is not on the string")
        name = one.id or str(number)
        discs.append(Disc(one.at_m, 0.0, 0.0, one.diameter_m / 2, name))
    apart = max(one.at_m for one in given.contacts) - min(one.at_m for one in given.contacts)
    require(apart > 0, "contacts", "two contacts at least must be at different places")
    limp = BeamSegment("leader", -_LEADER_M, 0.0, given.ei_nm2 * _LIMP)
    whole = BeamSegment("string", 0.0, given.length_m, given.ei_nm2)
    string = BeamString("string", (limp, whole), tuple(discs))
    cut = mesh(TwinBeam((string,), held=(Held(0, -_LEADER_M),)), given.longest_m)
    count = len(cut.segments)
    own = np.array([one.name == "string" for one in cut.segments])
    along = np.array([1.0, 0.0])
    fields = Fields(
        np.broadcast_to(given.dogleg_rad_m * along, (1, count, 2)),
        (given.side_load_n_m * own)[None, :, None] * along,
        np.where(own, given.tension_n, 0.0)[None, :],
        np.full((1, cut.walls), given.bore_m / 2),
        np.zeros((1, 0)),
        np.zeros(1),
    )
    found = solve(cut, fields)
    state = str(found.state[0])
    if state == "not found":
        message = "no shape was found for these figures; check their units"
        raise InputError(message, code="not-found")
    if state != "ok":
        where = cut.contacts[int(found.deepest[0])].name if state == "does not fit" else None
        return BeamOutputs(state=state, where=where)
    u = np.append(found.u[0], 0.0)
    touching = tuple(
        PushOutputs(
            id=one.name,
            at_m=float(cut.node_m[one.node]),
            force_n=float(-np.sign(u[cut.near[k, 0]]) * found.force_n[0, k]),
        )
        for k, one in enumerate(cut.contacts)
        if found.force_n[0, k] > 0
    )
    moment = float(found.moment_nm[0, own].max())
    return BeamOutputs(
        state=state,
        touching=touching,
        moment_nm=moment,
        side_n=float(found.force_n[0].sum()),
    )


CALCULATORS = (
    Calculator(
        name="contact-beam",
        summary="one string in a curved round hole: where it touches, how hard, how it bends",
        formula="least of bending energy, tension and weight; no part beyond the wall",
        source="beam theory with one-sided walls; held to closed forms, docs/theory/passing.md",
        inputs=BeamInputs,
        outputs=BeamOutputs,
        function=_beam,
        example={
            "length_m": 6.096,
            "ei_nm2": 2582790.0,
            "bore_m": 0.2204974,
            "dogleg_rad_m": 0.004580,
            "contacts": [
                {"id": "top", "at_m": 0.0, "diameter_m": 0.20955},
                {"id": "middle", "at_m": 3.048, "diameter_m": 0.20955},
                {"id": "bottom", "at_m": 6.096, "diameter_m": 0.20955},
            ],
        },
    ),
)
