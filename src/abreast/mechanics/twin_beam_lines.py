"""The beams of a job: stiffness, weight and outlines of an assembly, and the hole it passes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from abreast.errors import MissingInputError
from abreast.formulas.tubulars import inside_diameter, second_moment, steel_area
from abreast.mechanics.needs import needs_of
from abreast.mechanics.outlines import outlines
from abreast.mechanics.take_up import locked_misfit_m
from abreast.mechanics.twin_beam import BeamSegment, BeamString, Held, Link, TwinBeam, Union
from abreast.mechanics.twin_beam_discs import ABOVE_M, Laid, discs
from abreast.model import Assembly, EspPiece, Job, PlacedPiece, Quantity, esp_string, rack_item
from abreast.spaceout.assemble import BASE_ID, GUIDE_ID, UNION_ID, YTOOL_ID
from abreast.units import Dimension, show
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["STEEL_KG_M3", "JobBeam", "read_twin_beam"]

STEEL_KG_M3 = 7850.0
"""Density of steel for buoyancy, common practice; strings are taken as full of the same fluid."""
# Y-tool against the stiffest piece beside it; much stiffer would only cost digits.
_RIGID = 20.0
_END_M = 1e-6
_NONE = Quantity.not_measured()


@dataclass(frozen=True, slots=True)
class JobBeam:
    """The beams of an assembly.

    Parameters
    ----------
    twin : TwinBeam
        Its coordinate is 0 at the upper end of the bypass, and grows downwards.
    zero_m : float
        Height of that zero in the ESP frame [m].
    assumptions : tuple of str
        What was taken as it is not stated.
    """

    twin: TwinBeam
    zero_m: float
    assumptions: tuple[str, ...]


def read_twin_beam(job: Job, assembly: Assembly, *, union: Union = "locked") -> JobBeam:
    """Both strings of an assembly, with at least 20 m of what is above the Y-tool.

    Parameters
    ----------
    job : Job
        Stiffness, sizes and masses of the pieces.
    assembly : Assembly
        A twin string whose union is set.
    union : {"locked", "free"}
        Whether the union is locked while the string is run; top-hung it never matters.

    Raises
    ------
    MissingInputError
        For any size, mass or stiffness that is not given.
    """
    return _Reader(job, assembly, union).read()


def _ei(ei_nm2: Quantity, od_m: Quantity, bore_m: Quantity, wall_m: Quantity, job: Job) -> float:
    """EI as stated, else Young's modulus times the second moment of its sizes [N m2]."""
    if ei_nm2.is_given:
        return ei_nm2.si
    youngs, inner_m = job.pipe.youngs_pa, _inner_m(od_m, bore_m, wall_m)
    if inner_m is None or not youngs.is_given:
        also = "its od with bore or wall, and youngs of bypass pipe"
        raise MissingInputError(needs=f"{ei_nm2.label or 'bending stiffness EI'}, or {also}")
    return youngs.si * second_moment(od_m.si, inner_m)


def _inner_m(od_m: Quantity, bore_m: Quantity, wall_m: Quantity) -> float | None:
    """Inner diameter, from the bore or from the wall [m]; None: its sizes are not given."""
    if not od_m.is_given or not (bore_m.is_given or wall_m.is_given):
        return None
    return bore_m.si if bore_m.is_given else inside_diameter(od_m.si, wall_m.si)


def _area_m2(od_m: Quantity, bore_m: Quantity, wall_m: Quantity = _NONE) -> float | None:
    """Area of steel [m2]; None: its sizes are not given."""
    inner_m = _inner_m(od_m, bore_m, wall_m)
    return None if inner_m is None else steel_area(od_m.si, inner_m)


def _weight_n(placed: PlacedPiece) -> float:
    if placed.mass_kg is None:
        raise MissingInputError(needs=f"mass of {placed.id}")
    return placed.mass_kg * GRAVITY_M_S2


