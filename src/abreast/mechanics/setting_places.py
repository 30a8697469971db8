"""Depths for a string, what speaks for and against each, and their ranking with the reasons."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor, radians

from abreast.mechanics.setting_bounds import Bound
from abreast.mechanics.setting_depth import Assembly, BodyState, Candidate, Limit, Limits
from abreast.mechanics.setting_limits import Lacking, Topic
from abreast.units import Dimension, System, show

__all__ = ["DUTY", "SAME_RAD_M", "WINDOW_M", "ContactResult", "Passed", "Place", "SettingScan"]

SAME_RAD_M = radians(0.1) / 30
"""Doglegs that fall into one step of it count as equal: common practice, no source.

Angles to 0.1 degree over the usual interval of a survey tell no more."""
WINDOW_M = {"SI": 100.0, "oilfield": 300 * 0.3048}
"""How far from the planned depth one looks before farther: common practice, no source."""
DUTY = (
    "more than a joint off, the intake pressure changes and with it the pump's duty:"
    " ask the well's designer"
)
_SAME_M = 1e-6
_SAME_RATIO = 1e-9


@dataclass(frozen=True, slots=True)
class ContactResult:
    """What the contact model finds at one depth.

    Parameters
    ----------
    state : str
        In words: ``settled``, ``not settled``, ``not checked: needs ...``.
    moment_ratio : float or None
        Greatest bending moment over what its place may carry; None: not known.
    moment_at : str
        Where.
    side_force_n : float or None
        Greatest side force on the wall of the hole [N]; None: not known.
    side_force_at : str
        Where.
    """

    state: str
    moment_ratio: float | None = None
    moment_at: str = ""
    side_force_n: float | None = None
    side_force_at: str = ""

    @property
    def refuses(self) -> bool:
        """Whether a moment is above what its place may carry."""
        return self.moment_ratio is not None and self.moment_ratio > 1 + _SAME_RATIO


@dataclass(frozen=True, slots=True)
class Place:
    """One depth of the Y-tool's top.

    Parameters
    ----------
    candidate : Candidate
        Doglegs, inclinations and stresses there, the tolerance of the depth in them.
    from_planned_m : float
        Below the planned depth; negative: above it [m].
    slide_rad_m : float or None
        Sharpest dogleg if it came to hang a joint higher or lower [rad/m]; None:
        then it would leave the survey, or the length of a joint is not known.
    tail_rad_m : float or None
        Sharpest dogleg along the tail [rad/m]; None: no tail, or not in the survey.
    slides : bool
        Whether that is within the limit at setting depth, as far as it is known.
    bounds : tuple of Bound
        What in the well speaks against it.
    contact : ContactResult or None
        What the contact model finds; None: it was not asked.
    """

    candidate: Candidate
    from_planned_m: float
    slide_rad_m: float | None
    tail_rad_m: float | None
    slides: bool
    bounds: tuple[Bound, ...]
    contact: ContactResult | None = None

    @property
    def top_md_m(self) -> float:
        """Depth of the Y-tool's top [m]."""
        return self.candidate.top_md_m

    @property
    def dogleg_rad_m(self) -> float:
        """Sharpest dogleg along the assembly [rad/m]."""
        return self.candidate.dogleg_rad_m

    @property
    def is_planned(self) -> bool:
        """Whether it is the planned depth."""
        return abs(self.from_planned_m) <= _SAME_M

    @property
    def unknown(self) -> tuple[str, ...]:
        """What is not known of the well there."""
        return tuple(one.words for one in self.bounds if one.unknown)

    @property
    def is_refused(self) -> bool:
        """Whether a limit that was given is broken there."""
        return bool(self.candidate.broken) or any(not one.unknown for one in self.bounds)

    @property
    def may_be_advised(self) -> bool:
        """Breaks no limit that was given, is known, and the contact model does not refuse it."""
        refused = self.contact is not None and self.contact.refuses
        return not (self.is_refused or self.unknown or refused)

    def refusals(self, system: System) -> tuple[str, ...]:
        """Why not, in words."""
        own = (one.words(system) for one in self.candidate.broken)
        return (*own, *(one.words for one in self.bounds if not one.unknown))

    @property
    def step(self) -> int:
        """The dogleg in steps of :data:`SAME_RAD_M`."""
        return floor(self.dogleg_rad_m / SAME_RAD_M + 1e-6)

    @property
    def rank_key(self) -> tuple[bool, bool, bool, int, float, float]:
        """Unrefused, known, good a joint off too, straight, near; the least is best."""
        return (
            self.is_refused,
            bool(self.unknown),
            not self.slides,
            self.step,
            round(abs(self.from_planned_m), 6),
            self.top_md_m,
        )


