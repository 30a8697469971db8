"""The load paths as ways to hang, move and park a twin string."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.errors import MissingInputError
from abreast.model import floor_actions as fa
from abreast.model.job import LoadPath
from abreast.procedure.floor import BLOCK, SECOND, STAND_BY_M, TUGGER
from abreast.procedure.lifting import bypass_lift, holding_clamp
from abreast.procedure.plan_of_run import Section
from abreast.procedure.script import Script
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["BothHeld", "BypassHeld", "EspHeld", "Way", "way_of"]

_TIGHT = 0.5
"""Part of the ESP's weight that a check has to find on its line; common practice, no source."""


def way_of(path: LoadPath, script: Script) -> Way:
    """The way of a load path.

    Raises
    ------
    MissingInputError
        If the rig lacks the second line or the holding clamp that it needs.
    """
    if path == "bypass-held":
        return BypassHeld(script)
    if path == "both-held":
        return BothHeld(script)
    return EspHeld(script)


@dataclass
class Way:
    """What holds, moves and parks the string on one load path."""

    script: Script

    keeps_bypass_line = False
    """Whether a line stays on the bypass top from lift to lift."""

    def esp_line(self) -> str:
        """The line that takes ESP sections: one that is free."""
        return BLOCK

    def lines(self, section: Section) -> tuple[str, ...]:
        """Lines that carry the string once a section is on."""
        raise NotImplementedError

    def take(self, section: Section) -> None:
        """Lines take all; slips are pulled."""
        raise NotImplementedError

    def move(self, section: Section, z_m: float, to_m: float, mark: str) -> None:
        """Hoist or lower the whole string."""
        self.script.move(self.lines(section), z_m, to_m, mark)

    def park(self, section: Section) -> None:
        """The string is lowered to its landing and its load given to the plate."""
        raise NotImplementedError

    def before_section(self) -> None:
        """An ESP section is about to be picked up: what must let go of the hook first."""

    def free_bypass(self) -> None:
        """The bypass top is bare: ready for the next lift."""
        self.script.free(BLOCK)

    def after_lift(self) -> None:
        """A bypass lift is made up: what its line does."""
        self.script.do(fa.SlackOff(lines=(BLOCK,)))

    def close_plate(self, section: Section, above_m: float) -> None:
        """The string comes to its landing; the plate is closed round it."""
        plate_m = self.script.floor.site.plate_m
        neck_m = section.landing.neck_m
        self.move(section, neck_m, plate_m + above_m, f"neck of {section.on} at the plate")
        self.script.set_plate("closed")


@dataclass
class EspHeld(Way):
    """The lifting clamp carries all, by slings on the block or standing on the plate."""

    line: str = BLOCK

    def esp_line(self) -> str:
        """The block; the second line while the block carries the foot."""
        self.line = BLOCK if BLOCK not in self.script.subs else _second(self.script)
        return self.line

    def lines(self, section: Section) -> tuple[str, ...]:
        """One."""
        return (self.line,)

    def take(self, section: Section) -> None:
        """By the new lifting clamp."""
        self.script.do(fa.Take(lines=(self.line,)))
        if self.line != BLOCK:
            self.script.free(BLOCK)
        self.script.unhang()

    def park(self, section: Section) -> None:
        """On the lifting clamp."""
        self.close_plate(section, 0.0)
        self.script.do(fa.Land(holder=section.clamp))
        self.script.do(fa.SlackOff(lines=(self.line,)))
        self.script.do(fa.Unlatch(line=self.line))

    def after_lift(self) -> None:
        """The clamp on the plate carries; the block is free again."""
        super().after_lift()
        self.script.free(BLOCK)


@dataclass
class BypassHeld(Way):
    """The bypass carries all, by the block or in slips; the ESP stands on its seat."""

    keeps_bypass_line = True

    def __post_init__(self) -> None:
        self.second = _second(self.script)

    def esp_line(self) -> str:
        """The second line: the block stays on the bypass."""
        return self.second

    def lines(self, section: Section) -> tuple[str, ...]:
        """The block, on the bypass top."""
        return (BLOCK,)

    def take(self, section: Section) -> None:
        """The section stands on its seat; its line is freed, the block takes all."""
        script = self.script
        script.do(fa.SlackOff(lines=(self.second,)))
        script.do(fa.Unlatch(line=self.second))
        script.do(fa.Take(lines=(BLOCK,)))
        script.unhang()

    def park(self, section: Section) -> None:
        """In slips on the bypass, the lifting clamp close above the plate as a stand-by."""
        script = self.script
        self.close_plate(section, STAND_BY_M)
        neck_m = section.landing.neck_m - STAND_BY_M
        piece = bypass_at(script, neck_m)
        z_m, gap_m = script.grip(piece, neck_m)
        script.move((BLOCK,), z_m, script.floor.site.plate_m, f"slips on {piece}")
        script.set_slips(piece, gap_m, "plate")
        script.do(fa.SlackOff(lines=(BLOCK,)))


