"""Does every piece pass the sharpest dogleg on its way down?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked
from abreast.checks.setting_depth import Source
from abreast.mechanics.setting_depth import Limit
from abreast.mechanics.setting_places import Passed, SettingScan
from abreast.units import Dimension

__all__ = ["Way", "dogleg_check", "judge_dogleg", "ways"]


@dataclass(frozen=True, slots=True)
class Way:
    """Pieces with one limit, and the sharpest dogleg that one of them passes."""

    scan: SettingScan
    passed: Passed
    pieces: tuple[str, ...] = ()


def dogleg_check(scan_of: Source) -> Check[Way]:
    """The check, for the place where the ranked depths are kept."""
    return Check(
        id="dogleg",
        question="Does every piece pass the sharpest dogleg on its way to its depth?",
        places=lambda context: ways(context, scan_of(context)),
        judge=judge_dogleg,
    )


def ways(context: Context, scan: SettingScan) -> Iterator[tuple[str, Way]]:
    """The whole string by the rules, then the ESP pieces, those of one limit together."""
    none = {one.id for one in context.job.esp if one.pass_dogleg_rad_m.state == "not applicable"}
    groups: dict[Limit | None, list[Passed]] = {}
    for one in scan.passed:
        if not one.piece:
            yield "whole string", Way(scan, one)
        elif one.piece not in none:
            groups.setdefault(one.limit, []).append(one)
    for group in groups.values():
        names = tuple(one.piece for one in group)
        yield ", ".join(names), Way(scan, max(group, key=lambda one: one.dogleg_rad_m), names)


def judge_dogleg(_: Context, way: Way) -> Verdict:
    """The sharpest dogleg that they pass, against what they may pass."""
    scan, passed = way.scan, way.passed
    text, limit = _text(way), passed.limit
    if limit is None:
        needs = [f"pass dogleg of {name}" for name in way.pieces]
        return not_checked(*needs or ("max dogleg pass of the rules",), text=f"{text}.")
    judged = at_most(passed.dogleg_rad_m, limit.value)
    words = f"{text}; limit {scan.dogleg(limit.value)}."
    unseen = [need for need in scan.needs("passing") if need.startswith("the survey")]
    if unseen and judged.status != "exceeds":
        return not_checked(*unseen, text=words)
    return Verdict(
        status=judged.status,
        text=words,
        dimension=Dimension.DOGLEG,
        value=passed.dogleg_rad_m,
        limit=limit.value,
        utilisation=judged.utilisation,
        basis=f"limit: {limit.origin}",
        action=_action(judged.status),
        assumptions=tuple(one for one in scan.assumptions if "tortuosity" in one),
    )


def _text(way: Way) -> str:
    scan, passed = way.scan, way.passed
    upper, lower = (scan.length(md) for md in passed.interval_md_m)
    added = f", {scan.dogleg(scan.allowance_rad_m)} of it allowance" if scan.allowance_rad_m else ""
    return (
        f"Sharpest on the way down to {scan.length(passed.foot_md_m)} ({scan.datum}):"
        f" {scan.dogleg(passed.dogleg_rad_m)} at {upper.partition(' ')[0]} to {lower}{added}"
    )


def _action(status: str) -> str:
    if status == "exceeds":
        return "do not run it through: other parts, or the contact model and the maker's word"
    return (
        "slow there, and look at moments and side forces in the contact model"
        if status != "ok"
        else ""
    )
