"""Pulling out: the steps that undo a run, judged by the same ledger while they are written."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.errors import InputError
from abreast.mechanics.ledger import Fault, State
from abreast.model import floor_actions as fa
from abreast.model.procedure import Due, Procedure, StartState
from abreast.procedure.prove import Proof, ProvedStep, prove
from abreast.procedure.pull_back import back
from abreast.procedure.pull_write import Writer

__all__ = ["pull"]

_CUT = (
    "Cut the cable above the splice once it is isolated and proved dead by licensed people;"
    " cap both ends."
)


def pull(procedure: Procedure) -> Procedure:
    """The reverse job of a running procedure, as planned or as run.

    The string hangs from one line, as the run left it. It is landed again on
    its last clamp, the union is given back by the turns that were recorded and
    then unlocked, the legs are broken, and so on down to an empty hole. Each
    step undoes one of the run; the ledger judges it before the next is made.

    Parameters
    ----------
    procedure : Procedure
        A running procedure that is proved.

    Returns
    -------
    Procedure
        Purpose ``pull``, with its start filled and its steps. Prove it for
        its loads; dress it for cautions, signatures and records.

    Raises
    ------
    InputError
        ``not-a-run``, when it is a pull already; ``not-proved``, when the run is
        refused; ``no-pull``, when the run never leaves the string on one line, or
        a step of it can't be undone.

    Notes
    -----
    Dues of the run are not asked for again. The pull has its own: the well is
    watched, the readings before the MLE comes off, the union given back, pressure
    let off before the first joint is loosened, the counts.
    """
    if procedure.purpose != "run":
        message = f"{procedure.name} is a pull already; give the running procedure"
        raise InputError(message, code="not-a-run")
    proof = prove(procedure)
    if proof.fault is not None:
        message = (
            f"the running procedure is refused at step {proof.fault.step}: {proof.fault.text}"
            " Mend it first; a pull undoes a run that is proved"
        )
        raise InputError(message, code="not-proved")
    done = _without_loops(proof.steps)
    last = _hanging(done, proof)
    spliced = proof.steps[-1].after.spliced
    writer = Writer(_reverse(procedure, done[last].after, spliced))
    if spliced:
        writer.do(fa.Remark(text=_CUT), "Start")
    for place in range(last, -1, -1):
        _undo(writer, done[place], _reached(done[:place]))
    writer.do(fa.HandOver(), "Hand-over")
    return writer.procedure()


def _reached(before: list[ProvedStep]) -> fa.Hoist | fa.Lower | None:
    """The last move of the run before a step."""
    moves = (one.step.action for one in reversed(before))
    return next((one for one in moves if isinstance(one, fa.Hoist | fa.Lower)), None)


def _undo(writer: Writer, step: ProvedStep, reached: fa.Hoist | fa.Lower | None) -> None:
    try:
        for action in back(writer.book, step, writer.state, reached):
            writer.do(action, step.step.phase)
    except Fault as fault:
        message = f"step {step.step.id} of the run can't be undone: {fault.text}" + (
            f" {fault.cure[:1].upper()}{fault.cure[1:]}" if fault.cure else ""
        )
        raise InputError(message, code="no-pull") from fault


# --- from the run to the start of the pull ---------------------------------------------------


def _without_loops(steps: tuple[ProvedStep, ...]) -> list[ProvedStep]:
    """The steps without those that came back to where they began: a piece that was rejected
    and laid down, a joint made again, a clamp moved.
    """
    kept: list[ProvedStep] = []
    place: dict[tuple[object, ...], int] = {}
    for step in steps:
        place.setdefault(_standing(step.before), len(kept))
        begun = place.get(_standing(step.after))
        if begun is None:
            kept.append(step)
            continue
        del kept[begun:]
        place = {key: at for key, at in place.items() if at <= begun}
    return kept


def _standing(state: State) -> tuple[object, ...]:
    """What a pull has to undo; cover, reel and what is confirmed are put in as needed."""
    return (
        frozenset((piece, round(at_m, 6)) for piece, at_m in state.offsets.items()),
        frozenset((name, how == "entered") for name, how in state.joints.items()),
        frozenset((one.holder, one.on, one.by, one.taut) for one in state.holds),
        state.guards,
        state.twin_clamps,
        state.locked_seats,
        (state.plate, state.mle, state.spliced, state.union_turns, state.union_locked),
    )


def _hanging(steps: list[ProvedStep], proof: Proof) -> int:
    """The last step after which the finished string hangs from one line and nothing else."""
    end = proof.steps[-1].after
    for place in range(len(steps) - 1, -1, -1):
        state = steps[place].after
        if (state.twin_clamps, state.union_locked, state.mle) != (
            end.twin_clamps,
            end.union_locked,
            end.mle,
        ) or set(state.offsets) != set(end.offsets):
            break
        alone = len(state.holds) == 1 and state.holds[0].taut and not state.guards
        if alone and state.holds[0].by not in ("plate", "rotary", ""):
            return place
    message = (
        "the run never leaves the finished string hanging from one line alone, so a pull has"
        " nothing to start from; let the block take it and remove what else is on it"
    )
    raise InputError(message, code="no-pull")


def _reverse(procedure: Procedure, state: State, spliced: bool) -> Procedure:
    hold = state.holds[0]
    start = StartState(
        in_hole=tuple(one.id for one in procedure.pieces if one.id in state.offsets),
        z_m=hold.z_m,
        at_m=state.at_m(hold.on, hold.z_m),
        line=hold.by,
        holder=hold.holder,
        on=hold.on,
        gear=hold.gear,
        clamps=tuple(one.id for one in procedure.clamps if one.id in state.twin_clamps),
        plate=state.plate,
        mle=state.mle,
        spliced=spliced,
        union_turns=state.union_turns,
        union_locked=state.union_locked,
    )
    return procedure.model_copy(
        update={
            "name": f"{procedure.name}: pull",
            "purpose": "pull",
            "start": start,
            "dues": tuple(_dues(procedure)),
            "steps": (),
        }
    )


def _dues(procedure: Procedure) -> Iterator[Due]:
    yield Due(
        id="well watched",
        sort="check",
        text="well dead and watched; everybody knows what to do if it flows",
        before=("hoist", "lower"),
    )
    if procedure.union is not None:
        yield Due(
            id="union given back",
            sort="measurement",
            text="union back at its snug mark, stroke exposed by rule",
            after="turn_union",
            before=("unlock_union",),
        )
    yield Due(
        id="pressure let off",
        sort="check",
        text="plug equalised; bypass, tail and pump vented before the first joint is loosened",
        before=("break_out",),
    )