class _Reader:
    def __init__(self, job: Job, assembly: Assembly, union: Union) -> None:
        if assembly.union is None:
            raise MissingInputError(needs="the union as set")
        self.job, self.assembly, self.union = job, assembly, union
        self.zero_m = max(assembly.bypass_leg_m, assembly.esp_leg_m)
        self.spacing_m = job.setting.axis_spacing_m.si
        self.shapes = outlines(job, assembly, 0.0)
        missing = sorted({one.needs for one in self.shapes if one.needs})
        if missing:
            raise MissingInputError(needs="; ".join(missing))
        if not job.fluids.annulus_kg_m3.is_given:
            raise MissingInputError(needs=needs_of(job.fluids.annulus_kg_m3)[0])
        self._ask_centres()
        self.left = 1 - job.fluids.annulus_kg_m3.si / STEEL_KG_M3
        steel = show(STEEL_KG_M3, Dimension.DENSITY, job.units)
        self.assumptions = [
            f"buoyancy as of steel of {steel}, strings full of the well's fluid",
            "cables weigh nothing; the Y-tool is rigid",
            "twin clamps that grip hand over drag; of weight and bending they pass on nothing along"
            " the strings",
        ]
        self.x_m = self._tubing_x_m()
        # Height at which the base support joins both strings, the ESP's seat; None: top-hung.
        self.base_m = None if job.base is None else 0.0

    def _ask_centres(self) -> None:
        """Where blocks and clamps lie across the hole decides in a tight casing: no guess."""
        job = self.job
        blocks = (job.ytool,) if job.base is None else (job.base, job.ytool)
        used = {one.id for one in self.assembly.clamps}
        clamps = (one for one in job.clamps if one.id in used)
        missing = needs_of(*(one.centre_m for one in (*blocks, *clamps)))
        if missing:
            raise MissingInputError(needs="; ".join(missing))

    def read(self) -> JobBeam:
        main = (*self._above(), *self._esp(), *self._foot())
        rigid = max(one.ei_nm2 for one in main if one.kind != "block") * _RIGID
        main = tuple(replace(one, ei_nm2=rigid) if one.name == YTOOL_ID else one for one in main)
        bypass = tuple(self._bypass(rigid))
        top_hung = self.base_m is None
        laid = Laid(self.job, self.assembly, self.shapes, self.zero_m, self.x_m, self.base_m)
        strings = tuple(
            BeamString(name, parts, tuple(discs(laid, side, (parts[0].top_m, parts[-1].bottom_m))))
            for name, side, parts in (("ESP", "esp", main), ("bypass", "bypass", bypass))
        )
        locked = self.union == "locked" and not top_hung
        twin = TwinBeam(
            strings,
            tuple(self._links()),
            (Held(0, main[0].top_m),),
            "locked" if locked else "free",
            locked_misfit_m(self.job, self.assembly, self.left) if locked else 0.0,
        )
        return JobBeam(twin, self.zero_m, tuple(self.assumptions))

    # --- where things are ------------------------------------------------------------------

    def _a(self, height_m: float) -> float:
        return self.zero_m - height_m

    def _tubing_x_m(self) -> float:
        """Axis of the tubing above, in the frame of the outlines [m]."""
        offset_m = self.job.ytool.bend_offset_m
        if offset_m.is_given:
            return self.spacing_m - offset_m.si
        self.assumptions.append("tubing above in line with the middle of the Y-tool")
        return next(one.discs[0].x_m for one in self.shapes if one.piece == YTOOL_ID)

    def _links(self) -> Iterator[Link]:
        yield Link(0.0, "rigid", name=YTOOL_ID)
        if self.base_m is not None:
            yield Link(self._a(self.base_m), "rigid", name=BASE_ID)
        specs = {clamp.id: clamp for clamp in self.job.clamps}
        for placed in self.assembly.clamps:
            spec = specs[placed.id]
            grips = spec.grip == "grips both"
            yield Link(self._a(placed.height_m), "clamp", spec.play_m.si, placed.id, grips)

    # --- segments --------------------------------------------------------------------------

    def _segment(
        self,
        name: str,
        heights_m: tuple[float, float],
        ei_nm2: float,
        weight_n_m: float,
        x_m: float,
        *,
        od_m: float | None = None,
        area_m2: float | None = None,
        ea_n: float = 1e12,
        kind: str = "body",
    ) -> BeamSegment:
        """A segment between two heights; its section modulus from EI, diameter and modulus."""
        youngs = self.job.pipe.youngs_pa.known
        known = youngs is not None and od_m is not None
        modulus = ei_nm2 / (youngs * od_m / 2) if known else None  # type: ignore[operator]
        bottom_m, top_m = heights_m
        return BeamSegment(
            name,
            self._a(top_m),
            self._a(bottom_m),
            ei_nm2,
            weight_n_m,
            self.left,
            ea_n,
            x_m - self.x_m,
            modulus,
            kind,
            area_m2,
        )

    def _above(self) -> Iterator[BeamSegment]:
        """The completion above, top first, and the Y-tool."""
        ytool = self.assembly.piece(YTOOL_ID)
        found, bottom_m = [], ytool.top_m
        for item in self.job.upper:
            left_m = ytool.top_m + ABOVE_M - bottom_m
            if left_m <= _END_M:
                break
            to_fit = item.kind == "tubing" and not item.length_m.is_given
            length_m = left_m if to_fit else item.length_m.si
            if item.mass_per_length_kg_m.is_given:
                mass_kg_m = item.mass_per_length_kg_m.si
            else:
                mass_kg_m = item.mass_kg.si / length_m
            heights = (bottom_m, bottom_m + length_m)
            segment = self._segment(
                item.id,
                heights,
                _ei(_NONE, item.od_m, item.bore_m, _NONE, self.job),
                mass_kg_m * GRAVITY_M_S2,
                self.x_m,
                od_m=item.od_m.si,
                area_m2=_area_m2(item.od_m, item.bore_m),
                kind="tubing",
            )
            found.append(segment)
            bottom_m += length_m
        if bottom_m < ytool.top_m + ABOVE_M - _END_M:
            up = show(ABOVE_M, Dimension.LENGTH, self.job.units, digits=1)
            raise MissingInputError(needs=f"the completion up to {up} above the Y-tool")
        yield from reversed(found)
        weight = _weight_n(ytool) / ytool.effective_m
        spans = ((self.zero_m, ytool.top_m, self.x_m), (ytool.bottom_m, self.zero_m, 0.0))
        for low_m, high_m, x_m in spans:
            if high_m - low_m > _END_M:
                yield self._segment(YTOOL_ID, (low_m, high_m), 1.0, weight, x_m, kind="block")

    def _esp(self) -> Iterator[BeamSegment]:
        """ESP pieces top first, down to the base support or their open end."""
        spec = {piece.id: piece for piece in esp_string(self.job)}
        foot_m = self.base_m if self.base_m is not None else -1e9
        for placed in reversed(self.assembly.side("esp")):
            for segment in self._esp_piece(spec[placed.id], placed):
                if segment.top_m < self._a(foot_m) - _END_M:
                    bottom_m = min(segment.bottom_m, self._a(foot_m))
                    yield replace(segment, bottom_m=bottom_m)

    def _esp_piece(self, spec: EspPiece, placed: PlacedPiece) -> Iterator[BeamSegment]:
        job = self.job
        clamps = {clamp.id: clamp for clamp in job.clamps}
        on = [c for c in self.assembly.clamps if placed.bottom_m <= c.height_m < placed.top_m]
        clamps_n = sum(clamps[c.id].mass_kg.si for c in on) * GRAVITY_M_S2
        weight = (_weight_n(placed) + clamps_n) / placed.effective_m
        ei = _ei(spec.ei_nm2, spec.body_od_m, spec.bore_m, spec.wall_m, job)
        ea_n = spec.ea_n.si
        ends = [placed.top_m, placed.bottom_m]
        if spec.neck_below_top_m.state == "not measured":
            raise MissingInputError(needs=needs_of(spec.neck_below_top_m)[0])
        neck_m = None
        if spec.has_neck:
            middle_m = placed.top_m - spec.neck_below_top_m.si
            half_m = spec.neck_length_m.si / 2
            neck_m = min(middle_m + half_m, placed.top_m), max(middle_m - half_m, placed.bottom_m)
            ends = sorted({*ends, *neck_m}, reverse=True)
        for top_m, bottom_m in pairwise(ends):
            if top_m - bottom_m < _END_M:
                continue
            heights = (bottom_m, top_m)
            if neck_m is not None and (top_m, bottom_m) == neck_m:
                yield self._segment(
                    placed.id,
                    heights,
                    spec.neck_ei_nm2.si,
                    weight,
                    0.0,
                    od_m=spec.neck_od_m.known,
                    ea_n=ea_n,
                    kind="neck",
                )
            else:
                yield self._segment(
                    placed.id,
                    heights,
                    ei,
                    weight,
                    0.0,
                    od_m=spec.body_od_m.known,
                    area_m2=_area_m2(spec.body_od_m, spec.bore_m, spec.wall_m),
                    ea_n=ea_n,
                )

    def _foot(self) -> Iterator[BeamSegment]:
        """Base support below the seat, with all its weight, and the tail."""
        base = self.job.base
        if base is None or self.base_m is None:
            return
        placed = self.assembly.piece(BASE_ID)
        weight = _weight_n(placed) / (self.base_m - placed.bottom_m)
        heights = (placed.bottom_m, self.base_m)
        yield self._segment(BASE_ID, heights, base.ei_nm2.si, weight, self.spacing_m, kind="block")
        for piece in reversed(self.assembly.side("bypass")):
            if piece.top_m <= placed.bottom_m + _END_M:
                yield self._pipe(piece)

    def _pipe(self, placed: PlacedPiece) -> BeamSegment:
        """A piece of tail or bypass, with the stiffness of its body."""
        job, pipe = self.job, self.job.pipe
        heights = (placed.bottom_m, placed.top_m)
        weight = _weight_n(placed) / placed.effective_m
        fixed = next((one for one in job.tail if one.id == placed.id and not one.rack), None)
        stated, ea_n, wall = _NONE.labelled(f"bending stiffness EI of {placed.id}"), _NONE, _NONE
        if placed.id == UNION_ID:
            stated, ea_n, od, bore = job.union.ei_nm2, job.union.ea_n, _NONE, _NONE
        elif placed.id == GUIDE_ID and job.guide is not None:
            guide = job.guide
            stated = _NONE.labelled(f"bending stiffness EI of {guide.name or 'the entry guide'}")
            od, bore = guide.max_od_m, guide.bore_m
        elif fixed is not None:
            od, bore = fixed.body_od_m, fixed.bore_m
        else:
            item = rack_item(job, placed.id)
            own = any(size.is_given for size in (item.body_od_m, item.bore_m, item.wall_m))
            stated, ea_n = stated if own else pipe.ei_nm2, pipe.ea_n
            od = item.body_od_m if item.body_od_m.is_given else pipe.body_od_m
            sized = item.bore_m.is_given or item.wall_m.is_given
            bore, wall = (item.bore_m, item.wall_m) if sized else (pipe.bore_m, pipe.wall_m)
        ea = ea_n.si if ea_n.is_given else 1e12
        if self.union == "locked" and self.base_m is not None and placed.bottom_m >= 0:
            ea = ea_n.si
        return self._segment(
            placed.id,
            heights,
            stated.si if placed.id == UNION_ID else _ei(stated, od, bore, wall, job),
            weight,
            self.spacing_m,
            od_m=od.known,
            area_m2=_area_m2(od, bore, wall),
            ea_n=ea,
        )

    def _bypass(self, rigid: float) -> Iterator[BeamSegment]:
        leg_m = self.assembly.bypass_leg_m
        if leg_m < self.zero_m - _END_M:
            yield self._segment(YTOOL_ID, (leg_m, self.zero_m), rigid, 0.0, self.spacing_m)
        foot_m = self.base_m if self.base_m is not None else -1e9
        for placed in reversed(self.assembly.side("bypass")):
            if placed.top_m > foot_m + _END_M:
                segment = self._pipe(placed)
                yield replace(segment, bottom_m=min(segment.bottom_m, self._a(foot_m)))
        base = self.job.base
        if base is None:
            return
        placed = self.assembly.piece(BASE_ID)
        passage_m = placed.bottom_m + placed.effective_m
        if passage_m > foot_m + _END_M:
            heights, ei = (foot_m, passage_m), base.ei_nm2.si
            ea = base.ea_n.si if self.union == "locked" else 1e12
            yield self._segment(BASE_ID, heights, ei, 0.0, self.spacing_m, ea_n=ea, kind="block")
