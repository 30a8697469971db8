"""Does each wanted tool string pass the bypass?"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked, plural
from abreast.mechanics.access_words import place_words
from abreast.mechanics.bypass_tools import StringPassage, ToolPassages, tool_passages
from abreast.mechanics.tool_passage import Passage
from abreast.mechanics.tool_strings import StiffLength
from abreast.units import Dimension

__all__ = ["TOOL_PASSAGE", "tool_passage_check"]

Source = Callable[[Context], ToolPassages]


@dataclass(frozen=True, slots=True)
class _Asked:
    """One tool string, and all that is known of the way."""

    found: ToolPassages
    string: StringPassage


def tool_passage_check(passages_of: Source) -> Check[_Asked]:
    """The check, with the function that gives the passages of a context."""

    def places(context: Context) -> Iterator[tuple[str, _Asked]]:
        if context.job.tools:
            yield from _places(passages_of(context))

    return Check(
        id="tool-passage",
        question="Does the tool string pass the bypass, out of its end or as far as it is run?",
        places=places,
        judge=_judge,
        basis="straight body in a plane channel, each stiff length between knuckles; clearance of"
        " the rules",
        needs="the tools in tools.csv",
    )


def _places(found: ToolPassages) -> Iterator[tuple[str, _Asked]]:
    for string in found.strings:
        yield string.name, _Asked(found, string)
    if not found.strings:
        yield "", _Asked(found, StringPassage("", "", (), needs=found.needs))


def _judge(context: Context, asked: _Asked) -> Verdict:
    string, way = asked.string, asked.found.way
    if string.needs or way is None:
        return not_checked(*(string.needs or asked.found.needs))
    verdict = _judged(context, asked)
    if way.needs and verdict.status in ("ok", "near limit"):
        return not_checked(*way.needs, text=verdict.text)
    return verdict


def _judged(context: Context, asked: _Asked) -> Verdict:
    string = asked.string
    pairs = list(zip(string.lengths, string.passages, strict=True))
    for verdict, answer in (
        ("does not pass", _stopped),
        ("not checked", _unknown),
        ("passes bent", _bent),
    ):
        hit = [pair for pair in pairs if pair[1].verdict == verdict]
        if hit:
            return answer(context, asked, min(hit, key=lambda pair: pair[1].room_m))
    return _straight(context, asked)


_Pair = tuple[StiffLength, Passage]


def _straight(context: Context, asked: _Asked) -> Verdict:
    """The stiff length that is nearest to the longest of its diameter."""
    string = asked.string
    length, passage, longest_m = max(
        zip(string.lengths, string.passages, string.longest_m, strict=True),
        key=lambda one: one[0].stiff.length_m / one[2],
    )
    judged = at_most(length.stiff.length_m, longest_m)
    spare, most = context.small(passage.room_m), context.length(longest_m)
    return Verdict(
        status=judged.status,
        text=f"Passes straight{_as_far(string)}. Of {plural(len(string.lengths), 'stiff length')}"
        f" the nearest to its limit is {_size(context, (length, passage))}: {spare} to spare beyond"
        f" the clearance at {_place(context, asked, (length, passage))}; the longest of that"
        f" diameter is {most}.",
        dimension=Dimension.LENGTH,
        value=length.stiff.length_m,
        limit=longest_m,
        utilisation=judged.utilisation,
        assumptions=asked.found.assumptions,
    )


def _as_far(string: StringPassage) -> str:
    return f" as far as above {string.run_to}" if string.run_to else ""


def _bent(context: Context, asked: _Asked, tightest: _Pair) -> Verdict:
    length, passage = tightest
    force_n, limit_n = passage.force_n, length.side_load_n
    assert force_n is not None
    text = f"{_must_bend(context, asked, tightest)}: {context.load(force_n)} from the side"
    if limit_n is None:
        need = f"side_load of {passage.name} in tools.csv"
        return not_checked(need, text=f"Passes only bent. {text}; nobody says what it may bear.")
    judged = at_most(force_n, limit_n)
    return Verdict(
        status=judged.status,
        text=f"Passes only bent. {text}; it may bear {context.load(limit_n)}.",
        dimension=Dimension.FORCE,
        value=force_n,
        limit=limit_n,
        utilisation=judged.utilisation,
        assumptions=asked.found.assumptions,
    )


def _unknown(context: Context, asked: _Asked, tightest: _Pair) -> Verdict:
    if tightest[1].force_n is not None:
        return _bent(context, asked, tightest)
    text = f"Passes only bent, if at all. {_must_bend(context, asked, tightest)}."
    return not_checked(f"ei of {tightest[1].name} in tools.csv", text=text)


def _stopped(context: Context, asked: _Asked, tightest: _Pair) -> Verdict:
    length, passage = tightest
    if passage.force_n is None:
        text = (
            f"{_size(context, tightest)} is {context.small(-passage.room_m)} too thick, clearance"
            f" counted, for {_place(context, asked, tightest)}."
        )
        return Verdict(
            status="exceeds",
            text=text,
            dimension=Dimension.LENGTH,
            value=length.stiff.od_m,
            limit=length.stiff.od_m + passage.room_m,
            utilisation=length.stiff.od_m / (length.stiff.od_m + passage.room_m),
            action="a thinner tool, or say in tools.csv that it is run to a place above",
            assumptions=asked.found.assumptions,
        )
    limit_n = length.side_load_n or 0.0
    return Verdict(
        status="exceeds",
        text=f"{_must_bend(context, asked, tightest)}: {context.load(passage.force_n)} from"
        f" the side; it may bear {context.load(limit_n)}.",
        dimension=Dimension.FORCE,
        value=passage.force_n,
        limit=limit_n,
        utilisation=passage.force_n / limit_n if limit_n else None,
        action=f"a knuckle in {passage.name}, or a shorter or thinner tool",
        assumptions=asked.found.assumptions,
    )


def _must_bend(context: Context, asked: _Asked, pair: _Pair) -> str:
    bend = context.small(-pair[1].room_m)
    place = _place(context, asked, pair)
    return f"{_size(context, pair)}, must bend {bend} at {place}, to keep its clearance"


def _size(context: Context, pair: _Pair) -> str:
    stiff = pair[0].stiff
    return f"{stiff.name}, {context.length(stiff.length_m)} by {context.small(stiff.od_m)}"


def _place(context: Context, asked: _Asked, pair: _Pair) -> str:
    way = asked.found.way
    assert way is not None
    place = place_words(context.job, way, pair[1].where, pair[1].depth_m)
    return f"{place} from {way.datum}"


def _worked_out(context: Context) -> ToolPassages:
    """As worked out with the string in its well, else with the curvature of the hole alone."""
    if context.down_hole is not None:
        return context.tools()
    return tool_passages(context.job, context.assembly)


TOOL_PASSAGE = tool_passage_check(_worked_out)
