"""The pieces of the way of a wireline tool, and which of their diameters is free."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from abreast.errors import MissingInputError
from abreast.mechanics.bores import PathBore, depth_at
from abreast.mechanics.way_above import PieceAbove, pieces_above
from abreast.model import Assembly, Job, PlacedPiece
from abreast.spaceout.assemble import YTOOL_ID

__all__ = ["PIPE", "Diameters", "WayPiece", "WayReader", "piece_words"]

PIPE = ("tubing", "joint", "pup")
"""Kinds of pieces that are plain pipe."""
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
        Its place: the id of a piece, ``S-bend``, ``plug nipple``, ``no-go of nipple``.
    piece : str
        Id of the piece it belongs to.
    what : str
        What it is, in words: ``safety valve U6``.
    top_md_m, bottom_md_m : float
        Its depths from the datum of the assembly [m].
    diameter_m : float
        The diameter that is taken as free [m].
    taken : str
        Which diameter that is, and why.
    kind : str
        Kind of the piece, as its table has it; blank: it has none.
    bore_m, drift_m : float or None
        Its diameters as stated [m]; None: not known, or it has none.
    offset_m : float
        Sideways shift of the axis along it [m].
    hole_rad_m : float
        Sharpest curvature of the hole that it hangs in [rad/m].
    bend_rad_m : float
        How sharply it is bent where it hangs, if sharper than its hole [rad/m].
    follows : bool
        Its length is not stated: it fills what the others leave.
    """

    name: str
    piece: str
    what: str
    top_md_m: float
    bottom_md_m: float
    diameter_m: float
    taken: str
    kind: str = ""
    bore_m: float | None = None
    drift_m: float | None = None
    offset_m: float = 0.0
    hole_rad_m: float = 0.0
    bend_rad_m: float = 0.0
    follows: bool = False

    @property
    def length_m(self) -> float:
        """Its length [m]."""
        return self.bottom_md_m - self.top_md_m


def kind_of(job: Job, piece: str) -> str:
    """Kind of a piece of the way by its id; blank: it has none."""
    upper = {one.id: one.kind for one in job.upper}
    tail = {one.id: one.kind for one in job.tail if not one.rack}
    return ({one.id: one.kind for one in job.rack} | tail | upper).get(piece, "")


def piece_words(job: Job, piece: str) -> str:
    """What a piece of the way is, in words.

    Parameters
    ----------
    job : Job
        Its upper completion, rack and tail.
    piece : str
        Id of the piece.

    Returns
    -------
    str
        Kind and id, ``safety valve U6``; the id alone where it says what it is.
    """
    kind = kind_of(job, piece)
    return piece if kind in ("", "other") or kind in piece else f"{kind} {piece}"


class WayReader:
    """Pieces of the way, with what had to be taken for granted and what is missing."""

    def __init__(
        self, job: Job, assembly: Assembly, bores: Sequence[PathBore], diameters: Diameters
    ) -> None:
        self.job, self.assembly, self.diameters = job, assembly, diameters
        self.by_piece: dict[str, list[PathBore]] = {}
        for one in bores:
            self.by_piece.setdefault(one.piece, []).append(one)
        self.needs: list[str] = []
        self.assumptions = [
            "plane channel: S-bend and curvature of the hole in one plane, both ways round",
            "S-bend: two equal arcs, right below the top of the Y-tool's passage; plug nipple at"
            " the lower end of its bypass leg",
            "round bores; no scale, no wear, no plug in the way; a safety valve's flapper open",
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
        """A part with one diameter of its own: that, and no drift, is what a table shows."""
        bottom_m, top_m = heights_m
        depths_m = self._md(top_m), self._md(bottom_m)
        kind = kind_of(self.job, piece)
        return WayPiece(name, piece, name, *depths_m, *free, kind=kind, bore_m=free[0])

    def _whole(self, name: str, piece: str, heights_m: tuple[float, float]) -> WayPiece:
        """A part with the bore and drift of its piece."""
        one = self._piece(name, piece, heights_m, self._free(piece))
        words = piece_words(self.job, piece)
        return self._sized(replace(one, what=words + name.removeprefix(piece)))

    def _sized(self, one: WayPiece) -> WayPiece:
        sizes = {size.what: size.bore_m for size in self.by_piece[one.piece]}
        return replace(one, bore_m=sizes.get("bore"), drift_m=sizes.get("drift"))

    # --- diameters ---------------------------------------------------------------------------

    def _known(self, piece: str, what: str) -> float | None:
        """A diameter of a piece; None: it has no such diameter."""
        one = next((one for one in self.by_piece.get(piece, ()) if one.what == what), None)
        if one is not None and one.bore_m is None:
            raise MissingInputError(needs="; ".join(one.needs))
        return None if one is None else one.bore_m

    def _free(self, piece: str) -> tuple[float, str]:
        drift_m = self._known(piece, "drift") if self.diameters == "drift" else None
        return self._smaller(piece, drift_m, self._known(piece, "bore"))

    def _free_above(self, piece: str) -> tuple[float, str]:
        """As :meth:`_free`; one of both may be missing, and is asked for."""
        sizes = {one.what: one for one in self.by_piece.get(piece, ())}
        if self.diameters == "bore":
            sizes.pop("drift", None)
        self.needs += [need for one in sizes.values() for need in one.needs]
        drift, bore = sizes.get("drift"), sizes.get("bore")
        return self._smaller(piece, drift.bore_m if drift else None, bore.bore_m if bore else None)

    def _smaller(
        self, piece: str, drift_m: float | None, bore_m: float | None
    ) -> tuple[float, str]:
        if drift_m is not None and (bore_m is None or drift_m <= bore_m):
            return drift_m, "drift: what was pushed through it"
        if bore_m is None:
            raise MissingInputError(needs=f"bore of {piece}")
        return bore_m, "bore: no drift of its own" if self.diameters == "drift" else "bore"

    # --- pieces ------------------------------------------------------------------------------

    def above(self) -> tuple[WayPiece, ...]:
        """The completion above the Y-tool, hanger first."""
        found = pieces_above(self.job, self.assembly)
        to_fit = [piece_words(self.job, one.item.id) for one in found if one.follows]
        if to_fit:
            lands = f"the hanger lands at the {self.job.depth_reference}"
            self.assumptions.append(f"{lands}; {to_fit[0]} fills what is left")
        return tuple(self._above(one) for one in found)

    def _above(self, one: PieceAbove) -> WayPiece:
        name = one.item.id
        words, free = piece_words(self.job, name), self._free_above(name)
        piece = WayPiece(name, name, words, one.top_md_m, one.bottom_md_m, *free, one.item.kind)
        return self._sized(replace(piece, follows=one.follows))

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
            yield self._whole(name, name, (low_m, top_m))
            return
        ring = next(one for one in self.by_piece[name] if one.what == "no-go")
        assert ring.bottom_m is not None and ring.top_m is not None
        head_m = min(max(ring.top_m, low_m + _RING_M), top_m)
        foot_m = min(ring.bottom_m, max(head_m - _RING_M, low_m))
        if head_m < top_m - _SAME_M:
            yield self._whole(name, name, (head_m, top_m))
        taken = no_go_m, "no-go: the smallest of its profile"
        yield self._piece(f"no-go of {name}", name, (foot_m, head_m), taken)
        if foot_m > low_m + _SAME_M:
            yield self._whole(f"{name}, below", name, (low_m, foot_m))
