"""What a rigid gauge would need in the bends of the way down, and what it has there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from abreast.errors import MissingInputError
from abreast.formulas.rigid_tool import BentRod, bent_rod, longest_rigid_tool, sagitta
from abreast.mechanics.fit import Fit, FitSection, fit
from abreast.mechanics.hole_arcs import hole_arcs
from abreast.mechanics.needs import needs_of
from abreast.mechanics.run_string import survey_positions
from abreast.mechanics.twin_beam_casing import read_hole
from abreast.model import Assembly, Job, Quantity, esp_string
from abreast.units import Dimension, show

__all__ = ["Bend", "RigidBody", "RigidPassage", "rigid_passage"]

_SAME_M = 1e-6
_STEP_M = 1.0
"""Places of a body are looked at so far apart [m]."""


@dataclass(frozen=True, slots=True)
class Bend:
    """Where a body stands on the way down.

    Parameters
    ----------
    top_md_m, bottom_md_m : float
        Ends of the body there, from the datum of the job [m].
    rad_m, allowance_rad_m : float
        Sharpest dogleg of the survey beside it, and what the survey may hide [rad/m].
    at_md_m : tuple of float
        The interval of that dogleg [m].
    arc_m : float
        Height of the surveyed arcs over the body's chord [m].
    bore_m, drift_m : float
        Least inner diameter of what is in place beside it, and least drift [m].
    """

    top_md_m: float
    bottom_md_m: float
    rad_m: float
    allowance_rad_m: float
    at_md_m: tuple[float, float]
    arc_m: float
    bore_m: float
    drift_m: float

    @property
    def curvature_rad_m(self) -> float:
        """Dogleg with the allowance [rad/m]."""
        return self.rad_m + self.allowance_rad_m


@dataclass(frozen=True, slots=True)
class RigidBody:
    """A part of the string taken as one rigid body, at the place where it lacks most room.

    Parameters
    ----------
    name : str
        Which part.
    length_m, width_m : float
        Its length, and the largest circle round it with all abreast of it [m].
    widest : tuple of str
        What decides that circle.
    bend : Bend
        Where it lacks most room, or has least to spare.
    longest_m, longest_surveyed_m : float
        Longest rigid rod of its width that passes every bend of the way at the
        nominal bore, with and without the allowance [m]; 0: it does not fit.
    od_m, youngs_pa, ei_nm2 : float or None
        Of its widest ESP body, of steel, of its stiffest ESP piece; None: not
        given, or several bodies joined by necks [m, Pa, N m2].
    needs : tuple of str
        What is missing of these.
    """

    name: str
    length_m: float
    width_m: float
    widest: tuple[str, ...]
    bend: Bend
    longest_m: float
    longest_surveyed_m: float
    od_m: float | None = None
    youngs_pa: float | None = None
    ei_nm2: float | None = None
    needs: tuple[str, ...] = ()

    @property
    def sagitta_m(self) -> float:
        """Height of a bend of the surveyed dogleg as long as the body, kappa L^2 / 8 [m].

        More than the surveyed arcs need where that dogleg is shorter than the body.
        """
        return sagitta(self.length_m, self.bend.rad_m)

    @property
    def needed_m(self) -> float:
        """What it needs: the surveyed arcs, and the allowance all along [m]."""
        return self.bend.arc_m + sagitta(self.length_m, self.bend.allowance_rad_m)

    @property
    def room_m(self) -> float:
        """Nominal bore less its width; not above 0: it does not fit at all [m]."""
        return self.bend.bore_m - self.width_m

    @property
    def room_at_drift_m(self) -> float:
        """Drift less its width [m]."""
        return self.bend.drift_m - self.width_m

    @property
    def must_bend(self) -> bool:
        """Whether it needs more than it has at the nominal bore."""
        return self.needed_m > self.room_m

    @property
    def stress_pa(self) -> float | None:
        """Bending stress E OD kappa / 2 if it follows the bend with its allowance [Pa]."""
        return self._stress_pa(self.bend.curvature_rad_m)

    @property
    def stress_surveyed_pa(self) -> float | None:
        """The same without the allowance [Pa]."""
        return self._stress_pa(self.bend.rad_m)

    def _stress_pa(self, curvature_rad_m: float) -> float | None:
        if self.od_m is None or self.youngs_pa is None:
            return None
        return self.youngs_pa * self.od_m * curvature_rad_m / 2

    @property
    def side_force_n(self) -> float | None:
        """Push on its middle in an even bend as high as its need [N]; None: no EI, or no room."""
        bent = self._bent(self.needed_m)
        return None if bent is None else bent.force_n

    @property
    def side_force_surveyed_n(self) -> float | None:
        """The same without the allowance [N]."""
        bent = self._bent(self.bend.arc_m)
        return None if bent is None else bent.force_n

    @property
    def lies_m(self) -> float | None:
        """Length of its middle that lies on that bend; 0: three contacts [m]; None: as before."""
        bent = self._bent(self.needed_m)
        return None if bent is None else bent.lies_m

    def _bent(self, needed_m: float) -> BentRod | None:
        if self.ei_nm2 is None or self.room_m <= 0:
            return None
        even_rad_m = 8 * needed_m / self.length_m**2
        return bent_rod(self.ei_nm2, self.length_m, self.room_m, even_rad_m)


@dataclass(frozen=True, slots=True)
class RigidPassage:
    """The rigid bodies of a string.

    Parameters
    ----------
    bodies : tuple of RigidBody
        The longest ESP piece abreast of the bypass, the motor with what hangs
        below it, the whole twin.
    needs : tuple of str
        What the bends do not hold yet.
    assumptions : tuple of str
        What was taken for granted.
    """

    bodies: tuple[RigidBody, ...]
    needs: tuple[str, ...]
    assumptions: tuple[str, ...]


def rigid_passage(job: Job, assembly: Assembly) -> RigidPassage:
    r"""What parts of a twin string would need in the bends of their way if they were rigid.

    Parameters
    ----------
    job : Job
        Survey with its allowance for tortuosity, casing, openings, sizes, stiffness.
    assembly : Assembly
        The twin string, its depth given.

    Raises
    ------
    MissingInputError
        For a size, a bore, a drift, a depth or a survey that is missing. Without
        an allowance, EI or E what rests on it is in the needs.

    Notes
    -----
    A straight rod of length L lies in a bend if the height of the arc over its
    chord, nearly :math:`s = \kappa L^2/8` for one curvature, is not more than bore
    less width. The height is taken on the arcs of the survey, at places 1 m apart and
    in the middle of every interval; the allowance adds its own sagitta. A body
    that must bend is no fault: the real one does, and the contact model says how.
    """
    return _Reader(job, assembly).read()


@dataclass(frozen=True, slots=True)
class _Span:
    name: str
    bottom_m: float
    top_m: float
    pieces: tuple[str, ...]


class _Reader:
    def __init__(self, job: Job, assembly: Assembly) -> None:
        self.job, self.assembly = job, assembly
        self.fit: Fit = fit(job, assembly)
        if self.fit.uncovered_m:
            raise MissingInputError(needs="the bore of the hole where there is no casing")
        self.way = hole_arcs(survey_positions(job))
        self.bore, self.drift = read_hole(job), read_hole(job, wall="drift")
        head = job.survey_head
        allowance = head.tortuosity_rad_m if head else Quantity.not_measured()
        self.allowance_rad_m = allowance.or_else(0.0)
        self.needs = () if allowance.state == "not applicable" else needs_of(allowance)
        self.spec = {piece.id: piece for piece in esp_string(job)}

    def read(self) -> RigidPassage:
        return RigidPassage(
            tuple(self._body(span) for span in self._spans()),
            self.needs,
            (
                "each part one straight rod, as wide all along as the largest circle round it"
                " and what lies abreast; casing at its nominal inner diameter",
                "no allowance for what the survey does not see"
                if self.needs
                else "the survey's allowance for tortuosity all along the rod",
                "stress with Young's modulus of the pipe; side force of the ESP piece without"
                " the bypass, its ends free, in an even bend as high as the arcs it stands in",
            ),
        )

    def _spans(self) -> Iterator[_Span]:
        esp = self.assembly.side("esp")
        abreast = [one for one in esp if any(cut.cut.side("bypass") for cut in self.fit.of(one.id))]
        if abreast:
            one = max(abreast, key=lambda piece: piece.effective_m)
            yield _Span(f"longest ESP piece, {one.id}", one.bottom_m, one.top_m, (one.id,))
        motors = [one for one in esp if one.kind == "motor"]
        if motors:
            top_m = max(one.top_m for one in motors)
            below = [one for one in esp if one.top_m <= top_m + _SAME_M]
            names = tuple(one.id for one in below)
            yield _Span("motor set", min(one.bottom_m for one in below), top_m, names)
        if esp:
            bottom_m = min(one.bottom_m for one in (*esp, *self.assembly.side("both")))
            yield _Span("whole twin", bottom_m, self.assembly.top_m, ())

    def _body(self, span: _Span) -> RigidBody:
        inside = [
            one
            for one in self.fit.sections
            if one.bottom_m < span.top_m - _SAME_M and one.top_m > span.bottom_m + _SAME_M
        ]
        missing = [need for one in inside for need in one.cut.needs]
        if missing:
            raise MissingInputError(needs="; ".join(dict.fromkeys(missing)))
        widest = max(inside, key=lambda one: one.diameter_m)
        length_m, foot_md_m = span.top_m - span.bottom_m, self._foot_md_m(inside)
        specs = [self.spec[name] for name in span.pieces]
        od_m, ei_nm2 = None, None
        needs = needs_of(*(size for one in specs for size in (one.body_od_m, one.ei_nm2)))
        if specs and not needs:
            od_m = max(one.body_od_m.si for one in specs)
            ei_nm2 = max(one.ei_nm2.si for one in specs)
        youngs = self.job.pipe.youngs_pa
        return RigidBody(
            span.name,
            length_m,
            widest.diameter_m,
            widest.deciding,
            self._bend(length_m, foot_md_m),
            self._longest_m(widest.diameter_m, foot_md_m, self.allowance_rad_m),
            self._longest_m(widest.diameter_m, foot_md_m, 0.0),
            od_m,
            youngs.known,
            ei_nm2,
            (*needs, *(needs_of(youngs) if specs else ())),
        )

    def _foot_md_m(self, inside: list[FitSection]) -> float:
        """Depth of a body's foot where the string hangs, the tolerance of the depth in it [m]."""
        depths = [one.deepest_md_m for one in inside if one.deepest_md_m is not None]
        if not depths:
            raise MissingInputError(needs="; ".join(self.fit.depth_needs) or "a planned depth")
        last_m = float(self.way.path.md_m[-1])
        if last_m < max(depths) - 1e-4:
            foot, last = (
                show(md, Dimension.LENGTH, self.job.units, digits=1) for md in (max(depths), last_m)
            )
            raise MissingInputError(needs=f"a survey down to {foot}; it ends at {last}")
        return min(max(depths), last_m)

    def _bend(self, length_m: float, foot_md_m: float) -> Bend:
        """Where a rod lacks most room between the first station and where it hangs."""
        import numpy as np

        path = self.way.path
        first_m = float(path.md_m[0])
        if foot_md_m - first_m < length_m:
            raise MissingInputError(needs="a survey longer than the string")
        top_m, last_m = first_m, foot_md_m - length_m
        tops = np.concatenate(
            (
                np.linspace(top_m, last_m, max(2, math.ceil((last_m - top_m) / _STEP_M) + 1)),
                np.clip((path.md_m[1:] + path.md_m[:-1] - length_m) / 2, top_m, last_m),
            )
        )
        height = self.way.heights_m(tops, length_m)
        bore = 2 * self.bore.radius_m(tops, tops + length_m)
        cased = np.isfinite(bore)
        if not np.any(cased):
            raise MissingInputError(needs="the bore of the hole")
        lack = np.where(cased, height - np.where(cased, bore, 0.0), -np.inf)
        at = int(np.argmax(lack))
        top_md_m = float(tops[at])
        ends = top_md_m + _SAME_M, top_md_m + length_m - _SAME_M
        beside = np.flatnonzero((path.md_m[1:] > ends[0]) & (path.md_m[:-1] < ends[1]))
        one = int(beside[np.argmax(path.severity_rad_m[beside])])
        return Bend(
            top_md_m,
            top_md_m + length_m,
            float(path.severity_rad_m[one]),
            self.allowance_rad_m,
            (float(path.md_m[one]), float(path.md_m[one + 1])),
            float(height[at]),
            float(bore[at]),
            2 * float(self.drift.radius_m(tops[at], tops[at] + length_m)),
        )

    def _longest_m(self, width_m: float, foot_md_m: float, allowance_rad_m: float) -> float:
        """Longest rod that lies in every interval of the way, each as long as the rod [m]."""
        import numpy as np

        path = self.way.path
        passed = path.md_m[:-1] < foot_md_m - _SAME_M
        tops, feet = path.md_m[:-1][passed], np.minimum(path.md_m[1:][passed], foot_md_m)
        bores = 2 * self.bore.radius_m(tops, feet)
        longest = math.inf
        for bore_m, bend in zip(bores.tolist(), path.severity_rad_m[passed].tolist(), strict=True):
            if bore_m <= width_m:
                return 0.0
            curvature = bend + allowance_rad_m
            if math.isfinite(bore_m) and curvature > 0:
                longest = min(longest, longest_rigid_tool(bore_m, width_m, 1 / curvature))
        return longest
