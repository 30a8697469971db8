"""From a job and a choice of joints to the finished twin string, piece by piece.

Every height is summed here from the lengths of the pieces; the search that made
the choice is not asked. A choice that does not close shows as a gap at the union.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from abreast.errors import InputError, MissingInputError
from abreast.model import (
    Assembly,
    Choice,
    Effective,
    EspPiece,
    FixedPiece,
    Job,
    LandingState,
    Origin,
    PlacedClamp,
    PlacedPiece,
    PlacedUnion,
    RackItem,
    base_top_m,
    clamp_height_m,
    convert_depth_m,
    effective_length,
    esp_heights_m,
    esp_length_m,
    esp_string,
    free_body_ends_m,
    landing_window_m,
    make_up_loss_m,
    neck_height_m,
    of_pipe,
    rack_item,
    tail_items,
)
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

BASE_ID = "base support"
GUIDE_ID = "entry guide"
UNION_ID = "adjustable union"
YTOOL_ID = "Y-tool"
_NEAR_M = 1e-6


@dataclass(frozen=True, slots=True)
class AsRun:
    """What the record knows of the pieces in the well.

    Parameters
    ----------
    bypass, esp : frozenset of str
        Ids of the pieces that are run on each side; ``base support``, ``entry
        guide``, ``adjustable union`` and ``Y-tool`` count to the bypass.
    bypass_m, esp_m : mapping of str to float
        Measured lengths: what a bypass piece adds to the string (effective
        length), face to face of an ESP piece [m].
    union_m : float, optional
        Length at which the union was set [m]; None until it is.
    """

    bypass: frozenset[str] = frozenset()
    esp: frozenset[str] = frozenset()
    bypass_m: Mapping[str, float] = field(default_factory=dict)
    esp_m: Mapping[str, float] = field(default_factory=dict)
    union_m: float | None = None


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
        stands only once it is set, and landings that the bypass does not reach
        yet are left out.

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
    builder = _Builder(_with_measured(job, run), job, choice, run)
    return builder.assembly()


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


def _length_mass_kg(job: Job, item: RackItem | FixedPiece) -> float | None:
    """Mass of a piece: as weighed, else that of plain pipe of its length."""
    plain = isinstance(item, RackItem) and item.kind in ("joint", "pup")
    if item.mass_kg.is_given or not plain or item.body_od_m.is_given:
        return item.mass_kg.known
    per_length, overall = job.pipe.mass_per_length_kg_m.known, item.overall_m.known
    return None if per_length is None or overall is None else per_length * overall


class _Builder:
    """Holds what every part of one assembly needs; ``job`` carries measured ESP lengths."""

    def __init__(self, job: Job, planned: Job, choice: Choice, run: AsRun | None) -> None:
        self.job, self.planned, self.choice, self.run = job, planned, choice, run
        self.seat_m = choice.seat_m
        self.base_m = base_top_m(job) - choice.seat_m
        self.esp_leg_m = esp_length_m(job)
        self.bypass_leg_m = self.esp_leg_m + job.ytool.bypass_leg_above_esp_leg_m.si
        self.top_m = self.esp_leg_m + job.ytool.length_m.si
        self.lifts = assembly_lifts(choice)
        self.ends_m = self._lift_ends()
        self.tail_end_m = self.ends_m[-1]
        self.hung = self._hung()

    def assembly(self) -> Assembly:
        bypass = tuple(self._bypass())
        union = self._union()
        placed_union = () if union is None else (self._union_piece(union),)
        return Assembly(
            status="planned" if self.run is None else "as-run",
            arrangement=self.job.arrangement,
            seat_m=self.seat_m,
            pieces=(
                *self._tail(),
                self._foot(),
                *bypass,
                *placed_union,
                *self._esp(),
                self._ytool(),
            ),
            clamps=tuple(self._clamps((*bypass, *placed_union))),
            union=union,
            landings=tuple(self._landings()),
            esp_leg_m=self.esp_leg_m,
            bypass_leg_m=self.bypass_leg_m,
            top_m=self.top_m,
            datum=self.job.depth_datum,
        )

    # --- lengths, depths and status ------------------------------------------------------

    def _adds_m(self, item: RackItem | FixedPiece) -> tuple[float, float | None]:
        planned_m = effective_length(self.job, item).si
        return planned_m, None if self.run is None else self.run.bypass_m.get(item.id)

    def _depth_m(self, height_m: float) -> float | None:
        setting = self.job.setting
        wanted_m = setting.ytool_top_md_m.known
        if wanted_m is None:
            return None
        md_m = wanted_m + self.top_m - height_m
        try:
            return convert_depth_m(self.job, md_m, setting.datum or self.job.depth_datum)
        except MissingInputError:
            return None

    def _span(self, bottom_m: float, top_m: float) -> dict[str, float | None]:
        return {
            "bottom_m": bottom_m,
            "top_m": top_m,
            "bottom_md_m": self._depth_m(bottom_m),
            "top_md_m": self._depth_m(top_m),
        }

    def _status(self, piece_id: str, *, esp: bool = False) -> Literal["planned", "run"]:
        if self.run is None:
            return "planned"
        done = self.run.esp if esp else self.run.bypass
        return "run" if piece_id in done else "planned"

    # --- lifts and landings --------------------------------------------------------------

    def _lift_ends(self) -> tuple[float, ...]:
        ends = [self.base_m]
        for lift in self.lifts:
            lengths = (self._adds_m(rack_item(self.job, item)) for item in lift)
            ends.append(ends[-1] + sum(p if a is None else a for p, a in lengths))
        return tuple(ends)

    def _hung(self) -> dict[str, int]:
        """Number of lifts made when each landing is reached, by landing id."""
        windows = []
        for landing in self.job.landings:
            neck_m = neck_height_m(self.job, landing.piece)
            low_m, high_m = landing_window_m(self.job, landing)
            windows.append((neck_m + low_m, neck_m + high_m))
        if self.run is not None and self.run.union_m is None:
            windows = [w for w in windows if w[0] <= self.tail_end_m + _NEAR_M]
        ends = landing_ends(self.ends_m, windows, self._pre_run_m())
        ids = [landing.id for landing in self.job.landings]
        return dict(zip(ids, ends, strict=False))

    def _pre_run_m(self) -> float | None:
        return self.job.rules.pre_run_height_m.known

    def _landing_of_lift(self, lift: int) -> str:
        return next((name for name, made in self.hung.items() if lift < made), "")

    def _lift_name(self, lift: Sequence[str]) -> str:
        made = (one.id for one in self.job.lifts if one.pieces == tuple(lift))
        return next(made, "+".join(lift))

    def _landings(self) -> Iterator[LandingState]:
        before = 0
        for landing in self.job.landings:
            if landing.id not in self.hung:
                continue
            made = self.hung[landing.id]
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

    # --- the bypass side -----------------------------------------------------------------

    def _tail(self) -> Iterator[PlacedPiece]:
        if self.job.base is None:
            return
        items = tail_items(self.job)
        lengths = [self._adds_m(item) for item in items]
        bottom_m = self.base_m - self.job.base.bypass_shoulder_m.si
        bottom_m -= sum(p if a is None else a for p, a in lengths)
        for item, (planned_m, actual_m) in zip(items, lengths, strict=True):
            piece = self._pipe(item, bottom_m, planned_m, actual_m)
            bottom_m = piece.top_m
            yield piece

    def _bypass(self) -> Iterator[PlacedPiece]:
        bottom_m = self.base_m
        for number, lift in enumerate(self.lifts):
            where = {"lift": self._lift_name(lift), "landing": self._landing_of_lift(number)}
            for name in lift:
                item = rack_item(self.job, name)
                piece = self._pipe(item, bottom_m, *self._adds_m(item)).model_copy(update=where)
                bottom_m = piece.top_m
                yield piece

    def _pipe(
        self,
        item: RackItem | FixedPiece,
        bottom_m: float,
        planned_m: float,
        actual_m: float | None,
    ) -> PlacedPiece:
        effective_m = planned_m if actual_m is None else actual_m
        return PlacedPiece(
            side="bypass",
            id=item.id,
            name="" if isinstance(item, RackItem) else item.name,
            kind=item.kind,
            **self._span(bottom_m, bottom_m + effective_m),
            planned_m=planned_m,
            actual_m=actual_m,
            overall_m=item.overall_m.si,
            make_up_loss_m=make_up_loss_m(self.job, item),
            effective_m=effective_m,
            body_od_m=of_pipe(self.job, item, "body_od_m").known,
            max_od_m=of_pipe(self.job, item, "joint_od_m").known,
            mass_kg=_length_mass_kg(self.job, item),
            serial=item.serial,
            status=self._status(item.id),
        )

    def _union(self) -> PlacedUnion | None:
        length_m = self.choice.union_m if self.run is None else self.run.union_m
        if length_m is None:
            return None
        union = self.job.union
        return PlacedUnion(
            length_m=length_m,
            bottom_m=self.tail_end_m,
            top_m=self.tail_end_m + length_m,
            from_target_m=length_m - union.wanted_m,
            to_close_m=length_m - union.closed_m.si,
            to_open_m=union.open_m.si - length_m,
        )

    def _union_piece(self, union: PlacedUnion) -> PlacedPiece:
        part = self.job.union
        return PlacedPiece(
            side="bypass",
            id=UNION_ID,
            name=part.name,
            kind="union",
            **self._span(union.bottom_m, union.top_m),
            planned_m=self.choice.union_m,
            actual_m=None if self.run is None else self.run.union_m,
            effective_m=union.length_m,
            body_od_m=part.max_od_m.known,
            max_od_m=part.max_od_m.known,
            mass_kg=part.mass_kg.known,
            serial=part.serial,
            status=self._status(UNION_ID),
        )

    # --- what joins the two sides --------------------------------------------------------

    def _foot(self) -> PlacedPiece:
        return self._guide() if self.job.base is None else self._base()

    def _base(self) -> PlacedPiece:
        base = self.job.base
        assert base is not None
        bottom_m = self.base_m - base.bypass_shoulder_m.si
        return PlacedPiece(
            side="both",
            id=BASE_ID,
            name=base.name,
            kind=BASE_ID,
            **self._span(bottom_m, bottom_m + base.length_m.si),
            planned_m=base.bypass_shoulder_m.si,
            overall_m=base.length_m.si,
            effective_m=base.bypass_shoulder_m.si,
            body_od_m=base.max_od_m.known,
            max_od_m=base.max_od_m.known,
            mass_kg=base.mass_kg.known,
            serial=base.serial,
            status=self._status(BASE_ID),
        )

    def _guide(self) -> PlacedPiece:
        guide = self.job.guide
        assert guide is not None
        length_m = guide.length_m.si
        return PlacedPiece(
            side="bypass",
            id=GUIDE_ID,
            name=guide.name,
            kind="guide",
            **self._span(self.base_m - length_m, self.base_m),
            planned_m=length_m,
            effective_m=length_m,
            body_od_m=guide.max_od_m.known,
            max_od_m=guide.max_od_m.known,
            mass_kg=guide.mass_kg.known,
            serial=guide.serial,
            status=self._status(GUIDE_ID),
        )

    def _ytool(self) -> PlacedPiece:
        ytool = self.job.ytool
        return PlacedPiece(
            side="both",
            id=YTOOL_ID,
            name=ytool.name,
            kind=YTOOL_ID,
            **self._span(self.esp_leg_m, self.top_m),
            planned_m=ytool.length_m.si,
            effective_m=ytool.length_m.si,
            body_od_m=ytool.max_od_m.known,
            max_od_m=ytool.max_od_m.known,
            mass_kg=ytool.mass_kg.known,
            serial=ytool.serial,
            status=self._status(YTOOL_ID),
        )

    # --- the ESP side --------------------------------------------------------------------

    def _esp(self) -> Iterator[PlacedPiece]:
        heights = esp_heights_m(self.job)
        landing = self._landing_of_esp()
        together = {name: [i for i in landing if landing[i] == name] for name in landing.values()}
        for piece in esp_string(self.job):
            planned_m = next(p for p in self.planned.esp if p.id == piece.id).length_m
            yield PlacedPiece(
                side="esp",
                id=piece.id,
                name=piece.name,
                kind=piece.kind,
                **self._span(*heights[piece.id]),
                planned_m=planned_m.or_else(piece.actual_m.si),
                actual_m=piece.remeasured_m.known,
                effective_m=piece.actual_m.si,
                body_od_m=piece.body_od_m.known,
                max_od_m=piece.max_od_m.known,
                mass_kg=piece.mass_kg.known,
                lift="+".join(together[landing[piece.id]]),
                landing=landing[piece.id],
                serial=piece.serial,
                status=self._status(piece.id, esp=True),
            )

    def _landing_of_esp(self) -> dict[str, str]:
        """Landing at which each ESP piece first hangs; what is above the last neck goes with it."""
        owner = {landing.piece: landing.id for landing in self.job.landings}
        string: tuple[EspPiece, ...] = esp_string(self.job)
        found: dict[str, str] = {}
        above = next((owner[p.id] for p in reversed(string) if p.id in owner), "")
        for piece in reversed(string):
            above = owner.get(piece.id, above)
            found[piece.id] = above
        return dict(reversed(found.items()))

    # --- twin clamps ---------------------------------------------------------------------

    def _clamps(self, bypass: Sequence[PlacedPiece]) -> Iterator[PlacedClamp]:
        placed = []
        for clamp in self.job.clamps:
            shift_m = self.choice.clamp_shifts_m.get(clamp.id, 0.0)
            height_m = clamp_height_m(self.job, clamp) + shift_m
            on = next((p for p in bypass if p.bottom_m <= height_m < p.top_m), None)
            below_m, above_m = self._free(on, height_m, clamp.length_m.known)
            placed.append(
                PlacedClamp(
                    id=clamp.id,
                    height_m=height_m,
                    shift_m=shift_m,
                    on_piece=clamp.piece,
                    on_item="" if on is None else on.id,
                    free_below_m=below_m,
                    free_above_m=above_m,
                )
            )
        yield from sorted(placed, key=lambda one: one.height_m)

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
