"""The string in its well on the first screen: a few whole sentences for each of four topics."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import chain
from math import degrees
from typing import NamedTuple

from abreast.actions.report import counted, finding_counts
from abreast.checks.passing_narrow import narrow_in_short
from abreast.documents import brief, missing
from abreast.documents.brief import part_used
from abreast.documents.verdict import TOPICS, nearest, of_topic
from abreast.documents.well_worst import worst_moments
from abreast.mechanics.down_hole import DownHole
from abreast.mechanics.hook_forecast import HookForecast
from abreast.mechanics.passing_limits import Bent, worst_bent
from abreast.mechanics.running_in import RunIn
from abreast.mechanics.setting_places import SettingScan
from abreast.mechanics.setting_words import no_room
from abreast.mechanics.twin_beam_solve import LEANS
from abreast.mechanics.twin_beam_sweep import Place
from abreast.model import Finding, Job
from abreast.units import Dimension, show

__all__ = ["Told", "well_topics"]

_BENDS = ("passage-moment", "passage-crooked")
_KEPT = ("ok", "near limit")
_Words = Callable[[Job, DownHole | None, Sequence[Finding], Finding | None], str]


class Told(NamedTuple):
    """The sentences of a topic, and the ids of the findings that they tell."""

    text: str
    ids: frozenset[str]


def well_topics(job: Job, findings: Sequence[Finding], well: DownHole | None) -> Iterator[Told]:
    """What came of each topic that was asked about: the verdict first.

    Parameters
    ----------
    job : Job
        Its units, its limits.
    findings : sequence of Finding
        All of the plan, tightest first.
    well : DownHole or None
        What was worked out; without it a topic is told by its findings alone.
    """
    for topic, own_words in zip(TOPICS, _WORDS, strict=True):
        asked = of_topic(topic, findings)
        if not asked:
            continue
        near = nearest(asked)
        words = (
            _verdict(asked, near),
            own_words(job, well, asked, near),
            _open(asked),
        )
        text = " ".join(one for one in (f"{topic.name}:", *words) if one)
        first = next((one for one in asked if one.status == "not checked"), None)
        yield Told(text, frozenset(one.id for one in (near, first) if one is not None))


def _verdict(asked: Sequence[Finding], near: Finding | None) -> str:
    """Whether a limit is exceeded, and how much of one is used at most."""
    counts = finding_counts(asked)
    if counts["exceeds"]:
        return f"{counted(counts['exceeds'], 'LIMIT')} EXCEEDED, see EXCEEDS below."
    if near is not None:
        use = part_used(near.utilisation or 0.0)
        return f"every limit that was checked is kept, {use} used at most."
    return "no limit was checked." if counts["not checked"] else ""


def _open(asked: Sequence[Finding]) -> str:
    """How many answers are missing, and what the first of them needs."""
    missing_ = [one for one in asked if one.status == "not checked"]
    return f"{len(missing_)} NOT CHECKED, first: {missing(missing_[0])}." if missing_ else ""


# --- way down -----------------------------------------------------------------------


def _way_down(
    job: Job, well: DownHole | None, asked: Sequence[Finding], near: Finding | None
) -> str:
    running = None if well is None else well.running
    if not isinstance(running, RunIn):
        return _own_words(job, near)
    narrow = _prove_first(job, running, asked)
    bends = [one for one in (_worst_moment(job, running), _worst_crooked(job, running)) if one]
    if not bends:
        return " ".join(one for one in (narrow, _own_words(job, near), _held(running)) if one)
    is_bend = near is not None and near.id.partition(":")[0] in _BENDS
    other = "" if is_bend else _own_words(job, near)
    return " ".join(one for one in (narrow, other, max(bends)[1], _held(running)) if one)


def _prove_first(job: Job, running: RunIn, asked: Sequence[Finding]) -> str:
    """What narrower casing would do, where it is not known to let the string pass."""
    open_ = any(
        one.id.startswith("passage-narrow") and one.status == "not checked" for one in asked
    )
    told = narrow_in_short(job, running) if open_ else ""
    return f"PROVE FIRST, {told}." if told else ""


def _own_words(job: Job, near: Finding | None) -> str:
    return "" if near is None else f"Nearest: {brief(near, job.units)}"


def _worst_moment(job: Job, running: RunIn) -> tuple[float, str] | None:
    """How much of a moment is used on the way, and the sentence that tells it."""
    for one in worst_moments(job, running):
        if one.limit is not None and one.place is not None:
            return one.use, _bent(job, one.what, (one.value, one.limit), one.place, one.way)
    return None


def _worst_crooked(job: Job, running: RunIn) -> tuple[float, str] | None:
    """The same, with the dogleg added that the survey does not see."""
    found: list[tuple[Place, Bent]] = [
        (place, worst)
        for place in running.crooked
        if place.found and (worst := worst_bent(job, place)) is not None
    ]
    if not found or job.survey_head is None:
        return None
    place, worst = max(found, key=lambda one: one[1].use)
    added = show(job.survey_head.tortuosity_rad_m.or_else(0.0), Dimension.DOGLEG, job.units)
    way = f"with {added} added to every bend, lowering"
    return worst.use, _bent(job, worst.name, (worst.moment_nm, worst.limit.si), place, way)


def _bent(job: Job, what: str, held: tuple[float, float], place: Place, way: str) -> str:
    moment, most = (show(one, Dimension.TORQUE, job.units) for one in held)
    depth = show(place.md_m, Dimension.LENGTH, job.units, digits=0)
    use = f"{100 * held[0] / max(held[1], 1e-9):.0f} %"
    return (
        f"Bending, {use}: {what}, {moment} of {most}, {way}, Y-tool top at {depth},"
        f" roll {degrees(place.roll_rad):.0f}°."
    )


def _held(running: RunIn) -> str:
    """Where the string does not stand by itself, or has no shape at all."""
    places = list(chain(running.down, running.up, running.hung))
    lean, lost = (
        sum(test(one) for one in places)
        for test in (lambda one: one.state == LEANS, lambda one: not one.found)
    )
    told = [
        f"{words} at {some} of {len(places)} places"
        for words, some in (("held by the casing only", lean), ("no shape was found", lost))
        if some
    ]
    text = ", ".join(told)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


# --- setting depth, hook load, tools ------------------------------------------------


def _set_there(
    job: Job, well: DownHole | None, asked: Sequence[Finding], near: Finding | None
) -> str:
    scan = None if well is None else well.setting
    if not isinstance(scan, SettingScan):
        return _own_words(job, near)
    over = any(one.status == "exceeds" for one in asked)
    what = "" if near is None or over else f"Nearest: {near.where}. "
    return f"{what}{_planned(scan)}"


def _planned(scan: SettingScan) -> str:
    planned, count, good = scan.planned, len(scan.places), scan.unrefused
    at = f"Y-tool top at {scan.length(planned.top_md_m)}"
    if not planned.is_refused:
        rank = f"rank {scan.rank(planned)} of {count} depths, {good} of which break none"
        other = rank if count > 1 else "no other depth was looked at"
        return f"{at} breaks no limit that was given; {other}."
    if not good and (why := no_room(scan)):
        return why
    if scan.advised is None:
        return f"{at} breaks a limit; so do {count - good} of {count} depths, none is advised."
    better = scan.length(scan.advised.top_md_m)
    return f"{at} breaks a limit; the nearest help is {better}, see findings.csv."


def _hook(job: Job, well: DownHole | None, _: Sequence[Finding], near: Finding | None) -> str:
    hook = None if well is None else well.hook
    if not isinstance(hook, HookForecast):
        return _own_words(job, near)
    up, down, weakest = hook.greatest_up, hook.least_down, hook.weakest
    depth = show(up.ytool_md_m, Dimension.LENGTH, job.units, digits=0)
    block = f", {_load(job, up.up_n + hook.block_n)} with block and bails" if hook.block_n else ""
    text = f"Picking up at most {_load(job, up.up_n)}{block}, Y-tool top at {depth}"
    if weakest is not None and weakest.rating_n:
        text += f"; tightest: {weakest.name}, {_load(job, weakest.rating_n)}"
    low = show(down.ytool_md_m, Dimension.LENGTH, job.units, digits=0)
    share = "" if down.left_ratio is None else f", {100 * down.left_ratio:.0f} %"
    return (
        f"{text}. Least left slacking off{share}: {_load(job, down.down_n)} of"
        f" {_load(job, down.still_n)} hanging, at {down.name} (no. {down.number}), Y-tool top at"
        f" {low}."
    )


def _load(job: Job, load_n: float) -> str:
    return show(load_n, Dimension.FORCE, job.units)


def _tools(job: Job, _: DownHole | None, asked: Sequence[Finding], near: Finding | None) -> str:
    runs = [one for one in asked if one.id.startswith("tool-passage:")]
    kept = [one.where for one in runs if one.status in _KEPT]
    passed = f"Of {counted(len(runs), 'tool string')} {len(kept)} pass: {', '.join(kept)}."
    bores = [one.text for one in asked if one.id.startswith("smallest-bore") and one.status == "ok"]
    bore = f"Smallest bore of the bypass {bores[0].partition('. Above it')[0]}." if bores else ""
    return f"{passed if kept else ''} {bore}".strip()


_WORDS: tuple[_Words, ...] = (_way_down, _set_there, _hook, _tools)
