"""Limits, the assembly with its bodies, and what a scan of depths finds at one of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from abreast.formulas.guard import not_negative, positive, require, within
from abreast.units import Dimension, System, show

__all__ = [
    "YOUNG_PA",
    "Assembly",
    "Body",
    "BodyState",
    "Broken",
    "Candidate",
    "Limit",
    "Limits",
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
        value, most = self._both(system)
        limit, of = f"limit {most} ({self.limit.origin})", f" of {self.body}" if self.body else ""
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
        words = f"{name.get(self.kind, self.kind)}{of} {' above '.join(self._both(system))}"
        return words if self.interval_md_m is None else f"{words}, {self._interval(system)}"

    def _interval(self, system: System) -> str:
        upper, lower = (
            show(md, Dimension.LENGTH, system, digits=1) for md in self.interval_md_m or (0.0, 0.0)
        )
        return f"{upper.partition(' ')[0]} to {lower}"

    def _both(self, system: System) -> tuple[str, str]:
        """Value and limit, with as many digits as it takes to tell them apart."""
        for digits in (None, *range(2, 10)):
            value, most = (
                self._shown(one, system, digits) for one in (self.value, self.limit.value)
            )
            if value != most:
                break
        return value, most

    def _shown(self, value: float, system: System, digits: int | None) -> str:
        if self.kind == "stress":
            return stress_text(value, system, digits)
        dimension = Dimension.ANGLE if self.kind == "inclination" else Dimension.DOGLEG
        return show(value, dimension, system, digits=digits)


def stress_text(stress_pa: float, system: System, digits: int | None = None) -> str:
    """A stress as text: psi, or MPa, in which nobody gives a pressure."""
    if system == "oilfield":
        return show(stress_pa, Dimension.PRESSURE, system, digits=digits)
    return show(
        stress_pa, Dimension.PRESSURE, system, unit="MPa", digits=1 if digits is None else digits
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
