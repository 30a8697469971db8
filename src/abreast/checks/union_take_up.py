"""What taking up the union does: force for a quarter turn, and who then carries what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked, plural
from abreast.errors import MissingInputError
from abreast.mechanics.load_lines import plate_hold, read_pair
from abreast.mechanics.load_share import (
    Hold,
    Pair,
    Share,
    forces,
    gripped_union,
    held_share,
    misfit_for,
    share,
    top_hung,
)
from abreast.model import Job, PlacedClamp, Quantity, esp_string, rack_item
from abreast.spaceout.assemble import BASE_ID, UNION_ID
from abreast.units import Dimension

__all__ = ["UNION_TAKE_UP"]

_FRAME = ("quarter turn", "whole load", "union", "bypass", "ESP on the plate", "ESP on the Y-tool")
_HUNG = ("union", "bypass", "ESP on the Y-tool")
_MODEL = "weight in air and elastic stretch; heat, pressure and drag are not in it"
_SLIDES = "twin clamps are taken to slide along the strings"
_GRIPS = "with all that twin clamps which grip can add, as if it reached the foot"
_BOTH_WAYS = "ratings taken for pull and push alike; buckling is not in it"
_Y_TOOL = "Y-tool taken as rigid"


@dataclass(frozen=True, slots=True)
class Rated:
    """A link with the greatest force in it [N] and its rating [N]."""

    name: str
    force_n: float
    rating_n: Quantity


@dataclass(frozen=True, slots=True)
class State:
    """One way the frame hangs: where it is held, who carries what, and the dynamic factor.

    ``gripped``: with all that the twin clamps can add to the force of the union.
    """

    hold: Hold | None
    share: Share
    factor: float
    gripped: bool = False


def _places(context: Context) -> Iterator[tuple[str, str]]:
    names = _HUNG if context.job.is_top_hung else _FRAME
    yield from ((name, name) for name in names)
    base = context.job.base
    if base is not None and base.retainer_load_n.state != "not applicable":
        yield "guide retainer", "guide retainer"


def _judge(context: Context, place: str) -> Verdict:
    pair = read_pair(context.job, context.assembly)
    if place == "quarter turn":
        return _quarter(context, pair)
    if place == "whole load":
        return _whole(context, pair)
    states = list(_states(context, pair))
    if place == "ESP on the plate":
        states = [one for one in states if one.hold is not None]
    elif place == "ESP on the Y-tool":
        states = [one for one in states if one.hold is None]
    verdict = _rated(context, pair, place, states)
    if verdict.status in ("ok", "not checked") or not (open_grips := _open_grips(context)):
        return verdict
    # It may be only the bound for clamps that never slip: then their grip decides.
    sliding = _rated(context, pair, place, [one for one in states if not one.gripped])
    return sliding if sliding.status == "exceeds" else not_checked(*open_grips)


def _open_grips(context: Context) -> tuple[str, ...]:
    """Twin clamps that may tie both strings, by a grip that nobody has stated."""
    if context.job.is_top_hung:
        return ()
    grip = {clamp.id: clamp.grip_load_n for clamp in context.job.clamps}
    tight = [clamp.id for clamp in _tight(context, _hold(context))]
    return tuple(grip[one].label for one in tight if not grip[one].is_given)


# --- force for a turn ----------------------------------------------------------------------


def _quarter(context: Context, pair: Pair) -> Verdict:
    hold = _hold(context)
    step_m = context.job.union.travel_per_turn_m.si / 4
    force_n = step_m * pair.stiffness_n_m
    judged = at_most(force_n, pair.hanging_n)
    return Verdict(
        status=judged.status,
        text=f"A quarter turn takes up {context.small(step_m)} and moves {context.load(force_n)} of"
        f" the {context.load(pair.hanging_n)} that hang below the Y-tool; a turn moves"
        f" {context.load(4 * force_n)}. The closed frame is stiff: count turns from snug."
        f"{_gripped(context, pair, hold, step_m)}",
        dimension=Dimension.FORCE,
        value=force_n,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis="a quarter turn moves less than all that hangs: common practice, no source",
        action="" if judged.status == "ok" else "set the load by less than a quarter turn",
        assumptions=(_MODEL, _SLIDES, _Y_TOOL),
    )


def _gripped(context: Context, pair: Pair, hold: Hold, step_m: float) -> str:
    """What a quarter turn does while the highest clamp below the plate holds both strings."""
    tight = _tight(context, hold)
    if not tight:
        return ""
    force_n = step_m * held_share(pair, tight[-1].height_m)
    return f" As long as {tight[-1].id} grips both strings: up to {context.load(force_n)}."


def _tight(context: Context, hold: Hold) -> list[PlacedClamp]:
    """Twin clamps below the plate that may tie both strings while the union is set."""
    slide = {clamp.id for clamp in context.job.clamps if clamp.grip.startswith("slides")}
    below = [c for c in context.assembly.clamps if c.height_m < hold.height_m - 1e-6]
    return [c for c in below if c.id not in slide]


def _whole(context: Context, pair: Pair) -> Verdict:
    union = context.assembly.union
    assert union is not None, "there is no pair without it"
    take_up_m = misfit_for(pair, pair.hanging_n, snug=_hold(context))
    judged = at_most(max(take_up_m, 0.0), union.to_close_m)
    return Verdict(
        status=judged.status,
        text=_whole_text(context, pair, take_up_m)
        + f" Left to closed: {context.small(union.to_close_m)}.",
        dimension=Dimension.LENGTH,
        value=max(take_up_m, 0.0),
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis="stroke of the union",
        action="" if judged.status == "ok" else "choose pieces that leave the union more to close",
        assumptions=(_MODEL, _SLIDES, _Y_TOOL),
    )


def _whole_text(context: Context, pair: Pair, take_up_m: float) -> str:
    all_n = context.load(pair.hanging_n)
    if take_up_m <= 0:
        return f"The bypass carries all {all_n} once the block has the Y-tool, with no take-up."
    travel_m = context.job.union.travel_per_turn_m.known
    turns = f" or {take_up_m / travel_m:.2f} turns" if travel_m else ""
    return (
        f"{context.small(take_up_m)}{turns} from snug move all {all_n} to the bypass once the"
        " block has the Y-tool; more would press the top of the ESP."
    )


# --- loads against ratings -----------------------------------------------------------------


def _hold(context: Context) -> Hold:
    """The holder on the plate, if the base support lets it hold the frame."""
    hold = plate_hold(context.job, context.assembly)
    if hold.side == "esp" and _is_seated(context.job):
        raise MissingInputError(needs="a guide retainer, for the ESP is declared to hold the frame")
    return hold


def _is_seated(job: Job) -> bool:
    return job.base is not None and job.base.retainer_load_n.state == "not applicable"


def _states(context: Context, pair: Pair) -> Iterator[State]:
    """From snug to the whole load moved, on the plate and then on the block."""
    factor = context.job.rig.daf_derrick_ratio.si
    if context.job.is_top_hung:
        yield State(None, top_hung(pair), factor)
        return
    snug, seated = _hold(context), _is_seated(context.job)
    take_up_m = max(misfit_for(pair, pair.hanging_n, snug=snug), 0.0)
    gripped_m = _gripped_n(context, pair, snug, take_up_m) * pair.flexibility_m_n
    for step_m, gripped in ((0.0, False), (take_up_m, False), (gripped_m, True)):
        on_plate = share(pair, step_m, snug=snug, now=snug, seated=seated)
        yield State(snug, on_plate, 1.0, gripped)
        yield State(None, share(pair, step_m, snug=snug, seated=seated), factor, gripped)


def _gripped_n(context: Context, pair: Pair, hold: Hold, take_up_m: float) -> float:
    grip = {clamp.id: clamp.grip_load_n.known for clamp in context.job.clamps}
    clamps = [(c.height_m, grip[c.id]) for c in _tight(context, hold)]
    return gripped_union(pair, take_up_m, clamps)


def _rated(context: Context, pair: Pair, place: str, states: list[State]) -> Verdict:
    rated = list(_links(context.job, pair, place, states))
    known = [one for one in rated if one.rating_n.is_given]
    worst = max(known, key=_use, default=None)
    missing = [one.rating_n.label or one.name for one in rated if not one.rating_n.is_given]
    if worst is None or (missing and _use(worst) <= 1):
        return not_checked(*dict.fromkeys(missing))
    judged = at_most(worst.force_n, worst.rating_n.si)
    return Verdict(
        status=judged.status,
        text=f"{_who(context, place, states)} Tightest of {plural(len(known), 'rated link')}:"
        f" {worst.name}, {context.load(worst.force_n)}, rated {context.load(judged.limit)}.",
        dimension=Dimension.FORCE,
        value=worst.force_n,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis=f"rating: {worst.rating_n.origin}; dynamic factor on the block:"
        f" {context.job.rig.daf_derrick_ratio.origin}",
        action="" if judged.status == "ok" else "take up less, or use a stronger link",
        assumptions=(_MODEL, _GRIPS, _BOTH_WAYS),
    )


def _use(link: Rated) -> float:
    return link.force_n / max(link.rating_n.si, 1e-9)


def _who(context: Context, place: str, states: list[State]) -> str:
    """The forces at rest that the verdict rests on, in words."""
    union_n = max(one.share.union_n for one in states if not one.gripped)
    most_n = max(one.share.union_n for one in states)
    grip = f", {context.load(most_n)} if the twin clamps grip" if most_n > union_n else ""
    if context.job.is_top_hung:
        whole = "the ESP carries itself" if place.startswith("ESP") else "the bypass hangs on it"
        return f"Top-hung, no take-up is reckoned: {whole}, union {context.load(union_n)}."
    slid = [one.share for one in states if not one.gripped]
    top = [one.esp_top_n for one in slid]
    foot = [one.esp_bottom_n for one in slid]
    if place == "ESP on the plate":
        return (
            f"Taken up while the frame stands on the plate, the top of the ESP is"
            f" {_way(context, min(top))}, Y-tool included; union {context.load(union_n)}{grip}."
        )
    if place == "ESP on the Y-tool":
        return (
            f"Once the block has the Y-tool: the top of the ESP is {_way(context, max(top))} with"
            f" the union snug, {_way(context, min(top))} with the whole load moved; its foot"
            f" {_way(context, max(foot))}, then {_way(context, min(foot))}."
        )
    if place == "guide retainer":
        return f"With the union snug the foot of the ESP is {_way(context, max(foot))}."
    return f"With the whole load moved the union carries {context.load(union_n)}{grip}."


def _way(context: Context, force_n: float) -> str:
    """A force as pull or push in words."""
    if abs(force_n) < 0.5:
        return "free of load"
    return f"{'pulled' if force_n > 0 else 'pressed'} by {context.load(abs(force_n))}"


def _links(job: Job, pair: Pair, place: str, states: list[State]) -> Iterator[Rated]:
    if place == "union":
        force_n = max(abs(one.share.union_n) * one.factor for one in states)
        yield Rated("adjustable union", force_n, job.union.rating_n)
    elif place == "guide retainer":
        assert job.base is not None, "no base, no retainer"
        force_n = max(max(one.share.esp_bottom_n, 0.0) * one.factor for one in states)
        yield Rated("guide retainer", force_n, job.base.retainer_load_n)
    elif place == "bypass":
        yield from _bypass_links(job, _worst(pair, states, 1))
    else:
        yield from _esp_links(job, _worst(pair, states, 0))


def _worst(pair: Pair, states: Iterable[State], line: int) -> dict[str, float]:
    """Greatest pull or push in each piece of a line, dynamic factor included [N]."""
    worst: dict[str, float] = {}
    for state in states:
        for bar in forces(pair, state.share, state.hold)[line]:
            force_n = bar.worst_n * state.factor
            worst[bar.name] = max(worst.get(bar.name, 0.0), force_n)
    return worst


def _esp_links(job: Job, worst: dict[str, float]) -> Iterator[Rated]:
    for piece in esp_string(job):
        yield Rated(f"housing of {piece.id}", worst[piece.id], piece.load_n)
        if piece.upper_joint != "none":
            yield Rated(f"upper joint of {piece.id}", worst[piece.id], piece.upper_joint_load_n)


def _bypass_links(job: Job, worst: dict[str, float]) -> Iterator[Rated]:
    threads = {thread.id: thread for thread in job.threads}
    for name, force_n in worst.items():
        if name == UNION_ID:
            continue
        if name == BASE_ID and job.base is not None:
            yield Rated(BASE_ID, force_n, job.base.rating_n)
            continue
        item = rack_item(job, name)
        for code in dict.fromkeys((item.lower_end.thread, item.upper_end.thread)):
            yield Rated(f"thread {code} of {name}", force_n, threads[code].load_n)
        own = item.body_od_m.is_given or item.bore_m.is_given or item.wall_m.is_given
        body_n = Quantity.not_measured().labelled(f"load that the body of {name} may carry")
        yield Rated(f"body of {name}", force_n, body_n if own else job.pipe.body_load_n)


UNION_TAKE_UP = Check(
    id="union-take-up",
    question="What does taking up the union do, and does everything carry it?",
    places=_places,
    judge=_judge,
)
