"""Steps as they are written down: numbers, heights, cover, reel, and the usual sequences."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal

from abreast.errors import MissingInputError
from abreast.model import Action, Job
from abreast.model import floor_actions as fa
from abreast.model.procedure import Procedure, Step
from abreast.procedure.floor import BLOCK, reach_m
from abreast.procedure.floor_pieces import end_thread
from abreast.procedure.lifting import bypass_lift, safety_clamp, slips_for

__all__ = ["Script"]

_GAP_M = 0.1524
"""Safety clamp above slips: 6 in, common practice, no source."""
_EASY = 0.2
"""Part of the reach, at each end, where nobody works if it can be helped."""
_SAME_M = 1e-9


@dataclass
class Script:
    """The steps written so far, and where the string stands.

    Parameters
    ----------
    job : Job
        For gear and working heights.
    floor : Procedure
        The static part; its steps are not looked at.
    """

    job: Job
    floor: Procedure
    steps: list[Step] = field(default_factory=list)
    phase: str = ""
    offset_m: float | None = None
    """Height above the floor less height in the string, of what hangs in the hole."""
    plate: str = "off"
    covered: bool = False
    mle: bool = False
    slips: str = ""
    guard: str = ""
    subs: dict[str, str] = field(default_factory=dict)
    """Holder of each line that is closed on a bypass piece, by line: sub or elevator."""

    def __post_init__(self) -> None:
        self.pieces = {one.id: one for one in self.floor.pieces}
        self.joints = {one.id: one for one in self.floor.joints}

    def do(self, action: Action) -> None:
        """Write an action down as the next step."""
        step = Step(id=str(len(self.steps) + 1), action=action, phase=self.phase)
        self.steps.append(step)

    def confirm(self, *dues: str) -> None:
        """Confirm what is due, as far as this procedure asks for it."""
        asked = {one.id for one in self.floor.dues}
        for due in dues:
            if due in asked:
                self.do(fa.Confirm(due=due))

    # --- heights ------------------------------------------------------------------------

    @property
    def level_m(self) -> float:
        """Where hands stand, above the floor [m]."""
        return self.floor.site.plate_m if self.plate == "closed" else 0.0

    @property
    def work_m(self) -> float:
        """A good working height above that level [m]: the middle of the reach."""
        low, high = reach_m(self.job)
        return (low + high) / 2

    @property
    def hand_m(self) -> float:
        """Working height above the rig floor [m]: as stated, else the middle of the reach."""
        return self.job.hoisting.hand_height_m.or_else(self.work_m)

    def is_at_hand(self, z_m: float) -> bool:
        """Whether a height of the string stands well within reach."""
        assert self.offset_m is not None, "nothing hangs in the hole"
        low, high = reach_m(self.job)
        above_m = self.offset_m + z_m - self.level_m
        return low + _EASY * (high - low) <= above_m <= high - _EASY * (high - low)

    def move(self, lines: Sequence[str], z_m: float, to_m: float, mark: str = "") -> None:
        """Hoist or lower until a height of the string stands at a height above the floor."""
        assert self.offset_m is not None, "nothing hangs in the hole"
        by_m = to_m - (self.offset_m + z_m)
        if abs(by_m) <= _SAME_M:
            return
        self.uncover()
        kind = fa.Hoist if by_m > 0 else fa.Lower
        self.do(kind(lines=tuple(lines), z_m=z_m, to_m=to_m, mark=mark))
        self.offset_m = to_m - z_m

    def tools(self) -> None:
        """Nothing may fall down the hole from here on."""
        if self.plate != "closed" and not self.covered:
            self.do(fa.Cover(on=True))
            self.covered = True

    def uncover(self) -> None:
        """Nothing is in the way of the string."""
        if self.covered:
            self.do(fa.Cover(on=False))
            self.covered = False

    def set_plate(self, to: Literal["open", "closed", "off"]) -> None:
        """Set the false rotary up, close it or take it away."""
        if self.plate != to:
            self.do(fa.SetPlate(to=to))
            self.plate = to

    # --- joints -------------------------------------------------------------------------

    def join(self, line: str, joints: Iterable[str]) -> None:
        """Stab, make up and record; what stands below is the back-up."""
        names = tuple(joints)
        self.tools()
        self.do(fa.Stab(joints=names, line=line))
        for name in names:
            self.make_up(name)

    def make_up(self, name: str) -> None:
        """Make a joint up and record it; its orientation is signed where that is due."""
        joint = self.joints[name]
        back_up = joint.lower if joint.sort in ("thread", "swivel nut") else ""
        self.do(fa.MakeUp(joint=name, torque_nm=joint.wanted_nm, back_up=back_up))
        if joint.sort != "seat":
            self.do(fa.RecordTorque(joint=name))
        elif joint.retained:
            self.do(fa.LockSeat(joint=name))
        if joint.signed:
            self.do(fa.Confirm(due=f"orientation {name}"))

    # --- bypass: lines and slips --------------------------------------------------------

    def pick_up(self, names: Sequence[str], line: str = BLOCK) -> None:
        """A lift of tail or bypass on a line, by elevator or lifting sub on its upper piece."""
        top = names[-1]
        holder, gear, sub = bypass_lift(self.job, self.thread_above(top))
        if sub:
            self.do(fa.Fit(holder=holder, on=top))
        self.do(fa.PickUp(pieces=tuple(names), line=line, holder=holder, on=top, gear=gear))
        self.subs[line] = f"{holder}|{top}" if sub else ""
        if self.offset_m is None:
            self.offset_m = self.level_m - min(self.pieces[one].bottom_m for one in names)

    def thread_above(self, piece: str) -> str:
        """Thread at the upper end of a piece."""
        return end_thread(self.job, piece, "upper_end")

    def free(self, line: str) -> None:
        """A slack line is freed; its lifting sub comes off."""
        if line not in self.subs:
            return
        self.do(fa.Unlatch(line=line))
        sub = self.subs.pop(line)
        if sub:
            holder, on = sub.split("|")
            self.do(fa.Remove(holder=holder, on=on))

    def hang(self, piece: str, wanted_m: float, support: str, line: str = BLOCK) -> None:
        """Lower until slips grip a piece near a height of it; safety clamp on, line slack."""
        z_m, gap_m = self.grip(piece, wanted_m)
        at_m = self.floor.site.plate_m if support == "plate" else 0.0
        self.move((line,), z_m, at_m, f"slips on {piece}")
        self.set_slips(piece, gap_m, support)
        self.do(fa.SlackOff(lines=(line,)))

    def set_slips(self, piece: str, gap_m: float, support: str) -> None:
        """Slips, and the safety clamp close above them."""
        od_m = self.pieces[piece].grip_od_m
        slips, clamp = slips_for(self.job, od_m), safety_clamp(self.job, od_m)
        if not slips:
            raise MissingInputError(needs=f"slips for {piece} in holders.csv")
        if not clamp:
            raise MissingInputError(needs=f"a safety clamp for {piece} in holders.csv")
        self.do(fa.SetSlips(holder=slips, on=piece, support=support))
        self.do(fa.FitSafetyClamp(holder=clamp, on=piece, gap_m=gap_m))
        self.slips, self.guard = slips, clamp

    def grip(self, piece: str, wanted_m: float) -> tuple[float, float]:
        """Slick height for slips nearest to the one wanted, and the gap of the safety clamp [m]."""
        one = self.pieces[piece]
        if not one.slick_m:
            raise MissingInputError(
                needs=f"slick pipe on {piece} for slips: upset and coupling of its threads"
            )
        gap_m = min(_GAP_M, self.floor.site.safety_gap_m)
        spans = [(low, high - min(gap_m, (high - low) / 2)) for low, high in one.slick_m]
        best = min(
            (min(max(wanted_m, low), high) for low, high in spans),
            key=lambda z_m: abs(z_m - wanted_m),
        )
        above_m = max(high for low, high in one.slick_m if low - _SAME_M <= best <= high)
        return best, min(gap_m, above_m - best)

    def unhang(self) -> None:
        """What a line carries leaves the slips."""
        if self.guard:
            self.do(fa.RemoveSafetyClamp(holder=self.guard))
        if self.slips:
            self.do(fa.PullSlips(holder=self.slips))
        self.slips = self.guard = ""

    # --- cable --------------------------------------------------------------------------

    def connect_mle(self) -> None:
        """Readings, the MLE on the pothead, readings; from now on the reel follows."""
        self.tools()
        self.do(fa.Confirm(due="reading before MLE"))
        self.do(fa.ConnectMle())
        self.do(fa.Confirm(due="reading after MLE"))
        self.do(fa.Reel(to="follow"))
        self.mle = True
