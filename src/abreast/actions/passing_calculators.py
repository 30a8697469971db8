"""Calculators on strings in a curved hole: one or two beams on their contacts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Literal

from pydantic import Field

from abreast.actions.beam_inputs import BeamInputs
from abreast.actions.beam_laid import laid
from abreast.actions.calculator import Calculator, Outputs
from abreast.mechanics.beam_case import LEADER, Rested
from abreast.mechanics.beam_read import at_node, link_push, moves_m, push_of, reaction, steepest_rad
from abreast.mechanics.twin_beam import BeamString, TwinBeam
from abreast.mechanics.twin_beam_solve import FOUND

__all__ = ["CALCULATORS"]

_SAME_M = 1e-6
# What is smaller than this share of the largest of its sort is rounding.
_NOTHING = 1e-7
# The curvature of a beam at this slope is u'' within 1.5 %.
_STEEP_RAD = 0.1


Which = Literal["first", "second"]
_WHICH: tuple[Which, Which] = ("first", "second")


class PushOutputs(Outputs):
    """One place that touches: a part the wall, or string string."""

    id: str = Field(description="the part; of two strings both")
    string: Which = Field(description="string that is pushed")
    at_m: float = Field(description="its depth [m]")
    force_n: float = Field(description="size of the push [N]")
    x_n: float = Field(description="push on the string, to +x [N]")
    y_n: float = Field(description="push on the string, to +y [N]")


class HoldOutputs(Outputs):
    """What a held point or a link puts on a string."""

    id: str = Field(description="the link; empty for a held point")
    string: Which = Field(description="string it acts on")
    at_m: float = Field(description="its depth [m]")
    x_n: float = Field(description="force on the string, to +x [N]")
    y_n: float = Field(description="force on the string, to +y [N]")
    moment_x_nm: float = Field(description="moment on it that turns its lower end to +x [N m]")
    moment_y_nm: float = Field(description="moment on it that turns its lower end to +y [N m]")


class PlaceOutputs(Outputs):
    """Shape and moment at an end, a part, a link, a held point or a depth asked for."""

    id: str = Field(description="parts and links there; empty: an end or a depth asked for")
    string: Which = Field(description="its string")
    at_m: float = Field(description="its depth [m]")
    x_m: float = Field(description="how far the string moves from where it is drawn, to +x [m]")
    y_m: float = Field(description="the same to +y [m]")
    slope_x_rad: float = Field(description="its slope to the axis of the hole, to +x [rad]")
    slope_y_rad: float = Field(description="the same to +y [rad]")
    moment_x_nm: float = Field(description="EI times curvature, to +x, just below [N m]")
    moment_y_nm: float = Field(description="the same to +y [N m]")
    moment_nm: float = Field(description="its size [N m]")


class SegmentOutputs(Outputs):
    """The worst of one segment."""

    id: str = Field(description="its name")
    string: Which = Field(description="its string")
    moment_nm: float = Field(description="greatest bending moment [N m]")
    at_m: float = Field(description="depth at which it is [m]")
    stress_pa: float | None = Field(None, description="that over its section modulus [Pa]")
    tension_n: float = Field(description="effective tension at its middle [N]")


class BeamOutputs(Outputs):
    """How it lies."""

    state: str = Field(
        description="ok; leans: unstable even with its clamps closed, held by the wall, the worse"
        " of its shapes before and after a kick; does not fit: no room, or a push above 200 kN at"
        " one place; buckled: unstable, and no shape was found that the wall holds; not found"
    )
    where: str | None = Field(None, description="of one that does not fit: the part too deep")
    touching: tuple[PushOutputs, ...] | None = Field(None, description="what touches")
    held: tuple[HoldOutputs, ...] | None = Field(None, description="reactions of held points")
    links: tuple[HoldOutputs, ...] | None = Field(
        None, description="what each link puts on the second string"
    )
    places: tuple[PlaceOutputs, ...] | None = Field(None, description="shape and moments")
    segments: tuple[SegmentOutputs, ...] | None = Field(None, description="worst of each segment")
    moment_nm: float | None = Field(None, description="greatest bending moment of all [N m]")
    side_n: float | None = Field(None, description="sum of the sizes of all pushes of walls [N]")
    union_n: float | None = Field(
        None, description="of a locked union: pull of the bypass by bending and misfit [N]"
    )
    top_n: float | None = Field(None, description="with stations: pull at the very top [N]")
    drag_n: float | None = Field(None, description="with friction: drag, up positive [N]")
    remarks: tuple[str, ...] = Field((), description="where the model is at its end")


def _beam(given: BeamInputs) -> BeamOutputs:
    case = laid(given)
    cut, shapes = case.mesh, case.shapes
    if case.state not in FOUND:
        fits = case.state != "does not fit"
        where = None if fits else cut.contacts[int(shapes.deepest[0])].name
        return BeamOutputs(state=case.state, where=where)
    segments = tuple(_segments(case))
    read = _Read(case)
    tops_m = [_top_m(one) for one in cut.twin.strings]
    held = [one for one in cut.twin.held if one.at_m >= tops_m[one.string]]
    return BeamOutputs(
        state=case.state,
        touching=tuple(read.touching()),
        held=tuple(
            read.hold("", one.string, one.at_m, reaction(case, one.string, cut.node_at(one.at_m)))
            for one in held
        ),
        links=tuple(
            read.hold(one.name, 1, one.at_m, link_push(case, cut.node_at(one.at_m)))
            for one in cut.twin.links
        ),
        places=tuple(read.places()),
        segments=segments,
        moment_nm=max(one.moment_nm for one in segments),
        side_n=float(shapes.force_n[0, : cut.walls].sum()),
        union_n=float(shapes.lock_n[0]) if given.union == "locked" else None,
        top_n=case.top_n if given.stations else None,
        drag_n=case.drag_n if given.friction_ratio is not None else None,
        remarks=_remarks(case),
    )


def _remarks(case: Rested) -> tuple[str, ...]:
    slope = steepest_rad(case)
    if slope <= _STEEP_RAD:
        return ()
    return (f"a slope of {slope:.2f} rad: the model is for small ones, below {_STEEP_RAD:g}",)


def _top_m(string: BeamString) -> float:
    return next(one.top_m for one in string.segments if one.kind != LEADER)


class _Read:
    """Reads pushes, reactions and shape of a case, rounding of nothing told as 0."""

    def __init__(self, case: Rested) -> None:
        import numpy as np

        self.case = case
        ends = np.abs(case.shapes.ends[0])
        self.force_n = float(max(ends[:, :, 0::2].max(), case.shapes.force_n.max(initial=0.0)))
        self.moment_nm = float(ends[:, :, 1::2].max())
        self.move_m, self.slope_rad = moves_m(case), steepest_rad(case)

    def touching(self) -> Iterator[PushOutputs]:
        """Parts on the wall, and strings on one another."""
        for number, one in enumerate(self.case.mesh.contacts):
            force_n = float(self.case.shapes.force_n[0, number])
            if force_n <= _NOTHING * self.force_n or one.what == "clamp":
                continue
            x_n, y_n = _told(push_of(self.case, number), self.force_n)
            string = one.string if one.what == "casing" else 0
            at_m = float(self.case.mesh.node_m[one.node])
            yield PushOutputs(
                id=one.name, string=_WHICH[string], at_m=at_m, force_n=force_n, x_n=x_n, y_n=y_n
            )

    def hold(self, name: str, string: int, at_m: float, found: tuple[Any, Any]) -> HoldOutputs:
        """What a held point or a link puts on a string."""
        x_n, y_n = _told(found[0], self.force_n)
        moment_x, moment_y = _told(found[1], self.moment_nm)
        return HoldOutputs(
            id=name,
            string=_WHICH[string],
            at_m=at_m,
            x_n=x_n,
            y_n=y_n,
            moment_x_nm=moment_x,
            moment_y_nm=moment_y,
        )

    def places(self) -> Iterator[PlaceOutputs]:
        """Shape and moment at every place that was named or asked for."""
        cut = self.case.mesh
        named = sorted({cut.node_at(at_m) for at_m in cut.twin.ends_m()})
        for number, string in enumerate(cut.twin.strings):
            for node in named:
                at_m = float(cut.node_m[node])
                if (number, node) in cut.slot and at_m >= _top_m(string):
                    yield self._place(number, node, at_m)

    def _place(self, number: int, node: int, at_m: float) -> PlaceOutputs:
        cut, found = self.case.mesh, at_node(self.case, number, node)
        x_m, y_m = _told(found.moved_m, self.move_m)
        slope_x, slope_y = _told(found.slope_rad, self.slope_rad)
        moment_x, moment_y = _told(found.moment_nm, self.moment_nm)
        return PlaceOutputs(
            id=", ".join(_names(cut.twin, number, at_m)),
            string=_WHICH[number],
            at_m=at_m,
            x_m=x_m,
            y_m=y_m,
            slope_x_rad=slope_x,
            slope_y_rad=slope_y,
            moment_x_nm=moment_x,
            moment_y_nm=moment_y,
            moment_nm=math.hypot(moment_x, moment_y),
        )


def _names(twin: TwinBeam, number: int, at_m: float) -> list[str]:
    """What has an end at a depth of a string, each name once."""
    ends = [(one.name, one.at_m, one.bottom_m) for one in twin.strings[number].discs]
    ends += [(one.name, one.at_m, one.at_m) for one in twin.links]
    here = (name for name, *at in ends if name and any(abs(end - at_m) < _SAME_M for end in at))
    return list(dict.fromkeys(here))


def _told(pair: Any, largest: float) -> tuple[float, float]:
    x, y = (0.0 if abs(part) <= _NOTHING * largest else float(part) for part in pair)
    return x, y


def _segments(case: Rested) -> Iterator[SegmentOutputs]:
    import numpy as np

    cut = case.mesh
    most = case.shapes.moment_nm[0]
    for number, string in enumerate(cut.twin.strings):
        for one in string.segments:
            if one.kind == LEADER:
                continue
            within = (cut.middle_m > one.top_m) & (cut.middle_m < one.bottom_m)
            mine = np.nonzero((cut.string == number) & within)[0]
            element, end = np.unravel_index(np.argmax(most[mine]), (len(mine), 2))
            worst = int(mine[element])
            moment_nm = float(most[worst, end])
            modulus = one.modulus_m3
            yield SegmentOutputs(
                id=one.name,
                string=_WHICH[number],
                moment_nm=moment_nm,
                at_m=float(cut.node_m[cut.upper[worst] + end]),
                stress_pa=None if modulus is None else moment_nm / modulus,
                tension_n=float(np.mean(case.tension_n[mine])),
            )


CALCULATORS = (
    Calculator(
        name="contact-beam",
        summary="one or two strings in a curved hole: where they touch, how hard, how they bend",
        formula="least of bending energy, tension, load and lock; no part beyond the wall",
        source="beam theory with one-sided walls; held to closed forms, docs/theory/passing.md",
        inputs=BeamInputs,
        outputs=BeamOutputs,
        function=_beam,
        example={
            "bore_m": 0.2204974,
            "dogleg_rad_m": 0.00458087,
            "strings": [
                {
                    "id": "motor",
                    "segments": [{"length_m": 6.096, "ei_nm2": 2582790.0}],
                    "parts": [
                        {"id": "top", "at_m": 0.0, "diameter_m": 0.20955},
                        {"id": "middle", "at_m": 3.048, "diameter_m": 0.20955},
                        {"id": "bottom", "at_m": 6.096, "diameter_m": 0.20955},
                    ],
                }
            ],
        },
    ),
)
