"""Words of the pages on the string in its well: numbers in the job's units, shares of limits."""

from __future__ import annotations

from collections.abc import Iterable
from math import degrees

from abreast.checks.base import at_most
from abreast.documents.workpack_words import Data
from abreast.mechanics.setting_depth import stress_text
from abreast.model import Job
from abreast.model.plan import FindingStatus
from abreast.units import Dimension, display_unit, show

__all__ = ["Numbers", "absent", "listed", "roll", "used"]

_LOAD_UNIT = {"oilfield": "klbf", "SI": "kN"}


class Numbers:
    """Numbers as a page prints them; those of a column leave the unit to its heading."""

    def __init__(self, job: Job) -> None:
        self.system = job.units
        self.long_unit = display_unit(Dimension.LENGTH, job.units)
        self.small_unit = display_unit(Dimension.LENGTH, job.units, small=True)
        self.bend_unit = display_unit(Dimension.DOGLEG, job.units)
        self.load_unit = _LOAD_UNIT[job.units]

    def depth(self, md_m: float) -> str:
        """A depth along the hole."""
        return show(md_m, Dimension.LENGTH, self.system, digits=1)

    def bare_depth(self, md_m: float) -> str:
        """The digits of a depth."""
        return _bare(self.depth(md_m))

    def off(self, length_m: float) -> str:
        """The digits of a distance with its sign."""
        digits = self.bare_depth(length_m)
        return digits if length_m <= 0 or not digits.strip("0.") else f"+{digits}"

    def span(self, top_m: float, bottom_m: float) -> str:
        """From a depth to a depth; one depth where they print alike."""
        top, bottom = self.depth(top_m), self.depth(bottom_m)
        return bottom if top == bottom else f"{_bare(top)} to {bottom}"

    def small(self, length_m: float, digits: int | None = None) -> str:
        """A diameter or a gap."""
        return show(length_m, Dimension.LENGTH, self.system, small=True, digits=digits)

    def force(self, force_n: float) -> str:
        """A force on a part."""
        return show(force_n, Dimension.FORCE, self.system)

    def load(self, load_n: float) -> str:
        """A load at the hook, to what an indicator shows."""
        return show(load_n, Dimension.FORCE, self.system, unit=self.load_unit, digits=1)

    def bare_load(self, load_n: float) -> str:
        """The digits of a load at the hook."""
        return _bare(self.load(load_n))

    def moment(self, moment_nm: float) -> str:
        """A bending moment."""
        return show(moment_nm, Dimension.TORQUE, self.system)

    def pressure(self, pressure_pa: float) -> str:
        """A pressure of a fluid."""
        return show(pressure_pa, Dimension.PRESSURE, self.system)

    def stress(self, stress_pa: float) -> str:
        """A stress in steel."""
        return stress_text(stress_pa, self.system)

    def dogleg(self, rad_m: float) -> str:
        """A dogleg severity."""
        return show(rad_m, Dimension.DOGLEG, self.system)

    def bare_dogleg(self, rad_m: float) -> str:
        """The digits of a dogleg severity."""
        return self.dogleg(rad_m).removesuffix(self.bend_unit).strip()

    def angle(self, angle_rad: float) -> str:
        """An angle to a tenth of a degree."""
        return show(angle_rad, Dimension.ANGLE, self.system)


def _bare(text: str) -> str:
    return text.rpartition(" ")[0]


def roll(roll_rad: float) -> str:
    """A roll in whole degrees."""
    return f"{degrees(roll_rad):.0f}°"


def used(value: float, limit: float | None, *, settled: bool = True) -> Data:
    """How much of a limit is used, with its status; without a limit it is not checked.

    While there are places that are not ``settled``, what is used may be more elsewhere:
    what is not above its limit is not checked.
    """
    if limit is None:
        return {"status": "not checked", "share": ""}
    share = f"{100 * value / limit:.0f} %" if limit > 0 else "limit 0"
    status: FindingStatus = at_most(value, limit).status
    return {"status": status if settled or status == "exceeds" else "not checked", "share": share}


def absent(needs: str) -> Data:
    """A page of a part that could not be worked out."""
    return {"needs": needs}


def listed(words: Iterable[str]) -> list[str]:
    """Each sentence once, in order."""
    return list(dict.fromkeys(words))
