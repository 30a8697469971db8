"""Proofs, mutants, repairs and step pictures: ``python -m benchmarks.bench_prove``.

Prints Markdown. Times are process time, the best of several runs, so that other
work on the machine counts little. Ends with status 1 when an invented run is not
proved, or when a repair or a way out is not found.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
import time
from collections import Counter
from collections.abc import Callable, Sequence
from itertools import islice
from typing import TypeVar

from abreast.mechanics.ledger import Ledger
from abreast.model import floor_actions as fa
from abreast.model.floor_actions import Action
from abreast.model.procedure import (
    FloorHolder,
    FloorJoint,
    FloorPiece,
    FloorSite,
    HoistLine,
    Procedure,
    Step,
)
from abreast.procedure.goals import laid_down
from abreast.procedure.mutants import mutants
from abreast.procedure.prove import Proof, prove
from abreast.procedure.repair import repair
from abreast.procedure.search import search

__all__ = ["main", "tail_run"]

T = TypeVar("T")
_SIZES = (60, 200, 1000)
_JOINT_M, _PIPE_M = 9.45, 0.0603
_MOST_PICTURES = 60


def main(argv: Sequence[str] | None = None) -> int:
    """Run the benchmark and print its tables; 1 when an answer is wrong."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.bench_prove", description=__doc__)
    parser.add_argument("--repeats", type=int, default=3, help="the best of so many counts")
    args = parser.parse_args(argv)
    print(
        f"# Procedures\n\nPython {platform.python_version()}, {os.cpu_count()} cores"
        f" ({platform.machine()}), one process; process time, best of {args.repeats}.\n"
    )
    faults = [*_proofs(args.repeats), *_jobs(args.repeats)]
    print("\n## Answers\n")
    print("\n".join(f"- {one}" for one in faults) or "Every answer was right.")
    return 1 if faults else 0


def _proofs(repeats: int) -> list[str]:
    faults: list[str] = []
    print("## Tails of plain joints, run by hand\n")
    print("| steps | proof, ms | a forgotten step repaired, ms | last joint out again, ms |")
    print("| ---: | ---: | ---: | ---: |")
    for size in _SIZES:
        procedure = tail_run(size)
        proof_s, proof = _best(lambda p=procedure: prove(p), repeats)  # type: ignore[misc]
        if proof.outcome != "proved":
            faults.append(f"the tail of {size} steps is {proof.outcome}")
            continue
        repair_s, wrong = _repaired(procedure, repeats)
        search_s, way = _out_again(procedure, proof, repeats)
        faults += wrong + ([] if way else [f"no way out for the last of {size} steps"])
        print(
            f"| {len(procedure.steps)} | {1e3 * proof_s:.1f} | {1e3 * repair_s:.1f}"
            f" | {1e3 * search_s:.1f} |"
        )
    return faults


