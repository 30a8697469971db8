"""The verdict in a box: what exceeds, what was kept and how nearly, what to prove first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from abreast.documents.attention import by_check
from abreast.documents.brief import asked, brief, missing, part_used
from abreast.documents.workpack_words import Data
from abreast.model import Finding, Plan
from abreast.units import System

__all__ = ["TOPICS", "Topic", "nearest", "of_topic", "verdict_box"]

_KEPT = ("ok", "near limit")
_MOST = 4


class Topic(NamedTuple):
    """A topic of the well: its name, and the beginnings of the names of its checks."""

    name: str
    checks: tuple[str, ...]


TOPICS = (
    Topic("Way down", ("passage", "dogleg", "rigid-passage")),
    Topic("Set there", ("setting-depth",)),
    Topic("Hook load", ("hook-load",)),
    Topic("Tools", ("tool-passage", "smallest-bore")),
)


def of_topic(topic: Topic, findings: Sequence[Finding]) -> list[Finding]:
    """The findings that belong to a topic, in their order."""
    return [one for one in findings if one.id.partition(":")[0].startswith(topic.checks)]


def nearest(findings: Sequence[Finding]) -> Finding | None:
    """The answer that is nearest to its limit, of those that keep it."""
    rated = [one for one in findings if one.utilisation is not None and one.status in _KEPT]
    return max(rated, key=lambda one: one.utilisation or 0.0, default=None)


def verdict_box(plan: Plan, system: System, narrow: str = "") -> Data:
    """What exceeds, what was kept, and what must be proved first, as plain data.

    Parameters
    ----------
    plan : Plan
        Its findings stand tightest first, the gravest of the open ones first.
    system : {"oilfield", "SI"}
        Units of the figures.
    narrow : str
        The trials of narrower casing in a sentence; blank: none.

    Returns
    -------
    dict
        ``exceeded`` and ``first``, sentences, the latter one for each check; how many
        more exceed, ``exceeded_more``; of how many checks something is ``open``; ``kept``,
        how much of a limit is used at most by topic, blank if none was kept.
    """
    open_ = by_check([one for one in plan.findings if one.status == "not checked"])
    over = [one for one in plan.findings if one.status == "exceeds"]
    return {
        "exceeded": [_over(one, system) for one in over[:_MOST]],
        "exceeded_more": max(len(over) - _MOST, 0),
        "kept": ", ".join(_kept(plan.findings)),
        "first": [_open(group, narrow) for group in open_[:_MOST]],
        "open": len(open_),
    }


def _over(finding: Finding, system: System) -> str:
    words = brief(finding, system)
    return words if words.startswith(finding.question) else f"{asked(finding)} {words}"


def _kept(findings: Sequence[Finding]) -> Iterator[str]:
    """How much of a limit is used at most, topic by topic, then in all other checks."""
    rest = list(findings)
    for topic in TOPICS:
        own = of_topic(topic, findings)
        told = {id(one) for one in own}
        rest = [one for one in rest if id(one) not in told]
        yield from _most(topic.name.lower(), own)
    yield from _most("all else", rest)


def _most(name: str, findings: Sequence[Finding]) -> Iterator[str]:
    near = nearest(findings)
    if near is not None:
        yield f"{name} {part_used(near.utilisation or 0.0)}"


def _open(group: Sequence[Finding], narrow: str) -> str:
    """What is open of one check; of narrower casing with its numbers."""
    first, more = group[0], len(group) - 1
    others = f"; and {more} more like it" if more else ""
    if narrow and first.id.startswith("passage-narrow"):
        return f"{narrow[:1].upper()}{narrow[1:]}. {_needs(first)}{others}"
    return f"{first.question} {missing(first)}{others}"


def _needs(finding: Finding) -> str:
    return f"Needs {'; '.join(finding.needs)}" if finding.needs else missing(finding)
