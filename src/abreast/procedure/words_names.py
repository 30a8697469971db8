"""Names and numbers of a procedure as the rig floor reads them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from abreast.mechanics.ledger.dues import fixed_dues
from abreast.model.procedure import Due, FloorHolder, FloorJoint, FloorPiece, Procedure
from abreast.units import Dimension, feet_inches, show

__all__ = ["Names", "one_line", "series"]

_TAIL = re.compile(r",|\(|;|\s(?=\d)")
_LONGEST_NAME = 3  # words
_SAME_M = 0.0005  # two heights of the data that differ by less are one mark on the string


def one_line(text: str) -> str:
    """A sentence on one line: it starts with a capital and ends with a full stop."""
    line = " ".join(text.split())
    line = line[:1].upper() + line[1:]
    return line if line.endswith((".", "!", "?")) else line + "."


def series(names: Iterable[str]) -> str:
    """Names one after another.

    Examples
    --------
    >>> series(["P08", "P10"]), series(["a", "b", "c"])
    ('P08 and P10', 'a, b and c')
    """
    *most, last = list(dict.fromkeys(names)) or [""]
    return f"{', '.join(most)} and {last}" if most else last


def _with_id(name: str, own_id: str) -> str:
    """The head of a name with the id behind it, unless the one says the other.

    What a name says behind a comma, or from its first number on, belongs into lists.
    """
    head = _TAIL.split(name)[0].strip()
    if not head or head.casefold() in own_id.casefold():
        return own_id
    if f" {own_id.casefold()} " in f" {head.casefold()} ":
        return head if len(head.split()) <= _LONGEST_NAME else own_id
    return f"{head} {own_id}"


class Names:
    """What the sentences look up. An id that is not known is written as it is."""

    def __init__(self, procedure: Procedure) -> None:
        self.procedure = procedure
        self.system = procedure.units
        self.pieces: dict[str, FloorPiece] = {one.id: one for one in procedure.pieces}
        self.joints: dict[str, FloorJoint] = {one.id: one for one in procedure.joints}
        self.holders: dict[str, FloorHolder] = {one.id: one for one in procedure.holders}
        self.hoists: dict[str, str] = {one.id: one.hoist for one in procedure.lines}
        self.clamps = {one.id: one for one in procedure.clamps}
        dues = (*fixed_dues(procedure), *procedure.dues)
        self.dues: dict[str, Due] = {one.id: one for one in dues}

    # --- names --------------------------------------------------------------------------

    def piece(self, own_id: str) -> str:
        """Name and id of a piece."""
        known = self.pieces.get(own_id)
        return _with_id(known.name, own_id) if known else own_id

    def holder(self, own_id: str) -> str:
        """What sort of holder it is, and its id."""
        known = self.holders.get(own_id)
        if known is None:
            return own_id
        return _with_id(known.name if known.type == "other" else known.type, own_id)

    def kind(self, own_id: str) -> str:
        """What sort of holder it is; blank when it is not known."""
        known = self.holders.get(own_id)
        return known.type if known else ""

    def line(self, own_id: str) -> str:
        """A line, with an article."""
        if own_id == self.hoists.get(own_id) or "line" in own_id.casefold():
            return f"the {own_id}"
        return f"line {own_id}"

    def all_lines(self, ids: Sequence[str]) -> str:
        """One line, or several together."""
        return self.line(ids[0]) if len(ids) == 1 else series(self.line(one) for one in ids)

    def ends(self, joint: str) -> tuple[str, str]:
        """Names of the upper and the lower piece of a joint."""
        known = self.joints.get(joint)
        if known is None:
            return joint, ""
        return self.piece(known.upper), self.piece(known.lower)

    def sort(self, joint: str) -> str:
        """Kind of a joint; blank when it is not known."""
        known = self.joints.get(joint)
        return known.sort if known else ""

    def join(self, joint: str) -> str:
        """A joint by its two pieces."""
        upper, lower = self.ends(joint)
        return f"{upper} to {lower}" if lower else f"joint {joint}"

    def through(self, gear: Sequence[str]) -> str:
        """The gear between line and holder, as an insertion; blank when there is none."""
        return f", through {series(self.holder(one) for one in gear)}" if gear else ""

    def mark(self, z_m: float, given: str) -> str:
        """What is at a height: as the action says, else as the pieces say.

        Where it comes to stands in the sentence, so ``at the plate`` is left out.
        """
        said = given.split(" at ", maxsplit=1)[0].removeprefix("the ")
        if said in self.clamps:
            return f"place of twin clamp {said}"
        return said or self.place(z_m)

    def place(self, z_m: float) -> str:
        """What is at a height of the string; blank when nothing known is."""

        def here(height_m: float) -> bool:
            return abs(height_m - z_m) < _SAME_M

        for piece in self.pieces.values():
            if piece.neck is not None and here(piece.neck.z_m):
                return f"neck of {self.piece(piece.id)}"
        for end in ("top", "bottom"):
            for piece in self.pieces.values():
                if here(piece.top_m if end == "top" else piece.bottom_m):
                    return f"{end} of {self.piece(piece.id)}"
        return next((f"joint {self.join(j.id)}" for j in self.joints.values() if here(j.z_m)), "")

    # --- numbers ------------------------------------------------------------------------

    def length(self, value_m: float) -> str:
        """A height or length along the string."""
        return show(value_m, Dimension.LENGTH, self.system)

    def rule(self, value_m: float) -> str:
        """A short length as a rule shows it."""
        if self.system == "oilfield":
            return feet_inches(value_m)
        return show(value_m, Dimension.LENGTH, self.system, small=True, digits=0)

    def size(self, value_m: float) -> str:
        """A diameter or another size that a caliper shows."""
        return show(value_m, Dimension.LENGTH, self.system, small=True)

    def load(self, value_n: float) -> str:
        """A load."""
        return show(value_n, Dimension.FORCE, self.system)

    def torque(self, value_nm: float) -> str:
        """A torque."""
        return show(value_nm, Dimension.TORQUE, self.system)

    def angle(self, value_rad: float) -> str:
        """An angle across the hole."""
        return show(value_rad, Dimension.ANGLE, self.system)

    def weight(self, pieces: Sequence[str]) -> str:
        """Mass of pieces together; says so when one is not known."""
        masses = [one.mass_kg for name in pieces if (one := self.pieces.get(name)) is not None]
        known = [mass for mass in masses if mass is not None]
        if len(known) < len(pieces):
            return "weight not known"
        return show(sum(known), Dimension.MASS, self.system)

    def level(self, at_m: float) -> str:
        """``plate`` or ``floor`` when a height is one of them; else blank."""
        site = self.procedure.site
        if abs(at_m) <= site.land_play_m:
            return "floor"
        return "plate" if abs(at_m - site.plate_m) <= site.land_play_m else ""

    def above_floor(self, at_m: float, *, by_rule: bool = False) -> str:
        """A height from the floor; in feet also as a rule shows it."""
        shown = self.length(abs(at_m))
        if by_rule and self.system == "oilfield":
            shown += f" ({feet_inches(abs(at_m))})"
        return f"{shown} {'below' if at_m < 0 else 'above'} the floor"