def _repaired(procedure: Procedure, repeats: int) -> tuple[float, list[str]]:
    """Time to make a safety clamp good that was forgotten half-way."""
    places = [n for n, s in enumerate(procedure.steps) if s.action.do == "fit_safety_clamp"]
    gone = places[len(places) // 2]
    steps = tuple(one for n, one in enumerate(procedure.steps) if n != gone)
    short = procedure.model_copy(update={"steps": steps})
    proof = prove(short)
    taken_s, found = _best(lambda: repair(short, proof), repeats)
    if found is None or not found.whole or prove(found.procedure).fault is not None:
        return taken_s, [f"no repair of {len(steps)} steps"]
    return taken_s, []


def _out_again(procedure: Procedure, proof: Proof, repeats: int) -> tuple[float, bool]:
    """Time to find how the last joint, hung in slips already, comes out again."""
    ledger = Ledger(procedure)
    state = next(s.before for s in reversed(proof.steps) if s.step.action.do == "confirm")
    goal = laid_down(ledger, procedure.pieces[-1].id)
    taken_s, found = _best(lambda: search(ledger, state, goal), repeats)
    return taken_s, found is not None


def _jobs(repeats: int) -> list[str]:
    from abreast.examples import example_path
    from abreast.jobfile import read_job
    from abreast.procedure.generate import generate
    from abreast.spaceout.assemble import assemble
    from abreast.spaceout.choose import choose

    faults: list[str] = []
    print("\n## The invented jobs\n")
    print(
        "| job | steps | generated, ms | proof, ms | mutants | refused | same state | unexplained"
        " | all mutants, s | pictures a second |"
    )
    print("| --- |" + " ---: |" * 9)
    for name in ("quernstone_14/corrected", "skerrow_a09/corrected"):
        job = read_job(example_path(name)).require_job()
        choice = choose(job).choice
        assert choice is not None, "the bundled jobs close"
        assembly = assemble(job, choice)
        made_s, procedure = _best(lambda j=job, a=assembly: generate(j, a), repeats)  # type: ignore[misc]
        proof_s, proof = _best(lambda p=procedure: prove(p), repeats)  # type: ignore[misc]
        if proof.fault is not None:
            faults.append(f"{job.name} is refused at step {proof.fault.step}: {proof.fault.text}")
            continue
        mutants_s, found = _best(lambda p=procedure: mutants(p), repeats)  # type: ignore[misc]
        count = Counter(one.result for one in found)
        print(
            f"| {job.name} | {len(procedure.steps)} | {1e3 * made_s:.0f} | {1e3 * proof_s:.0f}"
            f" | {len(found)} | {count['refused']} | {count['commutes'] + count['no effect']}"
            f" | {count['unexplained']} | {mutants_s:.2f} | {_pictures(procedure, proof):.0f} |"
        )
    return faults


def _pictures(procedure: Procedure, proof: Proof) -> float:
    """Step pictures drawn in a second, as SVG."""
    from abreast.drawing.floor import floor_svg

    shown = list(islice(proof.steps, 0, None, max(1, len(proof.steps) // _MOST_PICTURES)))
    start = time.process_time()
    for one in shown:
        floor_svg(procedure, one.before, one.after, one.numbers, f"Step {one.step.id}")
    return len(shown) / (time.process_time() - start)


def _best(function: Callable[[], T], repeats: int) -> tuple[float, T]:
    """Least process time of some runs, and what the last one gave."""
    times: list[float] = []
    for _ in range(max(1, repeats)):
        start = time.process_time()
        found = function()
        times.append(time.process_time() - start)
    return min(times), found


# --- invented runs ----------------------------------------------------------------------


def tail_run(steps: int) -> Procedure:
    """A tail of plain joints run on a lifting sub, about as many steps long."""
    count = max(2, round(steps / 16))
    actions = [one for number in range(count) for one in _joint_run(number)]
    actions += [fa.Confirm(due="counts"), fa.HandOver()]
    return Procedure(
        name=f"tail of {count} joints",
        arrangement="bottom-supported",
        load_path="esp-held",
        site=FloorSite(plate_m=1.05, dynamic_ratio=1.3, rotary_rating_n=4.5e6, reach_m=(0.6, 1.7)),
        lines=(HoistLine(id="block", hoist="block", rating_n=2.2e6, hook_max_m=29.0),),
        pieces=tuple(_piece(number) for number in range(count)),
        joints=tuple(_joint(number) for number in range(1, count)),
        holders=(
            FloorHolder(id="EL", type="elevator", rating_n=3.6e5, length_m=0.9),
            FloorHolder(id="LS", type="lifting sub", rating_n=1.8e5, pipe_od_m=_PIPE_M),
            FloorHolder(id="SL", type="slips", rating_n=4.5e5, pipe_od_m=_PIPE_M),
            FloorHolder(id="SC", type="safety clamp", pipe_od_m=_PIPE_M),
        ),
        steps=tuple(Step(id=str(n), action=one) for n, one in enumerate(actions, 1)),
    )


def _name(number: int) -> str:
    return f"T{number + 1:02}"


def _piece(number: int) -> FloorPiece:
    low = number * _JOINT_M
    return FloorPiece(
        id=_name(number),
        string="tail",
        bottom_m=low,
        top_m=low + _JOINT_M,
        mass_kg=66.0,
        slick_m=((low + 0.3, low + _JOINT_M - 0.3),),
        grip_od_m=_PIPE_M,
        flush=True,
        load_n=3e5,
    )


def _joint(number: int) -> FloorJoint:
    return FloorJoint(
        id=f"J{number:02}",
        lower=_name(number - 1),
        upper=_name(number),
        sort="thread",
        z_m=number * _JOINT_M,
        torque_nm=(1800.0, 2200.0),
        load_n=3e5,
    )


def _joint_run(number: int) -> list[Action]:
    """One joint: lifted, made up, lowered, hung in slips with a safety clamp."""
    name, z_m = _name(number), (number + 1) * _JOINT_M - 1.0
    lift: list[Action] = [
        fa.Fit(holder="LS", on=name),
        fa.PickUp(pieces=(name,), line="block", holder="LS", on=name, gear=("EL",)),
    ]
    made: list[Action] = [
        fa.Stab(joints=(f"J{number:02}",), line="block"),
        fa.Cover(on=True),
        fa.MakeUp(joint=f"J{number:02}", torque_nm=2000.0, back_up=_name(number - 1)),
        fa.RecordTorque(joint=f"J{number:02}"),
        fa.Cover(on=False),
        fa.Take(lines=("block",)),
        fa.RemoveSafetyClamp(holder="SC"),
        fa.PullSlips(holder="SL"),
    ]
    hung: list[Action] = [
        fa.Lower(lines=("block",), z_m=z_m, to_m=0.0),
        fa.SetSlips(holder="SL", on=name, support="rotary"),
        fa.FitSafetyClamp(holder="SC", on=name, gap_m=0.15),
        fa.SlackOff(lines=("block",)),
        fa.Unlatch(line="block"),
        fa.Remove(holder="LS", on=name),
    ]
    return [*lift, *(made if number else []), *hung]


if __name__ == "__main__":
    sys.exit(main())
