"""The steps of a procedure as they are printed, and the storyboard."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from abreast.documents.procedure_words import (
    Floor,
    boxes,
    changes_carrier,
    hold_lines,
    numbers_of,
    span,
)
from abreast.documents.workpack_words import Data
from abreast.mechanics.ledger import HoldLoad
from abreast.model.procedure import Step
from abreast.procedure.prove import Proof, ProvedStep
from abreast.procedure.words import step_words

__all__ = ["Picture", "pictures_of", "step_pages", "storyboard"]

_WIDE, _NARROW = 8, 4
"""Boxes in a row of a step, and beside a picture."""
Picture = Callable[[ProvedStep], str | None]
"""Makes the picture of a step as SVG text; None: no picture."""


def pictures_of(proof: Proof, picture: Picture | None) -> dict[str, str]:
    """SVG text by step id, for each step after which another holder carries."""
    if picture is None:
        return {}
    made = {one.step.id: picture(one) for one in proof.steps if changes_carrier(one)}
    return {own_id: text for own_id, text in made.items() if text is not None}


def step_pages(
    floor: Floor, steps: Sequence[Step], proof: Proof, files: dict[str, str]
) -> list[Data]:
    """The steps in phases; a step that was not judged has words and boxes, and says so.

    Parameters
    ----------
    floor : Floor
        Names and words.
    steps : sequence of Step
        All steps, dressed.
    proof : Proof
        Its proof.
    files : dict
        Picture file by step id.
    """
    phases: list[Data] = []
    for index, step in enumerate(steps):
        if not phases or phases[-1]["title"] != (step.phase or "steps"):
            phases.append({"title": step.phase or "steps", "steps": []})
        phases[-1]["steps"].append(_step(floor, step, index, proof, files))
    return phases


def _step(floor: Floor, step: Step, index: int, proof: Proof, files: dict[str, str]) -> Data:
    words = step_words(floor, step)
    fault = proof.fault
    made: Data = {
        "id": step.id,
        "words": words,
        "cautions": list(step.cautions),
        "calls": step.calls,
        "signs": list(step.signs),
        "stop": list(step.stop),
        "boxes": boxes(floor, step.records, step.signs, _NARROW if step.id in files else _WIDE),
        "picture": files.get(step.id, ""),
        "judged": index < len(proof.steps),
        "refused": fault.text if fault is not None and fault.index == index else "",
        "holds": [],
        "held": [],
        "facts": [],
    }
    if not made["judged"]:
        return made
    one = proof.steps[index]
    earlier = proof.steps[index - 1].numbers.holds if index else ()
    if _unlike(earlier, one.numbers.holds):
        made["held"] = hold_lines(floor, earlier)
        made["holds"] = hold_lines(floor, one.numbers.holds)
    made["facts"] = _facts(floor, proof, index)
    return made


def _facts(floor: Floor, proof: Proof, index: int) -> list[tuple[str, str]]:
    """Numbers that this step changes; the first step and a changed holder show all of them."""
    one = proof.steps[index]
    numbers = one.numbers
    shown = numbers_of(floor, numbers, one.after)
    if index and not changes_carrier(one):
        before = proof.steps[index - 1]
        old = dict(numbers_of(floor, before.numbers, before.after))
        shown = [pair for pair in shown if old[pair[0]] != pair[1]]
    if numbers.indicator_before_n != numbers.indicator_after_n or changes_carrier(one):
        was, now = span(floor, numbers.indicator_before_n), span(floor, numbers.indicator_after_n)
        shown.insert(0, ("indicator to expect", f"{was}, then {now}"))
    return shown


def _unlike(one: Sequence[HoldLoad], other: Sequence[HoldLoad]) -> bool:
    def seen(holds: Sequence[HoldLoad]) -> list[tuple[object, ...]]:
        return [(h.holder, h.on, h.by, h.taut, round(h.low_n), round(h.high_n)) for h in holds]

    return seen(one) != seen(other)


def storyboard(floor: Floor, proof: Proof, files: dict[str, str]) -> list[Data]:
    """Every picture in order, six a page."""
    named = {one.step.id: one.step for one in proof.steps}
    shown = [
        {"id": own_id, "file": file, "words": step_words(floor, named[own_id])}
        for own_id, file in files.items()
    ]
    return [{"pictures": shown[at : at + 6]} for at in range(0, len(shown), 6)]
