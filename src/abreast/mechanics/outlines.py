"""The round outlines of an assembly: which piece is how wide, from where to where, off which axis.

The frame of a cross-section: looking down, the ESP's axis is the origin, x goes
to the axis of the bypass, y lies clockwise of it (down the page with x to the
right). Both axes keep the spacing of the job over the whole length.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from abreast.errors import MissingInputError
from abreast.formulas.enclosing import Disc, enclosing_circle
from abreast.mechanics.needs import needs_of
from abreast.model import (
    Assembly,
    EspPiece,
    FixedPiece,
    Job,
    PlacedPiece,
    Quantity,
    RackItem,
    free_body_ends_m,
    of_pipe,
    rack_item,
)
from abreast.spaceout.assemble import BASE_ID, GUIDE_ID, UNION_ID
from abreast.spaceout.budget import measured_bypass_lengths, reserve_m

__all__ = ["Outline", "axial_spread_m", "outlines", "string_items", "touches"]

Side = Literal["esp", "bypass", "both", "cable"]
_SAME_M = 1e-6


@dataclass(frozen=True, slots=True)
class Outline:
    """One shape over a length of the assembly.

    Parameters
    ----------
    piece : str
        Id of the piece, ``C1`` of a twin clamp, ``MLE``.
    side : {"esp", "bypass", "both", "cable"}
        What it belongs to.
    part : str
        Which part of the piece: ``connection``, ``neck``, ``clamp``; blank: its body.
    bottom_m, top_m : float
        Heights [m].
    discs : tuple of Disc
        The shape, as the hull of these [m]; empty when a size is missing.
    needs : str
        The size that is missing.
    """

    piece: str
    side: Side
    part: str
    bottom_m: float
    top_m: float
    discs: tuple[Disc, ...] = ()
    needs: str = ""

    @property
    def name(self) -> str:
        """How a person is told of it."""
        return f"{self.piece} {self.part}".strip()

    @property
    def radius_m(self) -> float:
        """Radius of its largest disc [m]; 0 when it is not known."""
        return max((disc.radius_m for disc in self.discs), default=0.0)


def touches(outline: Outline, bottom_m: float, top_m: float) -> bool:
    """Whether an outline reaches into a length or ends at it."""
    return outline.bottom_m <= top_m + _SAME_M and outline.top_m >= bottom_m - _SAME_M


def axial_spread_m(job: Job, assembly: Assembly) -> float:
    """How far a bypass connection may stand from its place beside the ESP [m].

    The reserve of the closure by the rules of the job: the likely error of all
    measured lengths times the reserve factor.

    Raises
    ------
    MissingInputError
        If a spread of the rules is missing.
    """
    items = [piece.id for piece in string_items(job, assembly)]
    return reserve_m(job, measured_bypass_lengths(job, items))


def string_items(job: Job, assembly: Assembly) -> tuple[PlacedPiece, ...]:
    """The rack pieces of the bypass above the base support or entry guide."""
    below = {piece.id for piece in job.tail}
    rack = {item.id for item in job.rack} - below
    return tuple(piece for piece in assembly.side("bypass") if piece.id in rack)


def outlines(job: Job, assembly: Assembly, spread_m: float) -> tuple[Outline, ...]:
    """Every round outline of an assembly but the cable's.

    Parameters
    ----------
    job : Job
        Diameters, lengths of necks, upsets and couplings.
    assembly : Assembly
        What stands at which height.
    spread_m : float
        How far the bypass above its foot may stand up or down of its place [m];
        each of its shapes is so much longer at both ends.

    Returns
    -------
    tuple of Outline
        A shape whose size is missing is there with ``needs``. A piece with no
        stated length of neck, upset or coupling has its largest diameter all
        along. Twin clamps, base support and Y-tool are discs of their own,
        centred on the smallest circle round the widest they hold.

    Raises
    ------
    MissingInputError
        If the axis spacing or the length of a twin clamp is missing.
    """
    spacing_m = job.setting.axis_spacing_m.si
    esp = tuple(_esp(job, assembly))
    bypass = tuple(_bypass(job, assembly, spacing_m, spread_m))
    whole = [_whole(job, assembly, piece) for piece in assembly.side("esp")]
    both = _both(job, assembly, _Strings((*whole, *bypass), (*esp, *bypass)))
    return (*esp, *bypass, *both)


def _round(
    piece: str, side: Side, part: str, ends_m: tuple[float, float], x_m: float, od: Quantity
) -> Outline:
    if od.known is None:
        return Outline(piece, side, part, *ends_m, needs=needs_of(od)[0])
    return Outline(piece, side, part, *ends_m, (Disc(x_m, 0.0, od.known / 2),))


# --- ESP side ------------------------------------------------------------------------------


def _esp(job: Job, assembly: Assembly) -> Iterator[Outline]:
    part = {piece.id: piece for piece in job.esp}
    for placed in assembly.side("esp"):
        whole, spec = _whole(job, assembly, placed), part[placed.id]
        neck = _neck_m(spec, placed)
        if neck is None:
            yield whole
            continue
        ends = (whole.bottom_m, neck[0]), (neck[1], whole.top_m)
        for bottom_m, top_m in ends:
            if top_m > bottom_m:
                yield Outline(placed.id, "esp", "", bottom_m, top_m, whole.discs, whole.needs)
        yield _round(placed.id, "esp", "neck", neck, 0.0, spec.neck_od_m)


def _whole(job: Job, assembly: Assembly, placed: PlacedPiece) -> Outline:
    """An ESP piece at its largest diameter; the lowest with its nose inside the base."""
    spec = next(piece for piece in job.esp if piece.id == placed.id)
    nose_m = 0.0
    if job.base is not None and placed.id == assembly.side("esp")[0].id:
        nose_m = job.base.nose_below_shoulder_m.or_else(0.0)
    ends_m = placed.bottom_m - nose_m, placed.top_m
    return _round(placed.id, "esp", "", ends_m, 0.0, spec.max_od_m)


def _neck_m(spec: EspPiece, placed: PlacedPiece) -> tuple[float, float] | None:
    """Lower and upper end of a neck; None when its length or diameter is not stated."""
    below_m, length_m = spec.neck_below_top_m.known, spec.neck_length_m.known
    if below_m is None or length_m is None or not spec.neck_od_m.is_given:
        return None
    middle_m = placed.top_m - below_m
    low_m = max(middle_m - length_m / 2, placed.bottom_m)
    return low_m, min(middle_m + length_m / 2, placed.top_m)


# --- bypass side ---------------------------------------------------------------------------


def _bypass(job: Job, assembly: Assembly, x_m: float, spread_m: float) -> Iterator[Outline]:
    tail = {piece.id: piece for piece in job.tail}
    for placed in assembly.side("bypass"):
        ends_m = placed.bottom_m, placed.top_m
        if placed.id in tail:
            fixed = tail[placed.id]
            spec = rack_item(job, placed.id) if fixed.rack else fixed
            yield from _pipe(job, spec, ends_m, x_m, 0.0)
        elif placed.id == GUIDE_ID and job.guide is not None:
            yield _wide(placed.id, ends_m, spread_m, x_m, job.guide.max_od_m)
        elif placed.id == UNION_ID:
            yield _wide(placed.id, ends_m, spread_m, x_m, job.union.max_od_m)
        else:
            yield from _pipe(job, rack_item(job, placed.id), ends_m, x_m, spread_m)
    if assembly.union is None:  # not closed yet
        top_m = max((placed.top_m for placed in assembly.side("bypass")), default=0.0)
        ends_m = min(top_m, assembly.bypass_leg_m), assembly.bypass_leg_m
        yield Outline("bypass", "bypass", "", *ends_m, needs="the bypass pieces still to be run")


def _wide(
    piece: str, ends_m: tuple[float, float], spread_m: float, x_m: float, od: Quantity
) -> Outline:
    return _round(piece, "bypass", "", (ends_m[0] - spread_m, ends_m[1] + spread_m), x_m, od)


def _pipe(
    job: Job, spec: RackItem | FixedPiece, ends_m: tuple[float, float], x_m: float, spread_m: float
) -> Iterator[Outline]:
    """A piece of pipe: its body, and its connections where their lengths are stated."""
    joint, body = of_pipe(job, spec, "joint_od_m"), of_pipe(job, spec, "body_od_m")
    if joint.state == "not applicable":  # flush
        joint = body
    lengths_m = _connection_lengths_m(job, spec)
    if lengths_m is None or sum(lengths_m) >= ends_m[1] - ends_m[0]:
        yield from _both_wide(spec.id, ends_m, spread_m, x_m, (joint, body))
        return
    low_m, high_m = ends_m[0] + lengths_m[0], ends_m[1] - lengths_m[1]
    for bottom_m, top_m in ((ends_m[0], low_m), (high_m, ends_m[1])):
        stretched_m = bottom_m - spread_m, top_m + spread_m
        yield _round(spec.id, "bypass", "connection", stretched_m, x_m, joint)
    yield _wide(spec.id, ends_m, spread_m, x_m, body)


def _both_wide(
    piece: str,
    ends_m: tuple[float, float],
    spread_m: float,
    x_m: float,
    diameters: tuple[Quantity, Quantity],
) -> Iterator[Outline]:
    """Connection and body all along; a body nobody states is not wider than its connection."""
    joint, body = diameters
    yield _wide(piece, ends_m, spread_m, x_m, joint)
    if body.is_given:
        yield _wide(piece, ends_m, spread_m, x_m, body)


def _connection_lengths_m(job: Job, spec: RackItem | FixedPiece) -> tuple[float, float] | None:
    if isinstance(spec, FixedPiece):
        return None
    try:
        return free_body_ends_m(job, spec)
    except MissingInputError:
        return None


# --- what holds both -----------------------------------------------------------------------


def _both(job: Job, assembly: Assembly, strings: _Strings) -> Iterator[Outline]:
    for placed in assembly.side("both"):
        block = job.base if placed.id == BASE_ID else job.ytool
        assert block is not None, "an assembly has the blocks of its job"
        ends_m = placed.bottom_m, placed.top_m
        x_m = block.centre_m.known
        if x_m is None:
            x_m = strings.centre_m(ends_m, block.max_od_m.known)
        yield _round(placed.id, "both", "", ends_m, x_m, block.max_od_m)
    specs = {clamp.id: clamp for clamp in job.clamps}
    for clamp in assembly.clamps:
        spec = specs[clamp.id]
        half_m = spec.length_m.si / 2
        ends_m = clamp.height_m - half_m, clamp.height_m + half_m
        x_m = spec.centre_m.known
        if x_m is None:
            x_m = strings.centre_m(ends_m, spec.max_od_m.known)
        yield _round(spec.id, "both", "clamp", ends_m, x_m, spec.max_od_m)


@dataclass(frozen=True, slots=True)
class _Strings:
    """Both strings: as wide as their pieces are anywhere, and as they are at each height."""

    widest: tuple[Outline, ...]
    real: tuple[Outline, ...]

    def centre_m(self, ends_m: tuple[float, float], od_m: float | None) -> float:
        """Where a block or clamp has its centre [m].

        In line with the widest beside it, as its maker would have it, but moved
        as little as it takes to lie round what it holds at its middle.
        """
        beside = _discs(self.widest, *ends_m)
        if not beside:
            return 0.0
        x_m = enclosing_circle(beside).x_m
        middle_m = (ends_m[0] + ends_m[1]) / 2
        held = _discs(self.real, middle_m, middle_m)
        if od_m is None or not held:
            return x_m
        least_m = max(disc.x_m + disc.radius_m for disc in held) - od_m / 2
        most_m = min(disc.x_m - disc.radius_m for disc in held) + od_m / 2
        return min(max(x_m, least_m), most_m) if least_m <= most_m else x_m


def _discs(shapes: Iterable[Outline], bottom_m: float, top_m: float) -> list[Disc]:
    return [disc for one in shapes if touches(one, bottom_m, top_m) for disc in one.discs]
