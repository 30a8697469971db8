"""The rules that may never break, and the fault that names the one that would."""

from __future__ import annotations

from abreast.errors import AbreastError

__all__ = ["RULES", "Fault"]

RULES: dict[str, str] = {
    "held": "every part over or in the hole hangs from a taut holder on a support that is there",
    "back-up": "slips that carry have a safety clamp or a closed elevator on the same string",
    "empty": "nothing is opened, freed or removed unless its load is certainly nothing",
    "rating": "no holder, gear, line, support, joint or piece carries more than its rating",
    "clear": "nothing is moved while slips, clamps, cover or plate are in the way",
    "slack": "the ESP side is never slack or pushed while the string moves",
    "torque": "joints are made up with back-up and inside their window, and recorded",
    "lost": "no clamp, lifting sub or safety clamp goes below or stays on at the end",
    "loose": "no load through a joint that is not made up",
    "cover": "the hole is covered while loose tools are in use",
    "cable": "the cable is never pulled, and is connected where hands reach it",
    "height": "things meet at the same height, and hands reach where they work",
    "fit": "a holder fits the piece, and is there",
    "line": "a line carries one string at a time, and it is there",
    "seat": "the seat of the ESP is pulled only while its retainer is locked",
    "order": "an action follows what it builds on",
    "due": "signatures, readings, measurements and counts are taken when they are due",
    "known": "an action names things that the procedure knows",
}
"""Rule ids, in plain words."""


class Fault(AbreastError):  # noqa: N818  # the word of the rig floor
    """An action that a rule forbids.

    Parameters
    ----------
    rule : str
        Its id in :data:`RULES`.
    text : str
        What is wrong, in a sentence for the rig floor.
    cure : str
        What to do first; blank when nothing obvious helps.
    """

    def __init__(self, rule: str, text: str, cure: str = "") -> None:
        super().__init__(text, code=f"rule-{rule}")
        self.rule = rule
        self.text = text
        self.cure = cure
