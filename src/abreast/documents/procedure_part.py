"""The running procedure in the work pack: steps to sign, cards, sheets, and its proof."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from abreast.documents.procedure_cards import floor_cards, lift_plan, shut_in_cards
from abreast.documents.procedure_sheets import check_sheets, hand_over_pages, union_card
from abreast.documents.procedure_steps import Picture, pictures_of, step_pages, storyboard
from abreast.documents.procedure_words import Floor, hold_lines, percent
from abreast.documents.workpack_words import Data
from abreast.mechanics.ledger import RULES, Ledger
from abreast.model import Assembly, Finding, Job
from abreast.model.procedure import Procedure
from abreast.procedure.prove import Proof
from abreast.procedure.words import step_words

__all__ = ["Changed", "ProcedurePart", "no_procedure", "procedure_part"]


class Changed(Protocol):
    """A mutant: a procedure with one slip in it, and what came of that."""

    @property
    def step(self) -> str:
        """Step that slipped."""

    @property
    def result(self) -> str:
        """``refused``, ``commutes``, ``no effect`` or ``unexplained``."""

    @property
    def rule(self) -> str:
        """Rule that refused it."""

    @property
    def sentence(self) -> str:
        """What is different and what comes of it."""


@dataclass(frozen=True, slots=True)
class ProcedurePart:
    """What the template prints, and the pictures it names: SVG text by file name."""

    data: Data
    images: dict[str, str]


def no_procedure(why: str) -> ProcedurePart:
    """The part of a pack without a procedure: a line that says why there is none."""
    return ProcedurePart({"absent": why}, {})


def procedure_part(
    procedure: Procedure,
    proof: Proof,
    job: Job,
    assembly: Assembly,
    *,
    findings: Sequence[Finding] = (),
    picture: Picture | None = None,
    mutants: Sequence[Changed] | None = None,
) -> ProcedurePart:
    """All pages of a procedure as plain data.

    Parameters
    ----------
    procedure : Procedure
        Dressed: with cautions, callers, signatures and records.
    proof : Proof
        Its proof; a refused one marks every page.
    job, assembly : Job, Assembly
        For the cards of BOP and union.
    findings : sequence of Finding
        Those on the union stand on its card.
    picture : callable, optional
        Makes the picture of a step as SVG text, or None.
    mutants : sequence, optional
        What came of procedures with one slip; None: they were not run.

    Returns
    -------
    ProcedurePart
        Texts in the units of the procedure, and its pictures.
    """
    floor = Floor(procedure)
    pictures = pictures_of(proof, picture)
    files = {own_id: f"step-{n}.svg" for n, own_id in enumerate(pictures, 1)}
    data = {
        "absent": "",
        "name": procedure.name,
        "proof": _proof(floor, proof),
        "phases": step_pages(floor, procedure.steps, proof, files),
        "storyboard": storyboard(floor, proof, files),
        "lifts": lift_plan(floor, proof),
        "floor": floor_cards(floor, proof),
        "shut_in": shut_in_cards(job, assembly),
        "union": union_card(floor, job, assembly, findings),
        "sheets": check_sheets(floor, procedure.steps),
        "shift": hand_over_pages(floor, proof),
        "errors": _errors(floor, mutants),
    }
    return ProcedurePart(data, {file: pictures[own_id] for own_id, file in files.items()})


# --- proof ----------------------------------------------------------------------------------


def _proof(floor: Floor, proof: Proof) -> Data:
    count = len(floor.procedure.steps)
    verdict = {
        "proved": f"PROVED: {count} steps, no rule is broken",
        "proved except": f"PROVED EXCEPT for what has no rating or number, listed below: {count}"
        " steps, no rule is broken by what is known",
        "refused": f"NOT PROVED: refused after {len(proof.steps)} of {count} steps",
    }[proof.outcome]
    return {
        "outcome": proof.outcome,
        "refused": proof.outcome == "refused",
        "verdict": verdict,
        "rests_on": list(proof.rests_on),
        "unrated": list(proof.unrated),
        "rules": list(RULES.items()),
        "most": _most(proof),
        "fault": _fault(floor, proof),
    }


def _most(proof: Proof) -> str:
    used = [
        (one.numbers.weakest.utilisation or 0.0, one.numbers.weakest.name, one.step.id)
        for one in proof.steps
        if one.numbers.weakest is not None
    ]
    if not used:
        return ""
    utilisation, name, step = max(used, key=lambda one: one[0])
    return f"{name}, {percent(utilisation)} of its rating after step {step}"


def _fault(floor: Floor, proof: Proof) -> Data | None:
    fault = proof.fault
    if fault is None:
        return None
    steps = floor.procedure.steps
    words = step_words(floor, steps[fault.index]) if fault.index < len(steps) else ""
    numbers = Ledger(floor.procedure).numbers(fault.before, fault.before)
    return {
        "step": fault.step,
        "words": words,
        "rule": RULES.get(fault.rule, fault.rule),
        "text": fault.text,
        "cure": fault.cure,
        "holds": hold_lines(floor, numbers.holds),
    }


# --- errors ---------------------------------------------------------------------------------


def _errors(floor: Floor, mutants: Sequence[Changed] | None) -> Data:
    """Which mistakes the order of work stops, and which need eyes."""
    return {
        "run": mutants is not None,
        "stopped": _stopped(mutants or ()),
        "eyes": [
            one.sentence for one in mutants or () if one.result in ("no effect", "unexplained")
        ],
        "same": sum(one.result == "commutes" for one in mutants or ()),
        "count": len(mutants or ()),
        "people": _people(floor.procedure),
    }


def _stopped(mutants: Sequence[Changed]) -> list[tuple[str, str, str]]:
    """By rule: what the rule says, how many mistakes it stopped, and the first of them."""
    refused = [one for one in mutants if one.result == "refused"]
    count = Counter(one.rule for one in refused)
    first = {one.rule: one.sentence for one in reversed(refused)}
    return [
        (RULES.get(rule, rule), str(number), first[rule]) for rule, number in count.most_common()
    ]


_PEOPLE: tuple[tuple[str, str], ...] = (
    ("fit", "the clamp, insert or sub on the piece is the one named here"),
    ("land", "the clamp stands flat on the plate, all round"),
    ("slack_off", "what is landed or set carries, seen by eye and by indicator"),
    ("make_up", "the torque was reached with back-up held, and the graph looks as usual"),
    ("stab", "the angle is that of the mark, and nothing is caught between the faces"),
    ("state_tension", "the load was read, not guessed"),
    ("cover", "tools were counted before the cover was lifted"),
    ("fit_twin_clamp", "the cable lies in its groove, and nothing is pinched"),
    ("lower", "the gap between the strings, the cable and the reel, all the way down"),
    ("turn_union", "turns are counted from snug, with clamps slack"),
    ("confirm", "what is signed was really done, by the one who signs"),
)


def _people(procedure: Procedure) -> list[tuple[str, str]]:
    """What no order of work can see: an eye, and the steps that need it."""
    steps: dict[str, list[str]] = {}
    for one in procedure.steps:
        steps.setdefault(one.action.do, []).append(one.id)
    return [(what, _some(steps[do])) for do, what in _PEOPLE if do in steps]


def _some(ids: Sequence[str]) -> str:
    if len(ids) <= 16:
        return ", ".join(ids)
    return f"{', '.join(ids[:14])} and {len(ids) - 14} more"
