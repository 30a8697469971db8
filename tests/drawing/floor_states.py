"""States of a rig floor for pictures: any that the types allow, sensible or not."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain
from typing import get_args

from hypothesis import strategies as st
from tests.procedure.hand_made import HOLDERS, bare

from abreast.mechanics.ledger import Guard, Hold, HoldLoad, State, StepNumbers
from abreast.model.procedure import FloorHolder, HoistLine, Procedure
from abreast.model.rig import HolderType

ELEMENTS = (
    ("annular", 2.29, "annular"),
    ("4-1/2 rams", 3.35, "pipe rams"),
    ("blind-shear", 3.96, "blind-shear rams"),
    ("variable rams", 4.88, "variable rams"),
)
KINDS: tuple[str, ...] = get_args(HolderType)


def every_holder() -> tuple[FloorHolder, ...]:
    """One holder of every sort, and those of the hand-made run."""
    more = (
        FloorHolder(id=f"H{n}", type=kind, count=3)  # type: ignore[arg-type]
        for n, kind in enumerate(KINDS)
    )
    return tuple(chain(HOLDERS, more))


def floor() -> Procedure:
    """The pieces of the hand-made run, every sort of holder, and three hoists."""
    lines = (
        HoistLine(id="block", hoist="block", own_mass_kg=4300),
        HoistLine(id="line 2", hoist="block"),
        HoistLine(id="tugger", hoist="tugger"),
    )
    return bare(holders=every_holder(), lines=lines)


@dataclass(frozen=True)
class Picture:
    """What a picture is drawn from."""

    procedure: Procedure
    before: State
    after: State
    numbers: StepNumbers


@st.composite
def states(draw: st.DrawFn, procedure: Procedure) -> State:
    """Any pieces anywhere, any joints between them, any holders on them."""
    pieces = draw(st.lists(st.sampled_from(procedure.pieces), unique=True, min_size=1))
    heights = st.floats(-40.0, 20.0)
    offset = draw(heights)
    offsets = {one.id: draw(st.one_of(st.just(offset), heights)) for one in pieces}
    joints = {
        one.id: draw(st.sampled_from(("entered", "made", "recorded")))
        for one in procedure.joints
        if {one.lower, one.upper} <= set(offsets) and draw(st.booleans())
    }
    supports = ["", "plate", "rotary", *(one.id for one in procedure.lines)]
    grips = draw(
        st.lists(
            st.tuples(st.sampled_from(procedure.holders), st.sampled_from(procedure.pieces)),
            unique_by=lambda one: (one[0].id, one[1].id),
            max_size=6,
        )
    )
    holds = []
    for holder, piece in grips:
        z_m = draw(st.floats(piece.bottom_m, piece.top_m))
        by = draw(st.sampled_from(supports)) if piece.id in offsets else ""
        holds.append(Hold(holder.id, piece.id, z_m, by, bool(by) and draw(st.booleans())))
    some = st.sampled_from([one.id for one in pieces])
    guards = tuple(
        Guard("SC", draw(some), draw(st.floats(-2.0, 15.0)), 0.1)
        for _ in range(draw(st.integers(0, 1)))
    )
    return State(
        offsets=offsets,
        joints=joints,
        holds=tuple(holds),
        guards=guards,
        twin_clamps=frozenset(draw(st.sets(st.sampled_from([c.id for c in procedure.clamps])))),
        plate=draw(st.sampled_from(("open", "closed", "off"))),
        covered=draw(st.booleans()),
        mle=draw(st.booleans()),
        reel=draw(st.sampled_from(("follow", "hold"))),
        spliced=draw(st.booleans()),
        union_turns=draw(st.none() | st.floats(-2.0, 2.0)),
        union_locked=draw(st.booleans()),
        confirmed=frozenset(draw(st.sets(st.sampled_from(["counts", "well quiet"])))),
    )


@st.composite
def pictures(draw: st.DrawFn) -> Picture:
    """Two states that need not follow from one another, with any loads."""
    procedure = floor()
    before, after = draw(states(procedure)), draw(states(procedure))
    loads = st.floats(0.0, 2.0e5)
    holds = []
    for one in after.holds:
        low, high = sorted((draw(loads), draw(loads))) if one.taut else (0.0, 0.0)
        holds.append(HoldLoad(one.holder, one.on, one.by, one.taut, low, high, None, None))
    above = st.none() | st.floats(-3.0, 30.0)
    numbers = StepNumbers(
        holds=tuple(holds),
        links=(),
        weakest=None,
        bypass_top_m=draw(above),
        esp_face_m=draw(above),
        hook_left_m=draw(above),
        indicator_before_n=None,
        indicator_after_n=draw(st.none() | st.just((4.2e4, 5.1e4))),
    )
    return Picture(procedure, before, after, numbers)