@dataclass
class BothHeld(Way):
    """Two lines, and two holders on the plate: lifting clamp and holding clamp."""

    keeps_bypass_line = True

    def __post_init__(self) -> None:
        if SECOND not in {one.id for one in self.script.floor.lines}:
            raise MissingInputError(needs="two lines of the block, lines in section hoisting")
        self.holding = holding_clamp(self.script.job)
        self.held = ""

    def esp_line(self) -> str:
        """The second line."""
        return SECOND

    def lines(self, section: Section) -> tuple[str, ...]:
        """Both."""
        return (SECOND, BLOCK)

    @property
    def one_hook(self) -> bool:
        """Whether both lines hang from one block: it lifts nothing new while one is made fast."""
        return len({one.hoist for one in self.script.floor.lines if one.id in (BLOCK, SECOND)}) == 1

    def before_section(self) -> None:
        """The line of the bypass is freed; its lifting sub stays on for later."""
        if not self.one_hook or BLOCK not in self.script.subs:
            return
        if not self.script.slips and not self.held:
            needs = "a tail that slips can hold while the one hook lifts the motor, or two hoists"
            raise MissingInputError(needs=needs)
        self.script.do(fa.Unlatch(line=BLOCK))

    def _back_on_bypass(self) -> None:
        script = self.script
        kept = script.subs.get(BLOCK, "")
        if not self.one_hook or not kept:
            return
        holder, on = kept.split("|")
        _, gear, _ = bypass_lift(script.job, script.thread_above(on))
        script.do(fa.Latch(line=BLOCK, holder=holder, on=on, gear=gear))

    def take(self, section: Section) -> None:
        """Both lines; a check states that the ESP's is tight."""
        script = self.script
        self._back_on_bypass()
        script.do(fa.Take(lines=self.lines(section)))
        self._tight(section)
        script.unhang()

    def _tight(self, section: Section) -> None:
        mass_kg = sum(self.script.pieces[one].mass_kg or 0.0 for one in section.esp)
        if mass_kg > 0:
            least_n = _TIGHT * mass_kg * GRAVITY_M_S2
            self.script.do(fa.StateTension(line=SECOND, least_n=least_n, by="load cell or feel"))

    def move(self, section: Section, z_m: float, to_m: float, mark: str) -> None:
        """Both lines together; with two hoists the tension is stated again before."""
        hoists = {one.hoist for one in self.script.floor.lines if one.id in (BLOCK, SECOND)}
        before = len(self.script.steps)
        self.script.move(self.lines(section), z_m, to_m, mark)
        if len(hoists) > 1 and len(self.script.steps) > before:
            self._tight(section)
        if self.held and len(self.script.steps) > before:
            self.script.do(fa.Remove(holder=self.holding, on=self.held))
            self.held = ""

    def park(self, section: Section) -> None:
        """First the lifting clamp, then the holding clamp; the lines are slacked off."""
        script = self.script
        self.close_plate(section, 0.0)
        script.do(fa.Land(holder=section.clamp))
        self.held = bypass_at(script, section.landing.neck_m)
        script.do(fa.Fit(holder=self.holding, on=self.held))
        script.do(fa.Land(holder=self.holding))
        script.do(fa.SlackOff(lines=self.lines(section)))
        script.do(fa.Unlatch(line=SECOND))


def bypass_at(script: Script, z_m: float) -> str:
    """The bypass piece at a height, slick if there is a choice.

    Raises
    ------
    MissingInputError
        If the bypass does not reach it.
    """
    found = [
        one
        for one in script.floor.pieces
        if one.string == "bypass" and one.bottom_m <= z_m <= one.top_m
    ]
    if not found:
        raise MissingInputError(needs="a bypass piece at the plate of each landing")
    slick = [one for one in found if any(low <= z_m <= high for low, high in one.slick_m)]
    return (slick or found)[0].id


def _second(script: Script) -> str:
    """A line beside the block: one of a hoist of its own, else the tugger, else the second.

    Raises
    ------
    MissingInputError
        If there is neither.
    """
    hoists = {one.id: one.hoist for one in script.floor.lines}
    own = SECOND in hoists and hoists[SECOND] != hoists[BLOCK]
    for name in (SECOND, TUGGER) if own else (TUGGER, SECOND):
        if name in hoists:
            return name
    raise MissingInputError(needs="a second line, lines in section hoisting, or a tugger")
