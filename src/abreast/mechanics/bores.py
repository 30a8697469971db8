"""The bore of the bypass path, piece by piece: from the tubing to its open lower end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from abreast.mechanics.needs import needs_of
from abreast.model import (
    Assembly,
    FixedPiece,
    Job,
    PlacedPiece,
    Quantity,
    RackItem,
    convert_depth_m,
    of_pipe,
    rack_item,
)
from abreast.spaceout.assemble import BASE_ID, GUIDE_ID, UNION_ID, YTOOL_ID

__all__ = [
    "PathBore",
    "Smallest",
    "depth_at",
    "depths_from_every_zero",
    "path_bores",
    "smallest_on_path",
]


@dataclass(frozen=True, slots=True)
class PathBore:
    """One diameter on the way of a wireline tool.

    Parameters
    ----------
    piece : str
        Id of the piece.
    what : str
        Which diameter of it: ``bore``, ``drift``, ``no-go``, ``plug nipple``, ``S-bend``.
    bottom_m, top_m : float or None
        Heights between which it stands [m]; None: above pieces of no stated length.
    bore_m : float or None
        The diameter [m]; None: it is missing.
    needs : tuple of str
        The input that is missing.
    """

    piece: str
    what: str
    bottom_m: float | None
    top_m: float | None
    bore_m: float | None
    needs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Smallest:
    """The smallest diameter of the whole path, and the smallest that is met before it.

    Parameters
    ----------
    place : PathBore or None
        Where it is; None: no diameter is known.
    before : PathBore or None
        The smallest of those above it; None: there are none.
    depths : tuple
        For each named zero of depth, its name and the depths of the upper and
        lower end of the place [m].
    needs : tuple of str
        Diameters that are missing: the true smallest may then be smaller.
    """

    place: PathBore | None
    before: PathBore | None
    depths: tuple[tuple[str, float, float], ...]
    needs: tuple[str, ...]


def smallest_on_path(job: Job, assembly: Assembly) -> Smallest:
    """The smallest diameter of the way from the hanger to the open end; of several the uppermost.

    Parameters
    ----------
    job : Job
        Diameters, and the zeros of depth.
    assembly : Assembly
        Which pieces stand where.
    """
    bores = path_bores(job, assembly)
    needs = dict.fromkeys(need for bore in bores for need in bore.needs)
    if assembly.union is None:
        needs["the bypass pieces still to be run"] = None
    place = _least(bores)
    if place is None:
        return Smallest(None, None, (), tuple(needs))
    before = _least(bores[: bores.index(place)])
    return Smallest(place, before, _depths(job, assembly, place), tuple(needs))


def _least(bores: Sequence[PathBore]) -> PathBore | None:
    known = [(bore.bore_m, bore) for bore in bores if bore.bore_m is not None]
    return min(known, key=lambda one: one[0])[1] if known else None


def _depths(job: Job, assembly: Assembly, place: PathBore) -> tuple[tuple[str, float, float], ...]:
    if place.top_m is None or place.bottom_m is None:
        return ()
    top_m, bottom_m = depth_at(assembly, place.top_m), depth_at(assembly, place.bottom_m)
    if top_m is None or bottom_m is None:
        return ()
    return depths_from_every_zero(job, assembly, top_m, bottom_m)


def depths_from_every_zero(
    job: Job, assembly: Assembly, top_md_m: float, bottom_md_m: float
) -> tuple[tuple[str, float, float], ...]:
    """Two depths from every named zero of the job, that of the string first [m].

    Parameters
    ----------
    job : Job
        Its datums.
    assembly : Assembly
        Whose datum the depths have.
    top_md_m, bottom_md_m : float
        The depths [m].
    """
    zeros = [one.id for one in job.datums if one.elevation_m.is_given]
    if assembly.datum not in zeros:
        return ((assembly.datum, top_md_m, bottom_md_m),)
    zeros.sort(key=lambda zero: zero != assembly.datum)
    return tuple(
        (
            zero,
            convert_depth_m(job, top_md_m, assembly.datum, zero),
            convert_depth_m(job, bottom_md_m, assembly.datum, zero),
        )
        for zero in zeros
    )


def depth_at(assembly: Assembly, height_m: float) -> float | None:
    """Measured depth of a height of the path, from the datum of the assembly [m]."""
    ytool = next((one for one in assembly.pieces if one.id == YTOOL_ID), None)
    if ytool is None or ytool.top_md_m is None:
        return None
    return ytool.top_md_m + assembly.top_m - height_m


def path_bores(job: Job, assembly: Assembly) -> tuple[PathBore, ...]:
    """Every diameter that a tool meets on its way down, top first.

    Parameters
    ----------
    job : Job
        Bores of pipe, nipples, union, Y-tool, base support and tubing.
    assembly : Assembly
        Which pieces stand where.

    Returns
    -------
    tuple of PathBore
        The completion above the Y-tool, its S-bend, the plug nipple in its bypass
        leg, union, bypass, base support or entry guide, tail. A diameter that is
        not stated has ``needs``.
    """
    own = [bore for piece in assembly.pieces for bore in _of_piece(job, assembly, piece)]
    own.sort(key=lambda bore: -(bore.top_m or 0.0))
    return (*reversed(tuple(_upper(job, assembly))), *own)


def _of_piece(job: Job, assembly: Assembly, placed: PlacedPiece) -> Iterator[PathBore]:
    if placed.side == "esp":
        return
    for what, value in _sizes(job, placed):
        if value.state == "not applicable":
            continue
        heights_m = _heights_m(job, assembly, placed, what)
        yield PathBore(placed.id, what, *heights_m, value.known, needs_of(value))


def _heights_m(job: Job, assembly: Assembly, placed: PlacedPiece, what: str) -> tuple[float, float]:
    """Where a diameter of a piece begins and ends; all of the piece where nobody says."""
    ytool = job.ytool
    nipple_m = ytool.nipple_length_m.known or 0.0
    leg_m = assembly.bypass_leg_m
    if what == "plug nipple":
        return leg_m, leg_m + nipple_m if nipple_m else placed.top_m
    if what == "S-bend":
        bend_m = ytool.bend_length_m.known
        return leg_m + nipple_m, leg_m + nipple_m + bend_m if bend_m else placed.top_m
    if what == "no-go":
        profile_m = _spec(job, placed.id).profile_m.known
        if profile_m is not None:
            return placed.bottom_m + profile_m, placed.bottom_m + profile_m
    return placed.bottom_m, placed.top_m


def _sizes(job: Job, placed: PlacedPiece) -> Iterator[tuple[str, Quantity]]:
    base, guide, ytool = job.base, job.guide, job.ytool
    if placed.id == YTOOL_ID:
        yield "S-bend", ytool.bend_bore_m
        yield "plug nipple", ytool.nipple_bore_m
    elif placed.id == UNION_ID:
        yield "bore", job.union.bore_m
    elif placed.id == BASE_ID and base is not None:
        yield "bore", base.bore_m
    elif placed.id == GUIDE_ID and guide is not None:
        yield "bore", guide.bore_m
    else:
        yield from _pipe_sizes(job, _spec(job, placed.id))


def _spec(job: Job, name: str) -> RackItem | FixedPiece:
    fixed = next((piece for piece in job.tail if piece.id == name), None)
    return fixed if fixed is not None and not fixed.rack else rack_item(job, name)


def _pipe_sizes(job: Job, spec: RackItem | FixedPiece) -> Iterator[tuple[str, Quantity]]:
    yield "bore", of_pipe(job, spec, "bore_m")
    if spec.no_go_m.is_given or (spec.kind == "nipple" and spec.no_go_m.state == "not measured"):
        yield "no-go", spec.no_go_m
    if isinstance(spec, RackItem) and spec.kind in ("joint", "pup") and not spec.bore_m.is_given:
        yield "drift", job.pipe.drift_m


def _upper(job: Job, assembly: Assembly) -> Iterator[PathBore]:
    bottom_m: float | None = assembly.top_m
    for item in job.upper:
        length_m = item.length_m.known
        top_m = None if bottom_m is None or length_m is None else bottom_m + length_m
        for what, value in (("bore", item.bore_m), ("drift", item.drift_m)):
            if value.state != "not applicable":
                yield PathBore(item.id, what, bottom_m, top_m, value.known, needs_of(value))
        bottom_m = top_m
