"""Landing after landing: bypass lifts, an ESP section, MLE and twin clamps, the next landing."""

from __future__ import annotations

from collections.abc import Iterable

from abreast.errors import MissingInputError
from abreast.model import floor_actions as fa
from abreast.model.procedure import ClampPlace
from abreast.procedure.floor import BLOCK
from abreast.procedure.floor_dues import STICK_DOWN, STRAPPED, filled, read, ready
from abreast.procedure.floor_joints import SEAT, joint_id
from abreast.procedure.generate_foot import add_lift
from abreast.procedure.lifting import sling_gear
from abreast.procedure.plan_of_run import RunPlan, Section
from abreast.procedure.script import Script
from abreast.procedure.ways import Way
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["due_clamps", "run_sections", "works"]

_NEAR_M = 1e-6
_READING = 0.1
"""How exactly a weight indicator is read: common practice, no source."""


def run_sections(script: Script, plan: RunPlan, way: Way) -> None:
    """All landings, bottom to top, and the bypass lifts after the last."""
    clamps = sorted(script.floor.clamps, key=lambda one: one.z_m)
    old: Section | None = None
    for number, section in enumerate(plan.sections):
        script.phase = f"landing {section.landing.id}"
        if old is None and script.job.is_top_hung:
            _first_top_hung(script, section, clamps, way)
        else:
            if old is not None:
                _bypass_lifts(script, section.lifts, way)
            _section(script, old, section, clamps, way, first=number == 0)
        _mle_at_rest(script, section)
        script.confirm(*map(filled, section.esp), read(section.landing.id))
        old = section
    script.phase = "last bypass"
    _bypass_lifts(script, plan.last_lifts, way)


def _bypass_lifts(script: Script, lifts: Iterable[tuple[str, ...]], way: Way) -> None:
    for names in lifts:
        way.free_bypass()
        add_lift(script, names)
        way.after_lift()


def _pick_up(script: Script, section: Section, line: str) -> None:
    script.confirm(ready(section.on))
    script.do(fa.Fit(holder=section.clamp, on=section.on))
    script.do(
        fa.PickUp(
            pieces=section.esp,
            line=line,
            holder=section.clamp,
            on=section.on,
            gear=sling_gear(script.job),
        )
    )


def _section(
    script: Script,
    old: Section | None,
    section: Section,
    clamps: list[ClampPlace],
    way: Way,
    *,
    first: bool,
) -> None:
    line = way.esp_line()
    way.before_section()
    _pick_up(script, section, line)
    if first:
        script.do(fa.Confirm(due="seat set"))
        script.join(line, (SEAT,))
        script.do(fa.Confirm(due="seat checked"))
        script.confirm(STRAPPED)
    else:
        assert old is not None, "only the first section stands on the seat"
        script.join(line, (joint_id(old.esp[-1], section.esp[0]),))
    way.take(section)
    low_m = None if old is None else old.landing.neck_m
    found = due_clamps(clamps, low_m, section.landing.neck_m, own=script.job.is_top_hung)
    works(script, old, section, found, way)
    way.park(section)


def works(
    script: Script,
    old: Section | None,
    section: Section,
    clamps: list[ClampPlace],
    way: Way,
) -> None:
    """With the lines carrying: the old clamp comes off, MLE and twin clamps go on."""
    places: list[tuple[float, str]] = [(one.z_m, one.id) for one in clamps]
    if _mle_is_due(script, old, section, clamps):
        assert script.floor.cable is not None, "due"
        places.append((script.floor.cable.z_m, ""))
    places.sort()
    if old is not None:
        _off(script, old, section, places, way)
    for z_m, clamp in places:
        if not clamp:
            _hoist_for_mle(script, section, way)
        else:
            fit_clamp(script, section, clamp, z_m, way)


def _off(
    script: Script,
    old: Section,
    section: Section,
    places: list[tuple[float, str]],
    way: Way,
) -> None:
    """The string is hoisted for the first work, and the clamp that is empty comes off."""
    neck_m, mark = old.landing.neck_m, f"neck of {old.on}"
    lowest_m = places[0][0] if places else neck_m
    z_m = lowest_m if 0 <= neck_m - lowest_m <= script.work_m / 2 else neck_m
    if z_m != neck_m:
        mark = places[0][1] or "pothead"
    way.move(section, z_m, script.level_m + script.work_m, f"{mark} at working height")
    script.do(fa.Remove(holder=old.clamp, on=old.on))


