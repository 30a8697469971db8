"""The bore of the bypass path, piece by piece: from the tubing to its open lower end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.mechanics.needs import needs_of
from abreast.model import (
    Assembly,
    FixedPiece,
    Job,
    PlacedPiece,
    Quantity,
    RackItem,
    of_pipe,
    rack_item,
)
from abreast.spaceout.assemble import BASE_ID, GUIDE_ID, UNION_ID, YTOOL_ID

__all__ = ["PathBore", "path_bores"]


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
        Heights of the piece [m]; None: above pieces of no stated length.
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
        The completion above the Y-tool, the bypass leg, union, bypass, base
        support or entry guide, tail. A diameter that is not stated has ``needs``.
    """
    own = [bore for piece in assembly.pieces for bore in _of_piece(job, piece)]
    own.sort(key=lambda bore: -(bore.top_m or 0.0))
    return (*reversed(tuple(_upper(job, assembly))), *own)


def _of_piece(job: Job, placed: PlacedPiece) -> Iterator[PathBore]:
    if placed.side == "esp":
        return
    for what, value in _sizes(job, placed):
        if value.state == "not applicable":
            continue
        yield PathBore(placed.id, what, placed.bottom_m, placed.top_m, value.known, needs_of(value))


def _sizes(job: Job, placed: PlacedPiece) -> Iterator[tuple[str, Quantity]]:
    base, guide, ytool = job.base, job.guide, job.ytool
    if placed.id == YTOOL_ID:
        yield "plug nipple", ytool.nipple_bore_m
        yield "S-bend", ytool.bend_bore_m
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
