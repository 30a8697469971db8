"""May the string hang at its planned depth: dogleg, inclination, stress, a joint off, the well."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked
from abreast.mechanics.setting_depth import BodyState, Limit, stress_text
from abreast.mechanics.setting_limits import RATED_KINDS
from abreast.mechanics.setting_places import (
    DUTY,
    SAME_RAD_M,
    ContactResult,
    Place,
    SettingScan,
)
from abreast.mechanics.setting_words import setting_words
from abreast.units import Dimension, show

__all__ = ["Asked", "Source", "judge_setting", "setting_depth_check", "setting_places"]

Source = Callable[[Context], SettingScan]
"""Where a check takes the ranked depths from; MissingInputError where there are none."""
_STRESS = "of a body that follows the bend of the hole; necks and the other string are not in it"


@dataclass(frozen=True, slots=True)
class Asked:
    """What is judged at one place: a question, and the piece it is about."""

    scan: SettingScan
    about: Literal["dogleg", "inclination", "stress", "joint", "well", "contact", "others"]
    piece: str = ""


def setting_depth_check(scan_of: Source) -> Check[Asked]:
    """The check, for the place where the ranked depths are kept."""
    return Check(
        id="setting-depth",
        question="May the string hang where it is planned, and is there a better place near it?",
        places=lambda context: setting_places(context, scan_of(context)),
        judge=judge_setting,
    )


def setting_places(context: Context, scan: SettingScan) -> Iterator[tuple[str, Asked]]:
    """The questions, one for each limit that can bind.

    Every motor and protector is asked for its inclination, and every other piece
    that has such a limit; the bending stress is asked of the piece nearest to its
    limit.
    """
    yield "dogleg", Asked(scan, "dogleg")
    yield "a joint off", Asked(scan, "joint")
    rated = {one.id for one in context.job.esp if one.kind in RATED_KINDS}
    rated -= {one.id for one in context.job.esp if _has_none(one.max_inclination_rad.state)}
    for state in scan.planned.candidate.bodies:
        if state.body.inclination_rad is not None or state.body.name in rated:
            yield f"inclination of {state.body.name}", Asked(scan, "inclination", state.body.name)
    yield "bending stress", Asked(scan, "stress")
    yield "in the well", Asked(scan, "well")
    yield "contact model", Asked(scan, "contact")
    yield "other depths", Asked(scan, "others")


def _has_none(state: str) -> bool:
    return state == "not applicable"


def judge_setting(context: Context, asked: Asked) -> Verdict:
    """The verdict on one question."""
    judges: dict[str, Callable[[Context, Asked], Verdict]] = {
        "dogleg": _dogleg,
        "joint": _joint,
        "inclination": _inclination,
        "stress": _stress,
        "well": _well,
        "contact": _contact,
        "others": _others,
    }
    return judges[asked.about](context, asked)


def _taken(scan: SettingScan) -> tuple[str, ...]:
    """What was taken for granted, less that the contact model was not asked."""
    return tuple(one for one in scan.assumptions if "contact model" not in one)


def _at(scan: SettingScan) -> str:
    off = f" ± {scan.length(scan.tolerance_m)}" if scan.tolerance_m else ""
    return f"Y-tool top at {scan.length(scan.planned.top_md_m)}{off} ({scan.datum})"


def _interval(scan: SettingScan, interval_m: tuple[float, float]) -> str:
    upper, lower = (scan.length(md) for md in interval_m)
    return f"{upper.partition(' ')[0]} to {lower}"


def _elsewhere(scan: SettingScan) -> str:
    """What to do about a depth that is too crooked: the nearest help first."""
    one = scan.advised
    if one is not None:
        duty = f"; {DUTY}" if scan.is_far(one) else ""
        return f"set it at {scan.length(one.top_md_m)}: {scan.reason(one)}{duty}"
    if not scan.planned.is_refused:
        window = scan.length(scan.window_m)
        return f"no better depth was found within {window}: keep the depth, and its tolerance"
    return "no depth looked at keeps every limit: ask for the limits, or for other parts"


def _dogleg(_: Context, asked: Asked) -> Verdict:
    scan, planned = asked.scan, asked.scan.planned
    text = (
        f"{_at(scan)}: sharpest along {scan.length(scan.straight.length_m)}"
        f" {scan.dogleg(planned.dogleg_rad_m)} at"
        f" {_interval(scan, planned.candidate.dogleg_interval_md_m)}{_added(scan)}{_tail(scan)}"
    )
    return _bend(scan, planned.dogleg_rad_m, text)


def _added(scan: SettingScan) -> str:
    added = scan.allowance_rad_m
    return (
        f", {scan.dogleg(added)} of it allowance for what the survey does not see" if added else ""
    )


def _tail(scan: SettingScan) -> str:
    tail = scan.planned.tail_rad_m
    return "" if tail is None else f"; along the tail {scan.dogleg(tail)}"


def _bend(scan: SettingScan, value_rad_m: float, text: str) -> Verdict:
    """A dogleg against the strictest limit at setting depth."""
    limit, needs = scan.limits.setting_rad_m, scan.needs("setting", "hole")
    if limit is None:
        return not_checked(*needs or ("a dogleg limit at setting depth",), text=f"{text}.")
    judged = at_most(value_rad_m, limit.value)
    words = f"{text}; limit {scan.dogleg(limit.value)}."
    if needs and judged.status != "exceeds":
        return not_checked(*needs, text=words)
    return Verdict(
        status=judged.status,
        text=words,
        dimension=Dimension.DOGLEG,
        value=value_rad_m,
        limit=limit.value,
        utilisation=judged.utilisation,
        basis=f"limit: {limit.origin}",
        action="" if judged.status == "ok" else _elsewhere(scan),
        assumptions=_taken(scan),
    )


def _joint(_: Context, asked: Asked) -> Verdict:
    scan = asked.scan
    if scan.joint_m is None:
        return not_checked("the joint of the tubing to fit in upper.csv")
    told = "; ".join(f"{name} {_depth(scan, place)}" for name, place in scan.neighbours)
    slide = scan.planned.slide_rad_m
    if slide is None:
        text = f"A joint of {scan.length(scan.joint_m)} off: {told}."
        return not_checked("a survey that goes a joint beyond the string", text=text)
    text = (
        f"Anywhere within a joint of {scan.length(scan.joint_m)} and the tolerance: sharpest"
        f" {scan.dogleg(slide)} ({told})"
    )
    return _bend(scan, slide, text)


def _depth(scan: SettingScan, place: Place | None) -> str:
    if place is None:
        return "not in the survey"
    against = f": {scan.reason(place)}" if place.is_refused else ""
    return f"{scan.length(place.top_md_m)} {scan.dogleg(place.dogleg_rad_m)}{against}"


def _inclination(context: Context, asked: Asked) -> Verdict:
    scan, state = asked.scan, asked.scan.body(asked.piece)
    low, high = state.inclination_rad
    text = f"{state.body.name} would hang at {_angle(context, low)} to {_angle(context, high)}"
    limit = state.body.inclination_rad
    if limit is None:
        return not_checked(f"max inclination of ESP piece {asked.piece}", text=f"{text}.")
    judged = at_most(high, limit.value)
    words = f"{text}; rated to {_angle(context, limit.value)}."
    unseen = scan.needs("hole")
    if unseen and judged.status != "exceeds":
        return not_checked(*unseen, text=words)
    return Verdict(
        status=judged.status,
        text=words,
        dimension=Dimension.ANGLE,
        value=high,
        limit=limit.value,
        utilisation=judged.utilisation,
        basis=f"limit: {limit.origin}",
        action="" if judged.status == "ok" else _elsewhere(scan),
        assumptions=_taken(scan),
    )


def _angle(context: Context, angle_rad: float) -> str:
    return show(angle_rad, Dimension.ANGLE, context.job.units)


def _stress(context: Context, asked: Asked) -> Verdict:
    scan, needs = asked.scan, asked.scan.needs("stress")
    known = [
        (state.stress_pa / limit.value if limit.value else float("inf"), state, limit)
        for state in scan.planned.candidate.bodies
        if (limit := state.body.stress_pa) is not None and state.stress_pa is not None
    ]
    if not known:
        return not_checked(*needs or ("a bending stress limit of an ESP piece",))
    _, state, limit = max(known, key=lambda one: one[0])
    return _stressed(context, scan, state, limit, needs)


def _stressed(
    context: Context, scan: SettingScan, state: BodyState, limit: Limit, needs: tuple[str, ...]
) -> Verdict:
    value = state.stress_pa or 0.0
    judged = at_most(value, limit.value)
    stress, most = (stress_text(one, context.job.units) for one in (value, limit.value))
    text = (
        f"Nearest to its limit is {state.body.name}: {stress} at {scan.dogleg(state.dogleg_rad_m)},"
        f" limit {most}."
    )
    if needs and judged.status != "exceeds":
        return not_checked(*needs, text=text)
    return Verdict(
        status=judged.status,
        text=text,
        dimension=Dimension.PRESSURE,
        value=value,
        limit=limit.value,
        utilisation=judged.utilisation,
        basis=f"limit: {limit.origin}; stress: E kappa OD / 2, steel of 30 million psi",
        action="" if judged.status == "ok" else _elsewhere(scan),
        assumptions=(_STRESS, *_taken(scan)),
    )


def _well(_: Context, asked: Asked) -> Verdict:
    scan, planned = asked.scan, asked.scan.planned
    wrong = [one.words for one in planned.bounds if not one.unknown]
    needs = (*scan.needs("well"), *(one.removeprefix("needs ") for one in planned.unknown))
    if wrong:
        text = f"{_at(scan)}: {'; '.join(wrong)}."
        return Verdict(status="exceeds", text=text, basis="physics", action=_elsewhere(scan))
    if needs:
        return not_checked(*needs)
    deepest = min(
        (one for one in scan.bounds if one.lowest), key=lambda one: one.top_md_m, default=None
    )
    room = "" if deepest is None else _room(scan, deepest.top_md_m, deepest.words)
    return Verdict(
        status="ok",
        text=f"{_at(scan)} enters no bore narrower than its pieces and no perforations{room}.",
        basis="drift of the pipe; the fit of both strings is asked of every cross-section",
        assumptions=_taken(scan),
    )


def _room(scan: SettingScan, top_md_m: float, words: str) -> str:
    below = scan.length(top_md_m - scan.planned.top_md_m)
    return f"; {below} deeper {words}"


def _contact(context: Context, asked: Asked) -> Verdict:
    scan = asked.scan
    asked_at = [("planned", scan.planned), *scan.neighbours]
    found = [(n, p.contact) for n, p in asked_at if p is not None and p.contact is not None]
    if not found:
        return not_checked("the contact model at the planned depth and a joint off")
    open_ = [f"{name}: {one.state}" for name, one in found if one.moment_ratio is None]
    if open_:
        return not_checked("the contact model there", text="; ".join(open_) + ".")
    name, worst = max(found, key=lambda one: one[1].moment_ratio or 0.0)
    ratio = worst.moment_ratio or 0.0
    judged = at_most(ratio, 1.0)
    text = "; ".join(_told(context, name, one) for name, one in found) + "."
    unseen = scan.needs("hole")
    if unseen and judged.status != "exceeds":
        return not_checked(*unseen, text=text)
    return Verdict(
        status=judged.status,
        text=text,
        dimension=Dimension.RATIO,
        value=ratio,
        limit=1.0,
        utilisation=judged.utilisation,
        basis="contact of both strings in the hole at every roll looked at",
        action="" if judged.status == "ok" else f"{name}: {_elsewhere(scan)}",
    )


def _told(context: Context, name: str, one: ContactResult) -> str:
    at = f" ({one.moment_at})" if one.moment_at else ""
    ratio = 0.0 if one.moment_ratio is None else one.moment_ratio
    words = f"{name}: {100 * ratio:.0f} % of the moment that may be carried{at}"
    if one.side_force_n is None:
        return f"{words}, {one.state}"
    on = f" ({one.side_force_at})" if one.side_force_at else ""
    return f"{words}, side force {context.load(one.side_force_n)}{on}, {one.state}"


def _others(_: Context, asked: Asked) -> Verdict:
    scan, near, planned = asked.scan, asked.scan.nearby[0], asked.scan.planned
    better = not near.is_planned and near.rank_key[:4] < planned.rank_key[:4]
    text = " ".join(one for one in setting_words(scan) if "contact model" not in one)
    unseen = scan.needs("hole")
    if unseen and not (better or planned.is_refused):
        return not_checked(*unseen, text=text)
    return Verdict(
        status="near limit" if better or planned.is_refused else "ok",
        text=text,
        basis=f"ranked by limits kept, a joint off, dogleg in steps of {scan.dogleg(SAME_RAD_M)},"
        " then distance to the planned depth; looked for within a joint first, then within"
        f" {scan.length(scan.window_m)}: common practice",
        action=_elsewhere(scan) if better or planned.is_refused else "",
        assumptions=_taken(scan),
    )
