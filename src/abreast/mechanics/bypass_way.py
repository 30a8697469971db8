"""The way of a wireline tool: from the hanger to the open end of the bypass.

From the top: the completion above the Y-tool, the Y-tool with its S-bend and below
it the plug nipple in the bypass leg, adjustable union, joints, base support and
tail, or entry guide.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from abreast.errors import MissingInputError
from abreast.formulas.guard import not_negative
from abreast.mechanics.bores import path_bores
from abreast.mechanics.hole_curve import Curve, hole_curve
from abreast.mechanics.tool_passage import Bore
from abreast.mechanics.way_bends import HoleBends
from abreast.mechanics.way_pieces import Diameters, WayPiece, WayReader
from abreast.model import Assembly, Job
from abreast.spaceout.assemble import YTOOL_ID

__all__ = ["BypassWay", "Curved", "WayPiece", "bypass_way"]

Curved = Literal["hung", "hole", "straight"]


@dataclass(frozen=True, slots=True)
class BypassWay:
    """The whole way, top first.

    Parameters
    ----------
    pieces : tuple of WayPiece
        From the hanger to the open end.
    datum : str
        Zero of their depths.
    curve : Curve
        The sharpest place of the hole along all of it.
    assumptions, needs : tuple of str
        What was taken for granted, and what is missing before anything passes.
    """

    pieces: tuple[WayPiece, ...]
    datum: str
    curve: Curve
    assumptions: tuple[str, ...]
    needs: tuple[str, ...] = ()

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
        """Length of the completion above the Y-tool [m]."""
        inside = next(one for one in self.pieces if one.piece == YTOOL_ID)
        return inside.top_md_m - self.top_md_m

    @property
    def sharpest(self) -> WayPiece | None:
        """The piece that hangs bent sharpest; None: none is sharper than its hole."""
        found = max(self.pieces, key=lambda one: one.bend_rad_m)
        return found if found.bend_rad_m else None

    def bores(self, run_to: str = "", curved: Curved = "hung") -> tuple[Bore, ...]:
        """The way as a channel, as far down as above a place of it; blank: all of it.

        Parameters
        ----------
        run_to : str
            Name of that place.
        curved : {"hung", "hole", "straight"}
            Each piece as sharply as it hangs bent, or as the hole it hangs in; or
            with its offset alone.

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
            Bore(one.what, one.length_m, one.diameter_m, one.offset_m, _bend(one, curved))
            for one in self.pieces[:last]
        )


def _bend(one: WayPiece, curved: Curved) -> float:
    if curved == "straight":
        return 0.0
    return max(one.hole_rad_m, one.bend_rad_m if curved == "hung" else 0.0)


def bypass_way(
    job: Job,
    assembly: Assembly,
    bends_rad_m: Mapping[str, float] | float | None = None,
    *,
    diameters: Diameters = "drift",
) -> BypassWay:
    """The way of a tool from the hanger through the bypass of an assembly.

    Parameters
    ----------
    job : Job
        Bores, drifts, lengths above and inside the Y-tool, survey.
    assembly : Assembly
        Which pieces stand where.
    bends_rad_m : mapping, float or None
        How sharply each piece hangs bent, by its id, when that was worked out, or
        one figure for all; the hole is taken where it is sharper [rad/m].
    diameters : {"drift", "bore"}
        What counts as free in pipe: its drift, or its inner diameter.

    Raises
    ------
    MissingInputError
        For a diameter, a length, the depth of the Y-tool or a survey that is missing.

    Notes
    -----
    A piece above the Y-tool lies as the sharpest survey interval that it hangs in,
    the Y-tool and all below it as the sharpest of theirs. A drift above the Y-tool
    that is not measured is in ``needs``; the bore of the piece stands for it.
    """
    bores = path_bores(job, assembly)
    if assembly.union is None:
        raise MissingInputError(needs="the bypass pieces still to be run")
    reader = WayReader(job, assembly, bores, diameters)
    above, below = reader.above(), (*reader.ytool(), *reader.below())
    top_m, foot_m = above[0].top_md_m, below[-1].bottom_md_m
    curve, hole = hole_curve(job, top_m, foot_m), HoleBends(job)
    low_rad_m = hole.sharpest_rad_m(below[0].top_md_m, foot_m)
    pieces = (
        *(_hung(one, bends_rad_m, hole.sharpest_rad_m(*_ends(one))) for one in above),
        *(_hung(one, bends_rad_m, low_rad_m) for one in below),
    )
    needs = dict.fromkeys((*curve.needs, *hole.needs(top_m), *reader.needs))
    return BypassWay(pieces, assembly.datum, curve, tuple(reader.assumptions), tuple(needs))


def _ends(one: WayPiece) -> tuple[float, float]:
    return one.top_md_m, one.bottom_md_m


def _hung(
    one: WayPiece, bends_rad_m: Mapping[str, float] | float | None, hole_rad_m: float
) -> WayPiece:
    given = bends_rad_m.get(one.piece) if isinstance(bends_rad_m, Mapping) else bends_rad_m
    one = replace(one, hole_rad_m=hole_rad_m)
    if given is None or not_negative("bends_rad_m", given) <= hole_rad_m:
        return one
    return replace(one, bend_rad_m=given)
