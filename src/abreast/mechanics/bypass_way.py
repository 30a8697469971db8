"""The way of a wireline tool: from the tubing above the Y-tool to the open end of the bypass.

From the top: tubing, the Y-tool with its S-bend and below it the plug nipple in
the bypass leg, adjustable union, joints, base support and tail, or entry guide.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from abreast.errors import MissingInputError
from abreast.formulas.guard import not_negative
from abreast.mechanics.bores import PathBore, depth_at, path_bores
from abreast.mechanics.hole_curve import Curve, hole_curve
from abreast.mechanics.tool_passage import Bore
from abreast.model import Assembly, Job, PlacedPiece
from abreast.spaceout.assemble import YTOOL_ID
from abreast.units import Dimension, show

__all__ = ["ABOVE_M", "BypassWay", "WayPiece", "bypass_way"]

ABOVE_M = 30.0
"""How much tubing above the Y-tool belongs to the way: a tool enters from it, so no stiff
length can be judged that is longer."""
_RING_M = 0.02
"""Length of a no-go below its shoulder."""
_SAME_M = 1e-4
_FITS_M = 0.005
Diameters = Literal["drift", "bore"]


@dataclass(frozen=True, slots=True)
class WayPiece:
    """A piece of the way.

    Parameters
    ----------
    name : str
        What it is: the id of a piece, ``S-bend``, ``plug nipple``, ``no-go of nipple``.
    piece : str
        Id of the piece it belongs to.
    top_md_m, bottom_md_m : float
        Its depths from the datum of the assembly [m].
    diameter_m : float
        The diameter that is taken as free [m].
    taken : str
        Which diameter that is, and why.
    offset_m : float
        Sideways shift of the axis along it [m].
    bend_rad_m : float
        How sharply it is bent where it hangs, if sharper than its hole [rad/m].
    """

    name: str
    piece: str
    top_md_m: float
    bottom_md_m: float
    diameter_m: float
    taken: str
    offset_m: float = 0.0
    bend_rad_m: float = 0.0

    @property
    def length_m(self) -> float:
        """Its length [m]."""
        return self.bottom_md_m - self.top_md_m


@dataclass(frozen=True, slots=True)
class BypassWay:
    """The whole way, top first, and the curvature of the hole that it lies in."""

    pieces: tuple[WayPiece, ...]
    datum: str
    curve: Curve
    assumptions: tuple[str, ...]

    @property
    def top_md_m(self) -> float:
        """Where it begins [m]."""
        return self.pieces[0].top_md_m

    @property
    def bottom_md_m(self) -> float:
        """Where it ends [m]."""
        return self.pieces[-1].bottom_md_m

    @property
    def above_m(self) -> float:
        """Length of tubing above the Y-tool that belongs to it [m]."""
        inside = next(one for one in self.pieces if one.piece == YTOOL_ID)
        return inside.top_md_m - self.top_md_m

    @property
    def sharpest(self) -> WayPiece | None:
        """The piece that hangs bent sharpest; None: none is sharper than its hole."""
        found = max(self.pieces, key=lambda one: one.bend_rad_m)
        return found if found.bend_rad_m else None

    def bores(self, run_to: str = "", *, bent: bool = True) -> tuple[Bore, ...]:
        """The way as a channel, as far down as above a place of it; blank: all of it.

        Parameters
        ----------
        run_to : str
            Name of that place.
        bent : bool
            Whether bends of its own count; the curvature of the hole is not in it.

        Raises
        ------
        MissingInputError
            If no piece or place of the way has that name.
        """
        names = [one.name for one in self.pieces]
        if run_to and run_to not in names:
            raise MissingInputError(
                needs=f"a place of the bypass way in run_to, not {run_to!r}; known are"
                f" {', '.join(dict.fromkeys(names))}"
            )
        last = names.index(run_to) if run_to else len(names)
        return tuple(
            Bore(
                one.name,
                one.length_m,
                one.diameter_m,
                one.offset_m,
                one.bend_rad_m if bent else 0.0,
            )
            for one in self.pieces[:last]
        )


def bypass_way(
    job: Job,
    assembly: Assembly,
    bends_rad_m: Mapping[str, float] | float | None = None,
    *,
    diameters: Diameters = "drift",
    above_m: float = ABOVE_M,
) -> BypassWay:
    """The way of a tool through the bypass of an assembly.

    Parameters
    ----------
    job : Job
        Bores, drifts, lengths inside the Y-tool, survey.
    assembly : Assembly
        Which pieces stand where.
    bends_rad_m : mapping, float or None
        How sharply each piece hangs bent, by its id, when that was worked out, or
        one figure for all; the hole is taken where it is sharper [rad/m].
    diameters : {"drift", "bore"}
        What counts as free in pipe: its drift, or its inner diameter.
    above_m : float
        Length of tubing above the Y-tool [m].

    Raises
    ------
    MissingInputError
        For a diameter, a length, the depth of the Y-tool or a survey that is missing.
    """
    bores = path_bores(job, assembly)
    if assembly.union is None:
        raise MissingInputError(needs="the bypass pieces still to be run")
    reader = _Reader(job, assembly, bores, diameters)
    pieces = (*reader.above(above_m), *reader.ytool(), *reader.below())
    curve = hole_curve(job, pieces[0].top_md_m, pieces[-1].bottom_md_m)
    bent = tuple(_bent(one, bends_rad_m, curve.rad_m) for one in pieces)
    return BypassWay(bent, assembly.datum, curve, tuple(reader.assumptions))


def _bent(
    one: WayPiece, bends_rad_m: Mapping[str, float] | float | None, hole_rad_m: float
) -> WayPiece:
    given = bends_rad_m.get(one.piece) if isinstance(bends_rad_m, Mapping) else bends_rad_m
    if given is None or not_negative("bends_rad_m", given) <= hole_rad_m:
        return one
    return replace(one, bend_rad_m=given)


class _Reader:
    """Pieces of the way, with what had to be taken for granted."""

    def __init__(
        self, job: Job, assembly: Assembly, bores: Sequence[PathBore], diameters: Diameters
    ) -> None:
        self.job, self.assembly, self.diameters = job, assembly, diameters
        self.by_piece: dict[str, list[PathBore]] = {}
        for one in bores:
            self.by_piece.setdefault(one.piece, []).append(one)
        self.assumptions = [
            "plane channel: S-bend and curvature of the hole in one plane, both ways round",
            "S-bend: two equal arcs, right below the top of the Y-tool's passage; plug nipple at"
            " the lower end of its bypass leg",
            "round bores; no scale, no wear, no plug in the way",
        ]
        if diameters == "drift":
            self.assumptions.append("pipe: its drift is free; machined parts: their bore is free")
        else:
            self.assumptions.append("pipe: its inner diameter is free over its whole length")

    # --- depths ------------------------------------------------------------------------------

    def _md(self, height_m: float) -> float:
        depth_m = depth_at(self.assembly, height_m)
        if depth_m is None:
            raise MissingInputError(needs="depth of the Y-tool in section setting")
        return depth_m

    def _piece(
        self, name: str, piece: str, heights_m: tuple[float, float], free: tuple[float, str]
    ) -> WayPiece:
        bottom_m, top_m = heights_m
        return WayPiece(name, piece, self._md(top_m), self._md(bottom_m), *free)

    # --- diameters ---------------------------------------------------------------------------

    def _known(self, piece: str, what: str) -> float | None:
        """A diameter of a piece; None: it has no such diameter."""
        one = next((one for one in self.by_piece.get(piece, ()) if one.what == what), None)
        if one is not None and one.bore_m is None:
            raise MissingInputError(needs="; ".join(one.needs))
        return None if one is None else one.bore_m

    def _free(self, piece: str) -> tuple[float, str]:
        drift_m = self._known(piece, "drift") if self.diameters == "drift" else None
        bore_m = self._known(piece, "bore")
        if drift_m is not None and (bore_m is None or drift_m <= bore_m):
            return drift_m, "drift: what was pushed through it"
        if bore_m is None:
            raise MissingInputError(needs=f"bore of {piece}")
        return bore_m, "bore: no drift of its own" if self.diameters == "drift" else "bore"

    # --- pieces ------------------------------------------------------------------------------

    def above(self, above_m: float) -> tuple[WayPiece, ...]:
        """Tubing above the Y-tool, lowest piece last."""
        found: list[WayPiece] = []
        bottom_m, left_m = self.assembly.top_m, above_m
        for item in self.job.upper:
            length_m = item.length_m.known
            if length_m is None:
                self.assumptions.append(f"{item.id} fills up what is missing of the tubing above")
            add_m = min(left_m, length_m or left_m)
            heights = (bottom_m, bottom_m + add_m)
            found.append(self._piece(item.id, item.id, heights, self._free(item.id)))
            bottom_m, left_m = bottom_m + add_m, left_m - add_m
            if found[-1].top_md_m < 0:
                needs = (
                    f"tools shorter than the tubing above the Y-tool; one is {self._long(above_m)}"
                )
                raise MissingInputError(needs=needs)
            if left_m <= _SAME_M:
                return tuple(reversed(found))
        needs = f"the completion above the Y-tool in upper.csv, {self._long(above_m)} of it"
        raise MissingInputError(needs=needs)

    def _long(self, length_m: float) -> str:
        return show(length_m, Dimension.LENGTH, self.job.units, digits=1)

    def ytool(self) -> Iterator[WayPiece]:
        """Straight bore, S-bend and plug nipple, in this order from the top."""
        bend_m, nipple_m = self._known(YTOOL_ID, "S-bend"), self._known(YTOOL_ID, "plug nipple")
        low_m, top_m = self.assembly.bypass_leg_m, self.assembly.top_m
        spec = self.job.ytool
        bend_low_m = low_m + (0.0 if nipple_m is None else spec.nipple_length_m.si)
        bend_top_m = bend_low_m + (0.0 if bend_m is None else spec.bend_length_m.si)
        if bend_top_m > top_m + _FITS_M:
            needs = "nipple_length and bend_length of the Y-tool that go into its length"
            raise MissingInputError(needs=needs)
        widest = max((one for one in (bend_m, nipple_m) if one is not None), default=None)
        if widest is None:
            raise MissingInputError(needs="bore of the Y-tool: its S-bend or its plug nipple")
        bend_top_m = min(bend_top_m, top_m)
        if top_m - bend_top_m > _SAME_M:
            free = widest, "bore of the S-bend: the rest of the passage has none of its own"
            yield self._piece("Y-tool", YTOOL_ID, (bend_top_m, top_m), free)
        if bend_m is not None:
            if abs(spec.bend_offset_m.si) > spec.bend_length_m.si:
                raise MissingInputError(
                    needs="bend_offset of the Y-tool, less than its bend_length"
                )
            one = self._piece("S-bend", YTOOL_ID, (bend_low_m, bend_top_m), (bend_m, "bore"))
            yield replace(one, offset_m=spec.bend_offset_m.si)
        if nipple_m is not None:
            free = nipple_m, "bore of the plug nipple"
            yield self._piece("plug nipple", YTOOL_ID, (low_m, bend_low_m), free)

    def below(self) -> Iterator[WayPiece]:
        """Union, bypass, base support and tail, or entry guide."""
        placed = [one for one in self.assembly.pieces if one.side != "esp" and one.id != YTOOL_ID]
        placed.sort(key=lambda one: -one.top_m)
        top_m = self.assembly.bypass_leg_m
        for one in placed:
            yield from self._with_no_go(one, top_m)
            top_m = one.bottom_m

    def _with_no_go(self, placed: PlacedPiece, top_m: float) -> Iterator[WayPiece]:
        """A piece; where it has a no-go, cut into what is above it, the no-go, what is below."""
        name, low_m = placed.id, placed.bottom_m
        no_go_m = self._known(name, "no-go")
        if no_go_m is None:
            yield self._piece(name, name, (low_m, top_m), self._free(name))
            return
        ring = next(one for one in self.by_piece[name] if one.what == "no-go")
        assert ring.bottom_m is not None and ring.top_m is not None
        head_m = min(max(ring.top_m, low_m + _RING_M), top_m)
        foot_m = min(ring.bottom_m, max(head_m - _RING_M, low_m))
        if head_m < top_m - _SAME_M:
            yield self._piece(name, name, (head_m, top_m), self._free(name))
        taken = no_go_m, "no-go: the smallest of its profile"
        yield self._piece(f"no-go of {name}", name, (foot_m, head_m), taken)
        if foot_m > low_m + _SAME_M:
            yield self._piece(f"{name}, below", name, (low_m, foot_m), self._free(name))
