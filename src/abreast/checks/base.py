"""How a check answers: one question, a verdict per place, never a pass without its inputs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Generic, TypeVar

from abreast.errors import AbreastError, MissingInputError
from abreast.mechanics.down_hole import DownHole, Missing
from abreast.model import Assembly, Choice, Finding, Job
from abreast.model.plan import FindingStatus
from abreast.units import Dimension, feet_inches, show
from abreast.units.constants import GRAVITY_M_S2

if TYPE_CHECKING:
    from abreast.mechanics.bypass_tools import ToolPassages
    from abreast.mechanics.hook_forecast import HookForecast
    from abreast.mechanics.running_in import RunIn
    from abreast.mechanics.setting_places import SettingScan

__all__ = [
    "NEAR",
    "Check",
    "Context",
    "Verdict",
    "answer",
    "at_least",
    "at_most",
    "inside",
    "not_checked",
    "plural",
    "weight_n",
]

NEAR = 0.9
"""Utilisation from which a finding says 'near limit': common practice, no source."""
_SAME = 1e-9
S = TypeVar("S")
Part = TypeVar("Part")


def _part(found: Part | Missing) -> Part:
    if isinstance(found, Missing):
        raise MissingInputError(needs=found.needs)
    return found


@dataclass(frozen=True, slots=True)
class Context:
    """What every check is given, with numbers printed in the units of the job."""

    job: Job
    assembly: Assembly
    choice: Choice
    down_hole: DownHole | None = None

    def running(self) -> RunIn:
        """The way down by the contact model; raises MissingInputError for what it lacks."""
        return _part(self._worked.running)

    def hook(self) -> HookForecast:
        """The hook loads to expect; raises MissingInputError for what they lack."""
        return _part(self._worked.hook)

    def setting(self) -> SettingScan:
        """The ranked setting depths; raises MissingInputError for what they lack."""
        return _part(self._worked.setting)

    def tools(self) -> ToolPassages:
        """What passes the bypass; raises MissingInputError for what it lacks."""
        return _part(self._worked.tools)

    @property
    def _worked(self) -> DownHole:
        if self.down_hole is None:
            raise MissingInputError(needs="the string worked out in its well")
        return self.down_hole

    def length(self, length_m: float, digits: int | None = None) -> str:
        """A length along the string, as text."""
        return show(length_m, Dimension.LENGTH, self.job.units, digits=digits)

    def by_rule(self, length_m: float) -> str:
        """A length to be measured with a rule: in oilfield units also in inches by sixteenths."""
        text = self.length(length_m)
        return f"{text} ({feet_inches(length_m)})" if self.job.units == "oilfield" else text

    def warmth(self, difference_k: float) -> str:
        """A difference of temperature, as text."""
        return show(difference_k, Dimension.TEMPERATURE_DIFFERENCE, self.job.units)

    def small(self, length_m: float, digits: int | None = None) -> str:
        """A size across the string or an error, as text."""
        return show(length_m, Dimension.LENGTH, self.job.units, digits=digits, small=True)

    def mass(self, mass_kg: float) -> str:
        """A mass, as text."""
        return show(mass_kg, Dimension.MASS, self.job.units)

    def load(self, load_n: float) -> str:
        """A force, as text."""
        return show(load_n, Dimension.FORCE, self.job.units)

    def torque(self, torque_nm: float) -> str:
        """A torque, as text."""
        return show(torque_nm, Dimension.TORQUE, self.job.units)


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """The answer for one place; the check adds its question."""

    status: FindingStatus
    text: str
    dimension: Dimension | None = None
    value: float | None = None
    limit: float | None = None
    utilisation: float | None = None
    basis: str = ""
    action: str = ""
    needs: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Check(Generic[S]):
    """One question, the places where it is asked, and how it is judged there.

    Parameters
    ----------
    id : str
        Short fixed name.
    question : str
        What is asked.
    places : callable
        From the context, the pairs of a place's name and what is judged there.
    judge : callable
        From the context and what is judged, the verdict.
    basis : str
        What the limit rests on, unless the verdict says more.
    needs : str
        What the job lacks if there is no place to judge; blank: nothing is
        lacking, the question does not arise.
    """

    id: str
    question: str
    places: Callable[[Context], Iterable[tuple[str, S]]]
    judge: Callable[[Context, S], Verdict]
    basis: str = ""
    needs: str = ""


def answer(check: Check[S], context: Context) -> Iterator[Finding]:
    """The findings of one check; a missing input makes 'not checked', never an error."""
    try:
        places = list(check.places(context))
    except AbreastError as fault:
        yield _finding(check, "", _unanswered(fault))
        return
    if not places and check.needs:
        yield _finding(check, "", not_checked(check.needs))
    for where, subject in places:
        try:
            verdict = check.judge(context, subject)
        except AbreastError as fault:
            verdict = _unanswered(fault)
        yield _finding(check, where, verdict)


def _unanswered(fault: AbreastError) -> Verdict:
    if isinstance(fault, MissingInputError):
        return not_checked(fault.needs)
    return not_checked(f"input that can be used: {fault}")


def _finding(check: Check[S], where: str, verdict: Verdict) -> Finding:
    return Finding(
        id=f"{check.id}:{where}" if where else check.id,
        question=check.question,
        status=verdict.status,
        text=verdict.text,
        dimension=verdict.dimension.value if verdict.dimension else "",
        value=verdict.value,
        limit=verdict.limit,
        utilisation=verdict.utilisation,
        where=where,
        basis=verdict.basis or check.basis,
        action=verdict.action,
        needs=verdict.needs,
        assumptions=verdict.assumptions,
    )


def not_checked(*needs: str, text: str = "") -> Verdict:
    """The verdict when inputs are missing: what they are, and what is known all the same."""
    listed = "; ".join(needs)
    return Verdict(
        status="not checked",
        text=f"{text} Not checked: needs {listed}.".strip(),
        needs=needs,
        action="fill in what is missing, with its origin",
    )


# --- value against limit -------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Judged:
    """Status and utilisation of a value against its limit."""

    status: FindingStatus
    utilisation: float | None
    limit: float = field(default=0.0)


def _status(utilisation: float) -> FindingStatus:
    if utilisation > 1 + _SAME:
        return "exceeds"
    return "near limit" if utilisation >= NEAR else "ok"


def at_most(value: float, limit: float) -> Judged:
    """A value that must not be above its limit, both 0 or more."""
    if limit <= 0:
        return Judged("ok" if value <= limit else "exceeds", None, limit)
    return Judged(_status(value / limit), value / limit, limit)


def at_least(value: float, limit: float) -> Judged:
    """A value that must not be below its limit; no utilisation when nothing is left of it."""
    if value <= 0:
        return Judged("ok" if value >= limit else "exceeds", None, limit)
    return Judged(_status(limit / value), limit / value, limit)


def inside(value: float, low: float, high: float) -> Judged:
    """A value that must lie in a window: its distance from the middle over half the window.

    ``limit`` is the nearer end. A window without width or upside down takes
    only its own middle, or nothing.
    """
    middle, half = (low + high) / 2, (high - low) / 2
    limit = high if value >= middle else low
    off = abs(value - middle)
    if half <= 0:
        return Judged("ok" if half == 0 and off <= _SAME else "exceeds", None, limit)
    return Judged(_status(off / half), off / half, limit)


def weight_n(mass_kg: float) -> float:
    """Weight in air of a mass, standard gravity [N]."""
    return mass_kg * GRAVITY_M_S2


def plural(count: int, noun: str) -> str:
    """A count with its noun: ``1 piece``, ``3 pieces``."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
