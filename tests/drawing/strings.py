"""Twin strings for the tests: the two invented jobs as planned, and random ones."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st
from tests.model.jobs import FT, job_1, job_2

from abreast.model import (
    Assembly,
    Choice,
    Job,
    LandingState,
    PlacedClamp,
    PlacedPiece,
    PlacedUnion,
)
from abreast.spaceout.assemble import assemble

CHOICE_1 = Choice(
    items=("B05", "P07", "P01", "P04", "P08", "P10"),
    seat_m=0.25 * FT,
    union_m=3.0 * FT,
    lifts=(("B05",), ("P07",), ("P01",), ("P04",), ("P08", "P10")),
    bucket=0,
    pups=5,
    deviation_m=0.0,
)
CHOICE_2 = Choice(
    items=("K01", "Q07", "Q10", "Q02", "Q04"),
    seat_m=1.65,
    union_m=0.857,
    lifts=(("K01", "Q07"), ("Q10",), ("Q02",), ("Q04",)),
    bucket=0,
    pups=4,
    deviation_m=0.003,
)


def planned_1(**changes: Any) -> tuple[Job, Assembly]:
    job = job_1(**changes)
    return job, assemble(job, CHOICE_1)


def planned_2(**changes: Any) -> tuple[Job, Assembly]:
    job = job_2(**changes)
    return job, assemble(job, CHOICE_2)


class Planned:
    """A job and its string; shown by the pieces alone, since a job fills pages."""

    def __init__(self, job: Job, assembly: Assembly) -> None:
        self.job, self.assembly = job, assembly

    def __repr__(self) -> str:
        pieces = [(p.id, p.name, p.bottom_m, p.top_m) for p in self.assembly.pieces]
        return f"{self.job.arrangement} {pieces} {self.assembly.landings}"


WORDS = st.text(max_size=40) | st.sampled_from(
    ["<&\"'>", "x" * 80, "P08; =1+1", "9-5/8 in 47 lb/ft"]
)
LENGTHS = st.floats(0.02, 14.0)
PIPES = ("joint", "pup", "nipple", "crossover")
ESPS = ("motor", "pump", "protector", "intake")


@st.composite
def stacks(
    draw: st.DrawFn, prefix: str, kinds: tuple[str, ...], bottom_m: float, most: int
) -> list[PlacedPiece]:
    pieces = []
    for number in range(draw(st.integers(0, most))):
        length_m = draw(LENGTHS)
        pieces.append(
            PlacedPiece(
                side="esp" if prefix == "E" else "bypass",
                id=f"{prefix}{number}{draw(WORDS)}",
                name=draw(WORDS),
                kind=draw(st.sampled_from(kinds)),
                bottom_m=bottom_m,
                top_m=bottom_m + length_m,
                planned_m=length_m,
                overall_m=length_m + 0.05,
                make_up_loss_m=0.05,
                effective_m=length_m,
                body_od_m=draw(st.none() | st.floats(0.03, 0.2)),
                lift=draw(st.sampled_from(["", "D1", "a long name of a lift"])),
            )
        )
        bottom_m += length_m
    return pieces


def shifted(pieces: list[PlacedPiece], by_m: float) -> list[PlacedPiece]:
    return [
        p.model_copy(update={"bottom_m": p.bottom_m + by_m, "top_m": p.top_m + by_m})
        for p in pieces
    ]


def block(kind: str, bottom_m: float, top_m: float, md_m: float | None) -> PlacedPiece:
    return PlacedPiece(
        side="both",
        id=kind,
        kind=kind,
        bottom_m=bottom_m,
        top_m=top_m,
        planned_m=top_m - bottom_m,
        effective_m=top_m - bottom_m,
        top_md_m=md_m,
    )


@st.composite
def landing_states(draw: st.DrawFn, esp: list[PlacedPiece], top_m: float) -> list[LandingState]:
    found = []
    for number, piece in enumerate(esp):
        if draw(st.booleans()):
            low_m, high_m = sorted(draw(st.tuples(st.floats(0, 2), st.floats(0, 3))))
            above_m = draw(st.floats(-1, 4))
            found.append(
                LandingState(
                    id=f"L{number}{draw(WORDS)}",
                    piece=piece.id,
                    neck_m=piece.top_m - 0.1,
                    bypass_top_m=min(piece.top_m - 0.1 + above_m, top_m),
                    above_plate_m=above_m,
                    window_m=(low_m, high_m),
                )
            )
    return found


@st.composite
def twin_strings(draw: st.DrawFn) -> Planned:
    """A job and a string of any make-up: far more and far stranger pieces than a rig would run."""
    job = draw(st.sampled_from([job_1(), job_2()]))
    top_hung = job.is_top_hung
    esp = draw(stacks("E", ESPS, 0.0, 16))
    bypass = draw(stacks("B", PIPES, 0.7, 14))
    tail = [] if top_hung else draw(stacks("T", PIPES, 0.0, 12))
    if tail:
        tail = shifted(tail, -0.3 - tail[-1].top_m)
    leg_m = max([esp[-1].top_m if esp else 1.0, bypass[-1].top_m + 0.1 if bypass else 1.0])
    md_m = draw(st.none() | st.floats(100, 6000))
    foot = (
        block("guide", -1.6, -1.3, None).model_copy(update={"side": "bypass", "id": "entry guide"})
        if top_hung
        else block("base support", -0.3, 0.8, None)
    )
    bottom_m = bypass[-1].top_m if bypass else foot.top_m
    union = PlacedUnion(
        length_m=leg_m + 0.2 - bottom_m,
        bottom_m=bottom_m,
        top_m=leg_m + 0.2,
        from_target_m=draw(st.floats(-0.2, 0.2)),
        to_close_m=0.1,
        to_open_m=0.1,
    )
    clamps = [
        PlacedClamp(id=f"C{n}", height_m=z, shift_m=draw(st.sampled_from([0.0, 0.03])))
        for n, z in enumerate(sorted(draw(st.lists(st.floats(0, leg_m), max_size=8))))
    ]
    assembly = Assembly(
        status="planned",
        arrangement=job.arrangement,
        seat_m=1.6 if top_hung else 0.05,
        pieces=(*tail, foot, *bypass, *esp, block("Y-tool", leg_m, leg_m + 1.0, md_m)),
        clamps=tuple(clamps),
        union=draw(st.sampled_from([union, None])),
        landings=tuple(draw(landing_states(esp, leg_m))),
        esp_leg_m=leg_m,
        bypass_leg_m=leg_m + 0.2,
        top_m=leg_m + 1.0,
        datum="RKB",
    )
    return Planned(job, assembly)