@dataclass(frozen=True, slots=True)
class Passed:
    """The sharpest dogleg that a piece passes on its way to the planned depth.

    Parameters
    ----------
    piece : str
        Its id; blank: the whole string, held to the rules of the job.
    limit : Limit or None
        What it may pass [rad/m]; None: it has no limit.
    dogleg_rad_m : float
        The sharpest, allowance included [rad/m].
    interval_md_m : tuple of float
        Where [m].
    foot_md_m : float
        How deep its lower end goes, tolerance included [m].
    """

    piece: str
    limit: Limit | None
    dogleg_rad_m: float
    interval_md_m: tuple[float, float]
    foot_md_m: float


@dataclass(frozen=True, slots=True)
class SettingScan:
    """Depths of the Y-tool's top, ranked.

    Parameters
    ----------
    places : tuple of Place
        The best first, the planned depth among them.
    planned : Place
        The planned depth.
    higher, lower : Place or None
        A joint of tubing off; None: not in the survey, or the joint is not known.
    straight : Assembly
        The length that must lie straight, its bodies with their limits.
    tail_m : float
        What hangs below it [m].
    joint_m, step_m : float or None
        Joint of tubing, and distance of the depths looked at [m].
    tolerance_m, allowance_rad_m : float
        Of the depth [m]; dogleg added everywhere [rad/m].
    limits : Limits
        Of doglegs.
    bounds : tuple of Bound
        What in the well bounds the depth.
    passed : tuple of Passed
        The way down to the planned depth: the whole string, then each ESP piece.
    lacking : tuple of Lacking
        Limits and inputs that nobody gave.
    assumptions : tuple of str
        What was taken for granted.
    system : {"oilfield", "SI"}
        Units of the words.
    datum : str
        Zero of the depths.
    confirmed : bool
        Whether the contact model was asked.
    """

    places: tuple[Place, ...]
    planned: Place
    higher: Place | None
    lower: Place | None
    straight: Assembly
    tail_m: float
    joint_m: float | None
    step_m: float | None
    tolerance_m: float
    allowance_rad_m: float
    limits: Limits
    bounds: tuple[Bound, ...]
    passed: tuple[Passed, ...]
    lacking: tuple[Lacking, ...]
    assumptions: tuple[str, ...]
    system: System
    datum: str
    confirmed: bool

    @property
    def best(self) -> Place:
        """The best of all."""
        return self.places[0]

    @property
    def nearby(self) -> tuple[Place, ...]:
        """Those within a joint of the planned depth, the best first."""
        return self._within((self.joint_m or 0.0) + self.tolerance_m)

    @property
    def window_m(self) -> float:
        """How far from the planned depth one looks before farther [m]."""
        return WINDOW_M[self.system]

    @property
    def in_window(self) -> tuple[Place, ...]:
        """Those within that distance, the best first."""
        return self._within(max(self.window_m, (self.joint_m or 0.0) + self.tolerance_m))

    def _within(self, reach_m: float) -> tuple[Place, ...]:
        return tuple(one for one in self.places if abs(one.from_planned_m) <= reach_m + _SAME_M)

    @property
    def advised(self) -> Place | None:
        """A better depth: within a joint, else within the window.

        Farther off only where the planned depth itself is refused or not known; None:
        there is none.
        """
        circles = [self.nearby, self.in_window]
        if not self.planned.may_be_advised:
            circles.append(self.places)
        found = (next((one for one in some if one.may_be_advised), None) for some in circles)
        return next((one for one in found if one is not None and not one.is_planned), None)

    def is_far(self, place: Place) -> bool:
        """Farther than a joint from the planned depth, where the pump's duty is another."""
        return place not in self.nearby

    @property
    def not_checked(self) -> tuple[str, ...]:
        """Limits and inputs that nobody gave, in words."""
        return tuple(dict.fromkeys(f"not checked: needs {one.need}" for one in self.lacking))

    def needs(self, *topics: Topic) -> tuple[str, ...]:
        """What is missing for some questions."""
        return tuple(dict.fromkeys(one.need for one in self.lacking if one.topic in topics))

    @property
    def neighbours(self) -> tuple[tuple[str, Place | None], ...]:
        """A joint higher and a joint lower, named."""
        return ("one joint higher", self.higher), ("one joint lower", self.lower)

    @property
    def unrefused(self) -> int:
        """How many depths break no limit that was given."""
        return sum(not one.is_refused for one in self.places)

    def rank(self, place: Place) -> int:
        """Its rank, 1 the best."""
        return 1 + next(n for n, one in enumerate(self.places) if one.top_md_m == place.top_md_m)

    def windows(self) -> tuple[tuple[float, float], ...]:
        """Runs of neighbouring depths that no limit refuses: the first and last of each [m]."""
        found: list[tuple[float, float]] = []
        is_open = False
        for one in sorted(self.places, key=lambda place: place.top_md_m):
            if one.is_refused:
                is_open = False
                continue
            start = found.pop()[0] if is_open else one.top_md_m
            found.append((start, one.top_md_m))
            is_open = True
        return tuple(found)

    # --- words -----------------------------------------------------------------------------

    def length(self, length_m: float) -> str:
        """A length or depth, as text."""
        return show(length_m, Dimension.LENGTH, self.system, digits=1)

    def dogleg(self, severity_rad_m: float) -> str:
        """A dogleg, as text."""
        return show(severity_rad_m, Dimension.DOGLEG, self.system)

    def reason(self, place: Place) -> str:
        """Why a depth has its rank, against the planned one."""
        if place.contact is not None and place.contact.refuses:
            return f"contact model: moment above what {place.contact.moment_at} may carry"
        if place.candidate.broken:
            return place.candidate.broken[0].short(self.system)
        if place.is_refused:
            return next(one.short for one in place.bounds if not one.unknown)
        if place.unknown:
            return f"not checked: {place.unknown[0]}"
        if not place.slides:
            return f"a joint off: {self.dogleg(place.slide_rad_m or 0.0)}, above the limit"
        return "planned depth" if place.is_planned else self._against_planned(place)

    def _against_planned(self, place: Place) -> str:
        planned, off = self.planned, self.length(abs(place.from_planned_m))
        where = f"{off} {'deeper' if place.from_planned_m > 0 else 'higher'}"
        if planned.is_refused or planned.unknown or not planned.slides:
            return f"{where}; breaks no limit that was given"
        apart = place.dogleg_rad_m - planned.dogleg_rad_m
        if place.step != planned.step:
            return (
                f"{where}; {'sharper' if apart > 0 else 'straighter'} by {self.dogleg(abs(apart))}"
            )
        return f"{where}; as straight"

    def words(self) -> tuple[str, ...]:
        """The planned depth, what is better within a joint, what is best of all."""
        return tuple(self._words())

    def _words(self) -> Iterator[str]:
        planned, count = self.planned, len(self.places)
        rank = f"rank {self.rank(planned)} of {count}"
        kept = f"at {self.unrefused} of them no limit that was given is broken"
        yield f"Y-tool top planned at {self.length(planned.top_md_m)}: {rank}; {kept}."
        for why in planned.refusals(self.system):
            yield f"Against it: {why}."
        near, best, window = self.nearby[0], self.best, self.in_window[0]
        if near.is_refused:
            yield "No depth within a joint keeps every limit that was given."
        elif near.is_planned:
            yield "No depth within a joint ranks before it."
        else:
            yield f"Best within a joint: {self.length(near.top_md_m)}, {self.reason(near)}."
        if window not in (planned, near) and not window.is_refused:
            told = f"{self.length(window.top_md_m)}, {self.reason(window)}"
            yield f"Best within {self.length(self.window_m)}: {told}."
        if best.is_refused:
            yield "No depth of this well keeps every limit that was given."
        elif best not in (planned, near, window):
            yield f"Best of all: {self.length(best.top_md_m)}, {self.reason(best)}."
        if not best.is_refused and any(self.is_far(one) for one in (window, best)):
            yield f"{DUTY[0].upper()}{DUTY[1:]}."
        if not self.confirmed:
            yield "Not confirmed by the contact model."

    def body(self, name: str, place: Place | None = None) -> BodyState:
        """One body at a depth, the planned one if none is named."""
        states = (place or self.planned).candidate.bodies
        return next(one for one in states if one.body.name == name)
