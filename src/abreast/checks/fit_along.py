"""Does what lies close together along the string pass as one?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from abreast.checks.base import Check, Context, Verdict, not_checked
from abreast.checks.fit_drift import Way, lacking, ways
from abreast.checks.fit_once import fit_of
from abreast.checks.fit_words import assumed, corner_needs, rooms, told
from abreast.mechanics.fit import Fit
from abreast.mechanics.fit_along import Along, Stretch, fit_along
from abreast.mechanics.passages import Passage
from abreast.units import Dimension

__all__ = ["FIT_ALONG"]

_SAME_M = 1e-6


@dataclass(frozen=True, slots=True)
class _Close:
    """One bore as the drift is asked for, and what lies close together in it."""

    way: Way
    along: Along | None = None


def _places(context: Context) -> Iterator[tuple[str, _Close]]:
    found = fit_of(context)
    made = {id(way): one for way, one in zip(found.clearances, fit_along(found), strict=True)}
    for name, way in ways(context):
        if way.clearance is None or not way.clearance.passage.behind:
            yield name, _Close(way, made.get(id(way.clearance)))


def _judge(context: Context, close: _Close) -> Verdict:
    answer, along = lacking(context, close.way), close.along
    if answer is not None or along is None:
        return answer or not_checked("a piece that passes it")
    return _too_wide(context, close.way.found, along) or _under(context, close.way.found, along)


def _too_wide(context: Context, found: Fit, along: Along) -> Verdict | None:
    way = along.passage
    if not _over(along.together.diameter_m, way):
        return None
    if missing := corner_needs(found, along.together):
        return not_checked(*missing, text=_text(context, along))
    if _over(along.alone.diameter_m, way):
        return _exceeds(
            context, found, along, "it is too wide by itself: see the question of the drift"
        )
    if way.bore_m is not None and along.meeting.diameter_m > way.bore_m:
        wanted = context.small(along.meeting.diameter_m)
        return _exceeds(
            context,
            found,
            along,
            f"it does not pass: what meets needs more than {wanted}, or smaller parts, or parts"
            " in line with one another",
        )
    return _open(context, found, along)


def _over(diameter_m: float, way: Passage) -> bool:
    return any(size_m is not None and diameter_m > size_m for size_m in (way.bore_m, way.drift_m))


def _exceeds(context: Context, found: Fit, along: Along, action: str) -> Verdict:
    return replace(_verdict(context, found, along), status="exceeds", action=action)


def _open(context: Context, found: Fit, along: Along) -> Verdict:
    """Each part passes by itself, and nobody knows whether they do together."""
    made = _verdict(context, found, along)
    missing = dict.fromkeys((*_proofs(context, along), *along.passage.needs, *along.needs))
    asked = not_checked(*missing, text=made.text)
    return replace(
        made,
        status=asked.status,
        text=asked.text,
        needs=asked.needs,
        utilisation=None,
        action="prove it before the string is run, or bring these parts in line or farther apart;"
        " passage-narrow tells how far the string bends there",
    )


def _proofs(context: Context, along: Along) -> Iterator[str]:
    """What would show that it passes."""
    way, wide_m = along.passage, along.together.diameter_m
    dummy = f"a dummy of equal stiffness and length run through {way.name}"
    if way.bore_m is not None and wide_m > way.bore_m:
        yield f"{dummy}, since straight these parts are wider than its bore"
        return
    wanted_m = wide_m + context.job.rules.envelope_margin_m.or_else(0.0)
    if way.bore_m is not None and wanted_m > way.bore_m:
        wanted_m = wide_m
    kind = "special drift" if way.kind == "casing" else "drift"
    yield f"a {kind} of {context.small(wanted_m)} proved in {way.name}, or {dummy}"


def _under(context: Context, found: Fit, along: Along) -> Verdict:
    """What is known passes; whether all is known."""
    if missing := (*along.passage.needs, *along.needs):
        return not_checked(*dict.fromkeys(missing), text=_text(context, along))
    made, margin_m = _verdict(context, found, along), context.job.rules.envelope_margin_m.si
    if (along.passage.drift_m or 0.0) - along.together.diameter_m >= margin_m:
        return made
    return replace(
        made,
        status="near limit",
        action=f"less than the margin of {context.small(margin_m)}: measure what decides it,"
        " or gauge the way down",
    )


def _verdict(context: Context, found: Fit, along: Along) -> Verdict:
    way, wide_m = along.passage, along.together.diameter_m
    limit_m = way.drift_m if way.drift_m is not None else way.bore_m
    return Verdict(
        status="ok",
        text=_text(context, along),
        dimension=Dimension.LENGTH,
        value=wide_m,
        limit=limit_m,
        utilisation=wide_m / limit_m if limit_m else None,
        basis=_basis(context, way),
        assumptions=(
            *assumed(context, found),
            "parts within that length do not lean, bend or shift against one another",
        ),
    )


def _basis(context: Context, way: Passage) -> str:
    if way.straight_m <= 0:
        return "physics: smallest circle round what meets"
    length = context.small(way.straight_m)
    if way.kind == "casing":
        return f"drift mandrel of {length}, API Spec 5CT; smallest circle round all within it"
    return f"smallest circle round all within {length}, as in a casing or as long as it is"


def _text(context: Context, along: Along) -> str:
    way, wide_m, alone_m = along.passage, along.together.diameter_m, along.alone.diameter_m
    room = rooms(context, way, wide_m)
    if wide_m - alone_m <= _SAME_M:
        return (
            f"Close together nothing needs more than the widest by itself,"
            f" {told(context, along.alone)}, {context.small(alone_m)}: {room}."
        )
    text = f"{_named(context, along.together)} need {context.small(wide_m)}: {room}."
    meet_m = along.meeting.diameter_m
    if alone_m + _SAME_M < meet_m < wide_m - _SAME_M:
        text = f"{text} {_named(context, along.meeting)} need {context.small(meet_m)}."
    return f"{text} Widest by itself {context.small(alone_m)}."


def _named(context: Context, stretch: Stretch) -> str:
    """Which shapes decide, how far apart they are, and where."""
    names = " + ".join(dict.fromkeys(shape.name for shape in stretch.deciding))
    low_m, high_m = stretch.facing_m
    gap_m = high_m - low_m
    apart = f"{context.small(gap_m)} apart" if gap_m > _SAME_M else "where they meet"
    side = "above" if low_m >= 0 else "below"
    return f"{names}, {apart} at {context.length(abs(low_m))} {side} the ESP's lower face,"


FIT_ALONG = Check(
    id="fit-along",
    question="Does what lies close together along the string pass as one?",
    places=_places,
    judge=_judge,
    basis="physics: smallest circle round all within the length of the drift mandrel",
)
