"""From a job and a choice of joints to the finished twin string, piece by piece.

Every height is summed here from the lengths of the pieces; the search that made
the choice is not asked. A choice that does not close shows as a gap at the union.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate, takewhile

from abreast.errors import InputError, MissingInputError
from abreast.model import (
    Assembly,
    Choice,
    Effective,
    Job,
    LandingState,
    Origin,
    PlacedClamp,
    PlacedPiece,
    PlacedUnion,
    base_top_m,
    clamp_height_m,
    esp_heights_m,
    esp_length_m,
    esp_string,
    free_body_ends_m,
    landing_window_m,
    neck_height_m,
    rack_item,
    tail_items,
)
from abreast.spaceout.placing import BASE_ID, GUIDE_ID, UNION_ID, YTOOL_ID, AsRun, Placer
from abreast.spaceout.stages import landing_ends

__all__ = [
    "BASE_ID",
    "GUIDE_ID",
    "UNION_ID",
    "YTOOL_ID",
    "AsRun",
    "assemble",
    "assembly_lifts",
]

_NEAR_M = 1e-6


def assemble(job: Job, choice: Choice, run: AsRun | None = None) -> Assembly:
    """The twin string that a choice of joints gives, every piece at its height and depth.

    Parameters
    ----------
    job : Job
        The job.
    choice : Choice
        Rack pieces bottom to top, seat height or stick-down, length of the
        union, lifts and clamp shifts. For a string that is not finished, the
        pieces run so far.
    run : AsRun, optional
        What is run and measured; then the result is an as-run string. Its union
        stands only once it is set, and until then landings that the bypass does
        not reach yet are left out.

    Returns
    -------
    Assembly
        Tail, base support or entry guide, bypass pieces and union, ESP pieces,
        Y-tool, each side bottom to top. Of the base support ``effective_m`` is
        what it adds to the bypass, its lower shoulder to the bypass connection;
        ``top_m`` is its upper end. A bypass piece with no landing is added after
        the last one.

    Raises
    ------
    InputError
        If the choice names a piece that is not on the rack, or names one twice.
    MissingInputError
        If a length, neck or window is missing.

    Notes
    -----
    P0 is the bypass connection of the base at this seat height, or the top of
    the entry guide at this stick-down; each piece adds overall less make-up
    loss. Elementary sums, see ``docs/conventions.md`` for the frame.
    """
    _refuse_strangers(job, choice)
    return _Builder(_with_measured(job, run), job, choice, run).assembly()


def assembly_lifts(choice: Choice) -> tuple[tuple[str, ...], ...]:
    """Lifts of the bypass bottom to top: as chosen, else each piece by itself.

    The lifts of a choice may leave out what was in the well before it; those
    pieces count as singles.
    """
    if choice.lifts is None:
        return tuple((item,) for item in choice.items)
    named = sum(len(lift) for lift in choice.lifts)
    below = choice.items[: len(choice.items) - named]
    return (*((item,) for item in below), *choice.lifts)


def _refuse_strangers(job: Job, choice: Choice) -> None:
    known = {item.id for item in job.rack}
    for item in choice.items:
        if item not in known:
            message = f"{item!r} is not on the rack; name pieces of this job's rack table"
            raise InputError(message, code="unknown-piece")
        if choice.items.count(item) > 1:
            message = f"{item!r} stands twice in the choice; a piece can be in one place only"
            raise InputError(message, code="piece-twice")
    lifted = [item for lift in assembly_lifts(choice) for item in lift]
    if lifted != list(choice.items):
        message = "the lifts are not the pieces of the choice in their order; cut them anew"
        raise InputError(message, code="bad-lifts")


def _with_measured(job: Job, run: AsRun | None) -> Job:
    """The job with the face-to-face lengths of the record in place of the planned ones."""
    if run is None or not run.esp_m:
        return job
    origin = Origin("measured", "as run")
    pieces = tuple(
        piece.model_copy(update={"remeasured_m": Effective.of(run.esp_m[piece.id], origin)})
        if piece.id in run.esp_m
        else piece
        for piece in job.esp
    )
    return job.model_copy(update={"esp": pieces})


class _Builder:
    """Holds what every part of one assembly needs; ``job`` carries measured ESP lengths."""

    def __init__(self, job: Job, planned: Job, choice: Choice, run: AsRun | None) -> None:
        self.job, self.planned, self.choice, self.run = job, planned, choice, run
        self.base_m = base_top_m(job) - choice.seat_m
        self.esp_leg_m = esp_length_m(job)
        self.place = Placer(job, run, self.esp_leg_m + job.ytool.length_m.si)
        self.lifts = assembly_lifts(choice)
        self.ends_m = self._lift_ends()
        self.made_at = self._lifts_made()

    def assembly(self) -> Assembly:
        """The whole string."""
        union = self._union()
        bypass = [*self._bypass()]
        if union is not None:
            bypass.append(self.place.union(union, self.choice.union_m))
        ytool = self.place.ytool(self.esp_leg_m)
        return Assembly(
            status="planned" if self.run is None else "as-run",
            arrangement=self.job.arrangement,
            seat_m=self.choice.seat_m,
            pieces=(*self._below(), *bypass, *self._esp(), ytool),
            clamps=tuple(sorted(self._clamps(bypass), key=lambda clamp: clamp.height_m)),
            union=union,
            landings=tuple(self._landings()),
            esp_leg_m=self.esp_leg_m,
            bypass_leg_m=self.esp_leg_m + self.job.ytool.bypass_leg_above_esp_leg_m.si,
            top_m=self.place.top_m,
            datum=self.job.depth_datum,
        )

    # --- lifts and landings

    def _lift_ends(self) -> tuple[float, ...]:
        def adds_m(lift: Sequence[str]) -> float:
            return sum(self.place.adds_m(rack_item(self.job, item)) for item in lift)

        return tuple(accumulate((adds_m(lift) for lift in self.lifts), initial=self.base_m))

    def _lifts_made(self) -> dict[str, int]:
        """Number of lifts made when each landing is reached, by landing id."""
        windows = []
        for landing in self.job.landings:
            neck_m = neck_height_m(self.job, landing.piece)
            low_m, high_m = landing_window_m(self.job, landing)
            windows.append((neck_m + low_m, neck_m + high_m))
        if self.run is not None and self.run.union_m is None:
            windows = [w for w in windows if w[0] <= self.ends_m[-1] + _NEAR_M]
        ends = landing_ends(
            self.ends_m,
            windows,
            self.job.rules.pre_run_height_m.known,
            made=self._in_the_well(),
            passed=self.job.in_well.landings_passed,
        )
        return dict(zip((one.id for one in self.job.landings), ends, strict=False))

    def _in_the_well(self) -> int:
        """Number of lifts, from the bottom, that are run."""
        done = self.place.done
        return len(list(takewhile(done.issuperset, self.lifts)))

    def _landings(self) -> Iterator[LandingState]:
        before = 0
        for landing in self.job.landings:
            if landing.id not in self.made_at:
                continue
            made = self.made_at[landing.id]
            neck_m = neck_height_m(self.job, landing.piece)
            yield LandingState(
                id=landing.id,
                piece=landing.piece,
                neck_m=neck_m,
                bypass_top_m=self.ends_m[made],
                above_plate_m=self.ends_m[made] - neck_m,
                window_m=landing_window_m(self.job, landing),
                added=tuple(item for lift in self.lifts[before:made] for item in lift),
            )
            before = made

    # --- pieces

    def _below(self) -> Iterator[PlacedPiece]:
        """Tail and base support, or the entry guide."""
        base, guide = self.job.base, self.job.guide
        if base is None:
            assert guide is not None, "a job has one or the other"
            yield self.place.guide(guide, self.base_m - guide.length_m.si)
            return
        shoulder_m = self.base_m - base.bypass_shoulder_m.si
        items = tail_items(self.job)
        bottom_m = shoulder_m - sum(self.place.adds_m(item) for item in items)
        for item in items:
            yield self.place.pipe(item, bottom_m)
            bottom_m += self.place.adds_m(item)
        yield self.place.base(base, shoulder_m)

    def _bypass(self) -> Iterator[PlacedPiece]:
        bottom_m = self.base_m
        made_up = {lift.pieces: lift.id for lift in self.job.lifts}
        for number, lift in enumerate(self.lifts):
            name = made_up.get(lift, "+".join(lift))
            landing = next((at for at, made in self.made_at.items() if number < made), "")
            for item in lift:
                piece = self.place.pipe(rack_item(self.job, item), bottom_m, name, landing)
                bottom_m = piece.top_m
                yield piece

    def _union(self) -> PlacedUnion | None:
        length_m = self.choice.union_m if self.run is None else self.run.union_m
        if length_m is None:
            return None
        return PlacedUnion(
            length_m=length_m,
            bottom_m=self.ends_m[-1],
            top_m=self.ends_m[-1] + length_m,
            from_target_m=length_m - self.job.union.wanted_m,
            to_close_m=length_m - self.job.union.closed_m.si,
            to_open_m=self.job.union.open_m.si - length_m,
        )

    def _esp(self) -> Iterator[PlacedPiece]:
        heights, planned = esp_heights_m(self.job), {p.id: p.length_m for p in self.planned.esp}
        at = self._landing_of_esp()
        for piece in esp_string(self.job):
            lift = "+".join(name for name in at if at[name] == at[piece.id])
            planned_m = planned[piece.id].or_else(piece.actual_m.si)
            bottom_m = heights[piece.id][0]
            yield self.place.esp(piece, bottom_m, planned_m, lift, at[piece.id])

    def _landing_of_esp(self) -> dict[str, str]:
        """Landing at which each ESP piece first hangs; what is above the last neck goes with it."""
        owner = {landing.piece: landing.id for landing in self.job.landings}
        string = esp_string(self.job)
        landing = next((owner[p.id] for p in reversed(string) if p.id in owner), "")
        found: dict[str, str] = {}
        for piece in reversed(string):
            landing = owner.get(piece.id, landing)
            found[piece.id] = landing
        return dict(reversed(found.items()))

    # --- twin clamps

    def _clamps(self, bypass: Sequence[PlacedPiece]) -> Iterator[PlacedClamp]:
        for clamp in self.job.clamps:
            shift_m = self.choice.clamp_shifts_m.get(clamp.id, 0.0)
            height_m = clamp_height_m(self.job, clamp) + shift_m
            on = next((p for p in bypass if p.bottom_m <= height_m < p.top_m), None)
            below_m, above_m = self._free(on, height_m, clamp.length_m.known)
            yield PlacedClamp(
                id=clamp.id,
                height_m=height_m,
                shift_m=shift_m,
                on_piece=clamp.piece,
                on_item="" if on is None else on.id,
                free_below_m=below_m,
                free_above_m=above_m,
            )

    def _free(
        self, on: PlacedPiece | None, height_m: float, length_m: float | None
    ) -> tuple[float | None, float | None]:
        """Free pipe below and above a clamp on that piece; None where it can't be known."""
        if on is None or on.id == UNION_ID or length_m is None:
            return None, None
        try:
            upset_m, coupling_m = free_body_ends_m(self.job, rack_item(self.job, on.id))
        except MissingInputError:
            return None, None
        low_m, high_m = height_m - length_m / 2, height_m + length_m / 2
        return low_m - (on.bottom_m + upset_m), (on.top_m - coupling_m) - high_m
