"""Where the assembly may hang: every survey interval along it, ranked, with reasons."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from abreast.formulas.guard import finite, not_negative, positive, require, within
from abreast.formulas.rigid_tool import sagitta
from abreast.formulas.survey import Station
from abreast.mechanics.hole_ranges import HoleRanges, hole_ranges
from abreast.units import Dimension, System, show

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = [
    "YOUNG_PA",
    "Assembly",
    "Body",
    "BodyState",
    "Broken",
    "Candidate",
    "Limit",
    "Limits",
    "candidates",
    "scan",
    "stress_text",
]

YOUNG_PA = 2.07e11
"""30 million psi, the steel of the handbooks."""
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit of the user and where it comes from."""

    value: float
    origin: str

    def __post_init__(self) -> None:
        not_negative("value", self.value)
        require(bool(self.origin.strip()), "origin", "say where the limit comes from")

    def broken_by(self, value: float) -> bool:
        """Above the limit by more than rounding, 1e-9 of it."""
        return value > self.value * (1 + _ROUNDING)


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits; None: nobody gave one, and nothing is judged against it.

    Parameters
    ----------
    running_rad_m : Limit or None
        Dogleg severity on the way down [rad/m].
    setting_rad_m : Limit or None
        Dogleg severity along the assembly where it hangs [rad/m].
    inclination_rad : Limit or None
        Inclination that motor and protector are rated for [rad].
    stress_pa : Limit or None
        Bending stress [Pa].
    """

    running_rad_m: Limit | None = None
    setting_rad_m: Limit | None = None
    inclination_rad: Limit | None = None
    stress_pa: Limit | None = None

    @property
    def not_checked(self) -> tuple[str, ...]:
        """What is not judged, in words."""
        names = {
            "dogleg while running": self.running_rad_m,
            "dogleg at setting depth": self.setting_rad_m,
            "inclination": self.inclination_rad,
            "bending stress": self.stress_pa,
        }
        return tuple(
            f"{name}: not checked: needs a limit" for name, limit in names.items() if limit is None
        )


@dataclass(frozen=True, slots=True)
class Body:
    """A body of the assembly that has limits of its own, judged over its own length.

    Parameters
    ----------
    name : str
        What it is called.
    from_top_m : float
        From the top of the assembly to its upper end [m].
    length_m : float
        Its length [m].
    od_m : float or None
        Its diameter, for the bending stress; None: not known [m].
    inclination_rad, stress_pa : Limit or None
        What it is rated for [rad], [Pa].
    """

    name: str
    from_top_m: float
    length_m: float
    od_m: float | None = None
    inclination_rad: Limit | None = None
    stress_pa: Limit | None = None


@dataclass(frozen=True, slots=True)
class Assembly:
    """What hangs there.

    Parameters
    ----------
    length_m : float
        From its top (Y-tool) to its lowest part that must lie straight [m].
    od_m : float
        Largest diameter of a body that is bent [m].
    stiff_length_m : float or None
        Length of its longest stiff body, for the sagitta [m].
    young_pa : float
        Young's modulus [Pa].
    bodies : tuple of Body
        Bodies with limits of their own.
    """

    length_m: float
    od_m: float
    stiff_length_m: float | None = None
    young_pa: float = YOUNG_PA
    bodies: tuple[Body, ...] = ()

    def __post_init__(self) -> None:
        positive("length_m", self.length_m)
        positive("od_m", self.od_m)
        positive("young_pa", self.young_pa)
        if self.stiff_length_m is not None:
            within(
                "stiff_length_m",
                positive("stiff_length_m", self.stiff_length_m),
                0.0,
                self.length_m,
            )


@dataclass(frozen=True, slots=True)
class BodyState:
    """One body where it would hang: dogleg over its own length, inclination, bending stress."""

    body: Body
    dogleg_rad_m: float
    inclination_rad: tuple[float, float]
    stress_pa: float | None


@dataclass(frozen=True, slots=True)
class Broken:
    """A limit that is broken: by what, and in which interval of the survey [m]."""

    kind: Literal["dogleg", "way", "inclination", "stress"]
    value: float
    limit: Limit
    interval_md_m: tuple[float, float] | None = None
    body: str = ""

    def words(self, system: System = "SI") -> str:
        """In words, with the units of the user and the origin of the limit."""
        limit = f"limit {self._shown(self.limit.value, system)} ({self.limit.origin})"
        value, of = self._shown(self.value, system), f" of {self.body}" if self.body else ""
        if self.kind == "inclination":
            return f"inclination{of} {value}, {limit}"
        if self.kind == "stress":
            return f"bending stress{of} {value}, {limit}"
        place = "along the assembly" if self.kind == "dogleg" else "on the way down"
        return f"dogleg {value} from {self._interval(system)} {place}, {limit}"

    def short(self, system: System = "SI") -> str:
        """In a few words, for a table."""
        name = {"dogleg": "dogleg", "way": "dogleg on the way", "stress": "stress"}
        of = f" of {self.body}" if self.body else ""
        values = (self._shown(one, system) for one in (self.value, self.limit.value))
        words = f"{name.get(self.kind, self.kind)}{of} {' above '.join(values)}"
        return words if self.interval_md_m is None else f"{words}, {self._interval(system)}"

    def _interval(self, system: System) -> str:
        upper, lower = (
            show(md, Dimension.LENGTH, system, digits=1) for md in self.interval_md_m or (0.0, 0.0)
        )
        return f"{upper.partition(' ')[0]} to {lower}"

    def _shown(self, value: float, system: System) -> str:
        if self.kind == "stress":
            return stress_text(value, system)
        dimension = Dimension.ANGLE if self.kind == "inclination" else Dimension.DOGLEG
        return show(value, dimension, system)


def stress_text(stress_pa: float, system: System) -> str:
    """A stress as text: psi, or MPa, in which nobody gives a pressure."""
    if system == "oilfield":
        return show(stress_pa, Dimension.PRESSURE, system)
    return show(stress_pa, Dimension.PRESSURE, system, unit="MPa", digits=1)


@dataclass(frozen=True, slots=True)
class Candidate:
    """One depth for the top of the assembly, and what it means.

    Parameters
    ----------
    top_md_m, bottom_md_m : float
        Where the assembly would lie [m].
    dogleg_rad_m : float
        Sharpest dogleg of all intervals along it, allowance included [rad/m].
    dogleg_interval_md_m : tuple of float
        That interval [m].
    running_rad_m, running_interval_md_m
        The same for the way from the top of the survey to its lower end.
    inclination_rad : tuple of float
        Least and greatest inclination along it [rad].
    stress_pa : float
        Bending stress E kappa OD / 2 if a body follows that dogleg [Pa].
    sag_m : float or None
        kappa L^2 / 8 over the longest stiff body; None: its length is not given [m].
    bodies : tuple of BodyState
        Bodies with limits of their own.
    broken : tuple of Broken
        Limits that are broken; empty: none that was given.
    not_checked : tuple of str
        Limits that nobody gave.
    """

    top_md_m: float
    bottom_md_m: float
    dogleg_rad_m: float
    dogleg_interval_md_m: tuple[float, float]
    running_rad_m: float
    running_interval_md_m: tuple[float, float]
    inclination_rad: tuple[float, float]
    stress_pa: float
    sag_m: float | None
    bodies: tuple[BodyState, ...]
    broken: tuple[Broken, ...]
    not_checked: tuple[str, ...]

    @property
    def refusals(self) -> tuple[str, ...]:
        """Why not, in words and SI units."""
        return tuple(one.words() for one in self.broken)

    @property
    def within_limits(self) -> bool:
        """No limit is broken and none is missing."""
        return not self.broken and not self.not_checked


def scan(
    stations: Sequence[Station],
    assembly: Assembly,
    tops_md_m: Sequence[float],
    limits: Limits,
    allowance_rad_m: float = 0.0,
    tolerance_m: float = 0.0,
) -> tuple[Candidate, ...]:
    """Candidates for the depth of the top of the assembly, the best first.

    Parameters
    ----------
    stations : sequence of Station
        The survey, at least two stations.
    assembly : Assembly
        What hangs there.
    tops_md_m : sequence of float
        Depths to look at [m].
    limits : Limits
        Limits of the user.
    allowance_rad_m : float
        Dogleg between stations that the survey does not see, added everywhere [rad/m].
    tolerance_m : float
        How far off, up or down, it may come to hang; the hole that it may then
        lie in is looked at too [m].

    Returns
    -------
    tuple of Candidate
        Those that no limit refuses first; then by dogleg along the assembly.

    Raises
    ------
    InputError
        ``out-of-range``: the survey is no survey, the assembly is longer than it,
        or reaches out of it at a depth asked for.

    Notes
    -----
    Every interval that overlaps the assembly counts with its whole dogleg
    severity: a chord over the assembly would hide a local bend. An interval
    that only touches an end does not count.

    Examples
    --------
    Straight down to 300 m, then 3 degrees in 30 m:

    >>> from math import degrees, radians
    >>> hole = [Station(0, 0, 0), Station(300, 0, 0), Station(330, radians(3), 0)]
    >>> best, other = scan(hole, Assembly(30.0, 0.1), [300.0, 270.0], Limits())
    >>> best.top_md_m, round(degrees(other.dogleg_rad_m * 30), 6)
    (270.0, 3.0)
    """
    not_negative("allowance_rad_m", allowance_rad_m)
    found = candidates(
        hole_ranges(stations, allowance_rad_m), assembly, tops_md_m, limits, tolerance_m
    )
    return tuple(
        sorted(found, key=lambda one: (len(one.broken) > 0, one.dogleg_rad_m, one.top_md_m))
    )


def candidates(
    hole: HoleRanges,
    assembly: Assembly,
    tops_md_m: Sequence[float],
    limits: Limits,
    tolerance_m: float = 0.0,
) -> tuple[Candidate, ...]:
    """The same for a survey made ready, in the order of the depths; see :func:`scan`."""
    import numpy as np

    require(len(tops_md_m) > 0, "tops_md_m", "give at least one depth")
    not_negative("tolerance_m", tolerance_m)
    span_m = hole.last_m - hole.first_m
    reason = f"{assembly.length_m:g} m is longer than the whole survey ({span_m:g} m)"
    require(assembly.length_m <= span_m, "length_m", reason)
    for top_m in tops_md_m:
        _inside(hole, finite("tops_md_m", top_m), assembly.length_m, tolerance_m)
    top = np.array(tops_md_m, dtype=float)
    return tuple(_found(hole, assembly, top, limits, tolerance_m))


def _inside(hole: HoleRanges, top_m: float, length_m: float, tolerance_m: float) -> None:
    high_m, low_m = top_m - tolerance_m, top_m + length_m + tolerance_m
    reason = (
        f"from {high_m:.2f} to {low_m:.2f} m the assembly reaches out of the survey"
        f" ({hole.first_m:g} to {hole.last_m:g} m)"
    )
    inside = hole.first_m - _ROUNDING <= high_m and low_m <= hole.last_m + _ROUNDING
    require(inside, "tops_md_m", reason)


def _found(
    hole: HoleRanges, assembly: Assembly, top: Array, limits: Limits, tolerance_m: float
) -> Iterator[Candidate]:
    high, low = top - tolerance_m, top + assembly.length_m + tolerance_m
    here, way = hole.sharpest(high, low), hole.sharpest(0 * low + hole.first_m, low)
    flat, steep = hole.inclination(high, low)
    bodies = [_states(hole, assembly, one, top, tolerance_m) for one in assembly.bodies]
    rows = zip(
        top.tolist(),
        zip(hole.severity_rad_m[here].tolist(), _interval(hole, here), strict=True),
        zip(hole.severity_rad_m[way].tolist(), _interval(hole, way), strict=True),
        zip(flat.tolist(), steep.tolist(), strict=True),
        zip(*bodies, strict=True) if bodies else [()] * len(top),
        strict=True,
    )
    not_checked = limits.not_checked
    for top_m, along, passed, tilt, states in rows:
        stress_pa = assembly.young_pa * along[0] * assembly.od_m / 2
        yield Candidate(
            top_m,
            top_m + assembly.length_m,
            *along,
            *passed,
            tilt,
            stress_pa,
            None if assembly.stiff_length_m is None else sagitta(assembly.stiff_length_m, along[0]),
            states,
            tuple(_broken(limits, along, passed, tilt[1], stress_pa, states)),
            not_checked,
        )


def _interval(hole: HoleRanges, place: Any) -> list[tuple[float, float]]:
    upper, lower = hole.md_m[place].tolist(), hole.md_m[place + 1].tolist()
    return list(zip(upper, lower, strict=True))


def _states(
    hole: HoleRanges, assembly: Assembly, body: Body, top: Array, tolerance_m: float
) -> list[BodyState]:
    high = top + body.from_top_m - tolerance_m
    low = high + body.length_m + 2 * tolerance_m
    bend = hole.severity_rad_m[hole.sharpest(high, low)]
    tilts = zip(*(one.tolist() for one in hole.inclination(high, low)), strict=True)
    od_m = body.od_m
    return [
        BodyState(body, one, tilt, None if od_m is None else assembly.young_pa * one * od_m / 2)
        for one, tilt in zip(bend.tolist(), tilts, strict=True)
    ]


def _broken(
    limits: Limits,
    along: tuple[float, tuple[float, float]],
    passed: tuple[float, tuple[float, float]],
    inclination_rad: float,
    stress_pa: float,
    states: Sequence[BodyState],
) -> Iterator[Broken]:
    bend, run = limits.setting_rad_m, limits.running_rad_m
    if bend and bend.broken_by(along[0]):
        yield Broken("dogleg", along[0], bend, along[1])
    if run and run.broken_by(passed[0]):
        yield Broken("way", passed[0], run, passed[1])
    if limits.inclination_rad and limits.inclination_rad.broken_by(inclination_rad):
        yield Broken("inclination", inclination_rad, limits.inclination_rad)
    if limits.stress_pa and limits.stress_pa.broken_by(stress_pa):
        yield Broken("stress", stress_pa, limits.stress_pa)
    for one in states:
        yield from _broken_body(one)


def _broken_body(one: BodyState) -> Iterator[Broken]:
    tilt, stress, steepest = one.body.inclination_rad, one.body.stress_pa, one.inclination_rad[1]
    if tilt and tilt.broken_by(steepest):
        yield Broken("inclination", steepest, tilt, body=one.body.name)
    if stress and one.stress_pa is not None and stress.broken_by(one.stress_pa):
        yield Broken("stress", one.stress_pa, stress, body=one.body.name)
