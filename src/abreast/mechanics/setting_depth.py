"""Where the assembly may hang: every survey interval along it, ranked, with reasons."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from abreast.formulas.guard import finite, not_negative, positive, require, within
from abreast.formulas.rigid_tool import sagitta
from abreast.formulas.survey import Station, direction, interpolate, minimum_curvature

__all__ = ["Assembly", "Candidate", "Limit", "Limits", "scan"]

YOUNG_PA = 2.07e11
"""30 million psi, the steel of the handbooks."""
_ROUNDING = 1e-9
_PER_30_M = math.degrees(1.0) * 30.0


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
    """

    length_m: float
    od_m: float
    stiff_length_m: float | None = None
    young_pa: float = YOUNG_PA

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
    refusals : tuple of str
        Why not, in words; empty: no limit that was given is broken.
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
    refusals: tuple[str, ...]
    not_checked: tuple[str, ...]

    @property
    def within_limits(self) -> bool:
        """No limit is broken and none is missing."""
        return not self.refusals and not self.not_checked


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
    """
    require(len(stations) > 1, "stations", "give at least two stations of the survey")
    require(len(tops_md_m) > 0, "tops_md_m", "give at least one depth")
    not_negative("allowance_rad_m", allowance_rad_m)
    not_negative("tolerance_m", tolerance_m)
    bends = _bends(stations, allowance_rad_m)
    top_m, end_m = stations[0].md_m, stations[-1].md_m
    reason = f"{assembly.length_m:g} m is longer than the whole survey ({end_m - top_m:g} m)"
    require(assembly.length_m <= end_m - top_m, "length_m", reason)
    found = [_candidate(stations, bends, assembly, md, limits, tolerance_m) for md in tops_md_m]
    return tuple(
        sorted(found, key=lambda one: (len(one.refusals) > 0, one.dogleg_rad_m, one.top_md_m))
    )


def _bends(stations: Sequence[Station], allowance_rad_m: float) -> list[tuple[float, float, float]]:
    """Upper depth, lower depth and dogleg severity of every interval."""
    found = []
    for number, (upper, lower) in enumerate(pairwise(stations), 2):
        deeper = f"{lower.md_m:g} must be deeper than {upper.md_m:g}, the station before"
        require(lower.md_m > upper.md_m, f"stations.{number}.md_m", deeper)
        severity = minimum_curvature(upper, lower).dogleg_rad_m
        found.append((upper.md_m, lower.md_m, severity + allowance_rad_m))
    return found


def _candidate(
    stations: Sequence[Station],
    bends: Sequence[tuple[float, float, float]],
    assembly: Assembly,
    top_m: float,
    limits: Limits,
    tolerance_m: float,
) -> Candidate:
    bottom_m = finite("tops_md_m", top_m) + assembly.length_m
    high_m, low_m = top_m - tolerance_m, bottom_m + tolerance_m
    first_m, last_m = stations[0].md_m, stations[-1].md_m
    reason = (
        f"from {high_m:.2f} to {low_m:.2f} m the assembly reaches out of the survey"
        f" ({first_m:g} to {last_m:g} m)"
    )
    require(first_m <= high_m and low_m <= last_m + _ROUNDING, "tops_md_m", reason)
    along = [one for one in bends if one[0] < low_m - _ROUNDING and one[1] > high_m + _ROUNDING]
    passed = [one for one in bends if one[0] < low_m - _ROUNDING]
    here, way = max(along, key=lambda one: one[2]), max(passed, key=lambda one: one[2])
    stiff_m = assembly.stiff_length_m
    low, high = _inclinations(stations, high_m, min(low_m, last_m))
    stress_pa = assembly.young_pa * here[2] * assembly.od_m / 2
    return Candidate(
        top_m,
        bottom_m,
        here[2],
        here[:2],
        way[2],
        way[:2],
        (low, high),
        stress_pa,
        None if stiff_m is None else sagitta(stiff_m, here[2]),
        tuple(_refusals(limits, here, way, high, stress_pa)),
        limits.not_checked,
    )


def _refusals(
    limits: Limits,
    here: tuple[float, float, float],
    way: tuple[float, float, float],
    inclination_rad: float,
    stress_pa: float,
) -> Iterator[str]:
    bend, run = limits.setting_rad_m, limits.running_rad_m
    if bend and bend.broken_by(here[2]):
        most = f"limit {bend.value * _PER_30_M:.2f} ({bend.origin})"
        yield f"dogleg {_bend(here)} along the assembly, {most}"
    if run and run.broken_by(way[2]):
        most = f"limit {run.value * _PER_30_M:.2f} ({run.origin})"
        yield f"dogleg {_bend(way)} on the way down, {most}"
    tilt, stress = limits.inclination_rad, limits.stress_pa
    if tilt and tilt.broken_by(inclination_rad):
        yield (
            f"inclination {math.degrees(inclination_rad):.2f} deg,"
            f" limit {math.degrees(tilt.value):.2f} ({tilt.origin})"
        )
    if stress and stress.broken_by(stress_pa):
        yield (
            f"bending stress {stress_pa / 1e6:.1f} MPa,"
            f" limit {stress.value / 1e6:.1f} ({stress.origin})"
        )


def _bend(interval: tuple[float, float, float]) -> str:
    upper, lower, severity = interval
    return f"{severity * _PER_30_M:.2f} deg/30 m from {upper:.1f} to {lower:.1f} m"


def _inclinations(
    stations: Sequence[Station], top_m: float, bottom_m: float
) -> tuple[float, float]:
    """Least and greatest, also where an arc passes its flattest or steepest point."""
    found = []
    for upper, lower in pairwise(stations):
        high, low = max(upper.md_m, top_m), min(lower.md_m, bottom_m)
        if high >= low:
            continue
        depths = [high, low]
        turn_m = _turning_md(upper, lower)
        if turn_m is not None and high < turn_m < low:
            depths.append(turn_m)
        found += [interpolate(upper, lower, md).inclination_rad for md in depths]
    return min(found), max(found)


def _turning_md(upper: Station, lower: Station) -> float | None:
    """Where the inclination of an arc is at an extreme: d cos(I) / ds = 0."""
    bend = minimum_curvature(upper, lower).dogleg_rad
    if bend == 0:
        return None
    first, last = direction(upper)[2], direction(lower)[2]
    angle = math.atan2(last - first * math.cos(bend), first * math.sin(bend)) % math.pi
    return upper.md_m + (lower.md_m - upper.md_m) * angle / bend
