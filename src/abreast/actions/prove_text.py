"""A proof in words: outcome, counterexample with the state before it, repairs, mutants."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from abreast.actions.report import clip, counted, wrap
from abreast.mechanics.ledger import RULES, HoldLoad, Ledger, State, loads
from abreast.model.procedure import Procedure
from abreast.procedure.mutants import Mutant
from abreast.procedure.prove import FaultAt, Proof
from abreast.procedure.repair import Repair
from abreast.procedure.words import step_words
from abreast.procedure.words_names import Names

__all__ = ["proof_text", "state_lines"]

_MOST_UNRATED = 20
_MOST_MUTANTS = 40


def proof_text(
    source: str,
    procedure: Procedure,
    proof: Proof,
    mended: Sequence[Repair],
    changed: Sequence[Mutant] | None,
) -> str:
    """The whole report."""
    lines = [clip(f"{source}: {procedure.name}"), _verdict(procedure, proof)]
    if proof.fault is not None:
        lines += ["", *_counterexample(procedure, proof.fault)]
        lines += ["", *_repairs(mended)]
    else:
        lines += _weakest(proof)
    if proof.unrated:
        lines += ["", f"NOT RATED ({len(proof.unrated)}): not checked until these are filled in"]
        lines += [clip(f"  {one}") for one in proof.unrated[:_MOST_UNRATED]]
        more = len(proof.unrated) - _MOST_UNRATED
        lines += [f"  … and {more} more; --json lists all"] if more > 0 else []
    if changed is not None:
        lines += ["", *_mutants(changed)]
    lines += ["", "THIS RESTS ON:", *(f"  {one}" for one in proof.rests_on)]
    return "\n".join(lines)


def _verdict(procedure: Procedure, proof: Proof) -> str:
    steps = counted(len(procedure.steps), "step")
    if proof.fault is not None:
        own = any(one.id == proof.fault.step for one in procedure.steps)
        where = f"at step {proof.fault.step}" if own else f"at its {proof.fault.step}"
        return f"REFUSED {where}: {len(proof.steps)} of {steps} pass"
    if proof.unrated:
        return f"PROVED EXCEPT for {counted(len(proof.unrated), 'thing')} not rated: {steps}"
    return f"PROVED: {steps}, no rule is broken"


def _counterexample(procedure: Procedure, fault: FaultAt) -> Iterator[str]:
    names = Names(procedure)
    if fault.index < len(procedure.steps) and procedure.steps[fault.index].id == fault.step:
        yield from wrap(
            f"Step {fault.step}: {step_words(names, procedure.steps[fault.index])}", 4, "", "  "
        )
    yield from wrap(f"Rule '{fault.rule}': {RULES.get(fault.rule, '')}.", 3, "", "  ")
    yield from wrap(fault.text, 6, "  ", "  ")
    if fault.cure:
        yield from wrap(f"What would help: {fault.cure}.", 3, "  ", "  ")
    yield ""
    yield "BEFORE THIS STEP:"
    for line in state_lines(procedure, fault.before):
        yield from wrap(line, 4, "  ", "    ")


def _repairs(mended: Sequence[Repair]) -> Iterator[str]:
    if not mended:
        yield "REPAIR: none found by adding, moving or leaving out a step or two."
        return
    yield "REPAIR:" if mended[-1].whole else "REPAIR, as far as one was found:"
    for one in mended:
        yield from wrap(one.text, 6, "  ", "    ")
    last = mended[-1]
    if last.whole:
        yield "  With this no rule is broken. Judge by yourself whether it is what you mean."
    else:
        where = "its end" if last.next_fault == "end" else f"step {last.next_fault}"
        yield f"  It is then refused at {where}."


def _weakest(proof: Proof) -> list[str]:
    """The link that is used most, and when."""
    used = [
        (one.numbers.weakest.utilisation or 0.0, one.step.id, one.numbers.weakest.name)
        for one in proof.steps
        if one.numbers.weakest is not None
    ]
    if not used:
        return []
    most, step, name = max(used, key=lambda one: one[0])
    return [clip(f"Used most: {name}, {100 * most:.0f} % of its rating after step {step}")]


def _mutants(changed: Sequence[Mutant]) -> Iterator[str]:
    count = Counter(one.result for one in changed)
    yield (
        f"MUTANTS ({len(changed)}): {count['refused']} refused, {count['commutes']} come to the"
        f" same state, {count['no effect']} without effect, {count['unexplained']} unexplained"
    )
    shown = [one for one in changed if one.result in ("no effect", "unexplained")]
    for one in shown[:_MOST_MUTANTS]:
        yield from wrap(one.sentence, 3, "  ", "    ")
    if len(shown) > _MOST_MUTANTS:
        yield f"  … and {len(shown) - _MOST_MUTANTS} more; --json lists all"


# --- the state --------------------------------------------------------------------------


def state_lines(procedure: Procedure, state: State) -> list[str]:
    """Who holds what, with loads and heights, one plain line each."""
    if not state.offsets and not state.holds:
        return [_ground(state), "Nothing is in the hole, and nothing is held"]
    names, ledger = Names(procedure), Ledger(procedure)
    held = ledger.numbers(state, state).holds
    found = loads(ledger.book, state)
    lines = [_ground(state)]
    for number, weight_n in enumerate(found.weight_n):
        members = [one for one, at in found.component.items() if at == number]
        lines.append(_component(names, state, members, weight_n))
        mine = [one for one in held if one.on in members]
        lines += [f"- {_hold(names, one)}" for one in mine]
        lines += [
            f"- {names.holder(guard.holder)} on {names.piece(guard.on)}, as a back-up"
            for guard in state.guards
            if guard.on in members
        ]
    rack = [one for one in held if one.on not in state.offsets]
    lines += [f"{names.holder(one.holder)} is on {names.piece(one.on)} on the rack" for one in rack]
    for name, how in state.joints.items():
        if how != "recorded" and names.sort(name) not in ("seat", "workshop"):
            what = "entered, not made up" if how == "entered" else "made up, torque not written"
            lines.append(f"Joint {name}: {what}")
    return lines


def _ground(state: State) -> str:
    plate = {"open": "set up, halves back", "closed": "closed", "off": "off"}[state.plate]
    cover = "covered" if state.covered else "open"
    return f"False rotary {plate}; hole {cover}" + (
        f"; MLE connected, reel {'follows' if state.reel == 'follow' else 'held'}"
        if state.mle
        else ""
    )


def _component(names: Names, state: State, members: list[str], weight_n: float) -> str:
    pieces = [names.pieces[one] for one in members]
    top = max(pieces, key=lambda one: one.top_m)
    low = min(pieces, key=lambda one: one.bottom_m)
    at_m = state.at_m(top.id, top.top_m)
    what = names.piece(top.id)
    if len(pieces) > 1:
        what = f"{names.piece(low.id)} to {what} ({len(pieces)} pieces)"
    return f"{what}: {names.load(weight_n)} in air, top {names.above_floor(at_m)}"


def _hold(names: Names, one: HoldLoad) -> str:
    supports = {"plate": "on the plate", "rotary": "in the rotary", "": "hanging from nothing"}
    by = supports.get(one.by, f"on {names.line(one.by)}")
    what = f"{names.holder(one.holder)} on {names.piece(one.on)}, {by}"
    if not one.taut:
        return f"{what}: no load"
    low, high = names.load(one.low_n), names.load(one.high_n)
    carried = low if low == high else f"between {low} and {high}"
    rated = "not rated" if one.rating_n is None else f"rated {names.load(one.rating_n)}"
    return f"{what}: {carried}, {rated}"