def _mle_is_due(
    script: Script, old: Section | None, section: Section, clamps: list[ClampPlace]
) -> bool:
    """Whether the MLE goes on now.

    When the pothead is in reach or below, when it would go below the plate, or
    when a twin clamp goes on above it: the MLE lies in its groove.
    """
    cable = script.floor.cable
    if cable is None or script.mle:
        return False
    if any(one.z_m > cable.z_m for one in clamps):
        return True
    if script.plate == "closed" and cable.z_m < section.landing.neck_m:
        return True
    return old is not None and cable.z_m <= old.landing.neck_m + script.floor.site.reach_m[1]


def _hoist_for_mle(script: Script, section: Section, way: Way) -> None:
    cable = script.floor.cable
    assert cable is not None, "looked at before"
    if not script.is_at_hand(cable.z_m):
        at_m = script.level_m + script.work_m
        way.move(section, cable.z_m, at_m, "pothead at working height")
    script.connect_mle()


def fit_clamp(script: Script, section: Section, clamp: str, z_m: float, way: Way) -> None:
    """A twin clamp at working height."""
    if not script.is_at_hand(z_m):
        at_m = script.level_m + script.work_m
        way.move(section, z_m, at_m, f"{clamp} at working height")
    script.tools()
    script.do(fa.FitTwinClamp(clamp=clamp))


def due_clamps(
    clamps: list[ClampPlace], low_m: float | None, high_m: float | None, *, own: bool
) -> list[ClampPlace]:
    """Twin clamps between two necks; ``own``: with that on the upper neck, else the lower one.

    One on the neck that stands on the plate goes on once its lifting clamp is
    off; top-hung it has to carry before that.
    """

    def after(clamp: ClampPlace, neck_m: float | None) -> bool:
        if neck_m is None:
            return True
        shift = _NEAR_M if own else -_NEAR_M
        return clamp.z_m > neck_m + shift

    return [
        one for one in clamps if after(one, low_m) and (high_m is None or not after(one, high_m))
    ]


def _mle_at_rest(script: Script, section: Section) -> None:
    """The pothead within reach while the section stands on the plate."""
    cable = script.floor.cable
    if cable is None or script.mle or cable.piece not in section.esp:
        return
    above_m = cable.z_m - section.landing.neck_m
    if 0 <= above_m <= script.floor.site.reach_m[1]:
        script.connect_mle()


# --- top-hung --------------------------------------------------------------------------


def _first_top_hung(script: Script, section: Section, clamps: list[ClampPlace], way: Way) -> None:
    """The motor beside the bypass; stick-down; then the first twin clamp ties both."""
    line = way.esp_line()
    _pick_up(script, section, line)
    script.offset_m = script.level_m - script.pieces[section.esp[0]].bottom_m
    tie = _tie(script, section, clamps)
    cable = script.floor.cable
    if cable is not None and cable.piece in section.esp and tie.z_m > cable.z_m:
        _hoist_for_mle(script, section, way)
    neck_m = section.landing.neck_m
    way.move(section, neck_m, script.level_m, f"neck of {section.on} at the plate")
    script.do(fa.Land(holder=section.clamp))
    _read_indicator(script, section, line)
    script.confirm(f"orientation {section.on}", STICK_DOWN)
    script.do(fa.FitTwinClamp(clamp=tie.id))
    way.take(section)
    lower = due_clamps(clamps, None, neck_m, own=True)
    lower = [one for one in reversed(lower) if one.id != tie.id]
    for clamp in lower:
        fit_clamp(script, section, clamp.id, clamp.z_m, way)
    if lower:
        way.park(section)
        return
    script.do(fa.SlackOff(lines=way.lines(section)))
    script.do(fa.Unlatch(line=BLOCK))


def _read_indicator(script: Script, section: Section, line: str) -> None:
    """The block still carries the ESP alone, seen before the first clamp ties the bypass to it."""
    whole_n = sum(script.pieces[one].mass_kg or 0.0 for one in section.esp) * GRAVITY_M_S2
    if whole_n > 0:
        least_n, most_n = whole_n * (1 - _READING), whole_n * (1 + _READING)
        script.do(fa.StateTension(line=line, least_n=least_n, most_n=most_n, by="weight indicator"))


def _tie(script: Script, section: Section, clamps: list[ClampPlace]) -> ClampPlace:
    """The lowest twin clamp within reach above the plate of the first landing."""
    neck_m, high_m = section.landing.neck_m, script.floor.site.reach_m[1]
    there = {*section.esp, *(one for names in section.lifts for one in names)}
    for clamp in clamps:
        reached = neck_m - _NEAR_M <= clamp.z_m <= neck_m + high_m
        if reached and {clamp.esp, clamp.bypass} <= there:
            return clamp
    raise MissingInputError(
        needs=f"a twin clamp at landing {section.landing.id}: nothing ties the bypass to the ESP"
    )
