"""The words of the well sketch: the hole on the left, the landed string on the right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.drawing.canvas import Canvas
from abreast.drawing.hole import (
    Hole,
    Tube,
    hole_of,
    inclination_rad,
    next_restriction,
    survey_marks,
)
from abreast.drawing.labels import Label
from abreast.errors import MissingInputError
from abreast.model import Assembly, Job, PlacedPiece, UpperItem, of_pipe
from abreast.units import Dimension, show

__all__ = ["MIDDLE", "WellFacts", "facts_of", "hole_labels", "string_labels"]

MIDDLE, WIDEST, NARROWEST = 112.0, 15.5, 9.5
"""Axis of the hole, and half widths of the outermost and innermost casing on A4 [mm]."""
_STRING_X = 119.0
_RUN_OF_PIPE = ("tubing", "pup", "joint")


@dataclass(frozen=True)
class WellFacts:
    """All that the sketch shows [m]; ``zero_m`` is the measured depth of height zero."""

    job: Job
    assembly: Assembly
    hole: Hole
    zero_m: float
    top_m: float

    def md_m(self, height_m: float) -> float:
        """Measured depth of a height."""
        return self.zero_m - height_m

    @property
    def halves_mm(self) -> tuple[float, ...]:
        """Half widths of the casings on A4, evenly apart: not to scale [mm]."""
        step = (WIDEST - NARROWEST) / max(len(self.hole.casings) - 1, 1)
        return tuple(WIDEST - number * step for number in range(len(self.hole.casings)))

    def half_mm(self, md_m: float) -> float:
        """Half width on A4 of the innermost casing at a depth [mm]."""
        pairs = zip(self.hole.casings, self.halves_mm, strict=True)
        here = [half for one, half in pairs if one.top_m <= md_m <= one.bottom_m]
        return min(here, default=WIDEST)

    @property
    def tail_end_m(self) -> float:
        """Depth of the lowest end."""
        return self.md_m(min(piece.bottom_m for piece in self.assembly.pieces))

    @property
    def restriction(self) -> Tube | None:
        """What a tool meets next below the tail."""
        return next_restriction(self.hole, self.tail_end_m)


def facts_of(job: Job, assembly: Assembly) -> WellFacts:
    """Collect what the sketch shows.

    Raises
    ------
    MissingInputError
        If nobody knows how deep the string hangs.
    """
    known = [one for one in assembly.pieces if one.top_md_m is not None]
    if not known:
        needs = job.setting.ytool_top_md_m.label or "the depth of the Y-tool top"
        raise MissingInputError(needs)
    zero_m = (known[0].top_md_m or 0.0) + known[0].top_m
    hole = hole_of(job)
    tops = [one.top_m for one in hole.tubes]
    return WellFacts(job, assembly, hole, zero_m, min([0.0, *tops]))


def _label(
    view: Canvas, md_m: float, name: str, x_mm: float, *more: str, tag: str = "", part: str = ""
) -> Label:
    figures, rows = (view.length(md_m),), tuple(row for row in more if row)
    bold = bool(tag)
    return Label(-md_m, view.mm(x_mm), name, "", figures, rows, tag, bold, part)


def _bore(view: Canvas, bore_m: float | None) -> str:
    return "bore not stated" if bore_m is None else f"bore {view.across(bore_m)}"


def hole_labels(view: Canvas, facts: WellFacts) -> list[Label]:
    """Casing, narrow places, perforations and survey, shallowest first."""
    found = [*_casing_labels(view, facts), *_narrow_labels(view, facts), *_survey(view, facts)]
    return sorted(found, key=lambda label: -label.height_m)


def _casing_labels(view: Canvas, facts: WellFacts) -> Iterator[Label]:
    for one in facts.hole.casings:
        x_mm, bore = MIDDLE - facts.half_mm(one.bottom_m), _bore(view, one.bore_m)
        if one.top_m > facts.top_m + 1.0 and one != facts.restriction:
            yield _label(view, one.top_m, f"top of {one.name}", x_mm, bore)
        yield _label(view, one.bottom_m, f"shoe of {one.name}", x_mm, bore)
    for one in facts.hole.perforations:
        x_mm = MIDDLE - facts.half_mm(one.top_m) - 2.6
        yield _label(view, one.top_m, f"perforations {one.name}".strip(), x_mm)
        yield _label(view, one.bottom_m, "their lower end", x_mm)


def _narrow_labels(view: Canvas, facts: WellFacts) -> Iterator[Label]:
    for one in facts.hole.openings:
        if one != facts.restriction:
            x_mm, bore = MIDDLE - facts.half_mm(one.top_m), _bore(view, one.bore_m)
            yield _label(view, one.top_m, one.name, x_mm, f"{bore}, {one.note}".strip(", "))


def _survey(view: Canvas, facts: WellFacts) -> Iterator[Label]:
    for mark in survey_marks(facts.job):
        yield from _inclined(view, facts, mark.md_m, mark.words)
    yield from _inclined(view, facts, facts.md_m(facts.assembly.top_m), "inclination at Y-tool")


def _inclined(view: Canvas, facts: WellFacts, md_m: float, words: str) -> Iterator[Label]:
    angle = inclination_rad(facts.job, md_m)
    if angle is not None:
        x_mm = MIDDLE - facts.half_mm(md_m)
        yield _label(view, md_m, f"{words} {show(angle, Dimension.ANGLE, view.system)}", x_mm)


def string_labels(view: Canvas, facts: WellFacts) -> list[Label]:
    """The landed string, its tail end and what is next below it, shallowest first."""
    found = [*_upper(view, facts), *_pieces(view, facts), *_ports(view, facts)]
    found += [*_next(view, facts)]
    return sorted(found, key=lambda label: -label.height_m)


def _upper(view: Canvas, facts: WellFacts) -> Iterator[Label]:
    """Items above the Y-tool by depth; those above a length to fit only by name."""
    unplaced = []
    for item, bottom_m in upper_depths(facts):
        if item.kind in _RUN_OF_PIPE:
            continue
        if bottom_m is None:
            unplaced.append(item.name)
        else:
            bore = f"lower end, {_bore(view, item.bore_m.known)}"
            yield _label(view, bottom_m, item.name, MIDDLE + 2, bore)
    for name in unplaced:
        yield Label(-facts.top_m, view.mm(MIDDLE + 2), name, more=("depth not stated",))


def upper_depths(facts: WellFacts) -> Iterator[tuple[UpperItem, float | None]]:
    """Items above the Y-tool with the depth of their lower ends, as far as lengths are known."""
    depth_m: float | None = facts.md_m(facts.assembly.top_m)
    for item in facts.job.upper:
        yield item, depth_m
        length_m = item.length_m.known
        depth_m = None if depth_m is None or length_m is None else depth_m - length_m


def _pieces(view: Canvas, facts: WellFacts) -> Iterator[Label]:
    assembly = facts.assembly
    for piece in assembly.side("both"):
        y_tool = piece.kind == "Y-tool"
        end_m = piece.top_m if y_tool else piece.bottom_m
        words = f"{piece.id}, top" if y_tool else f"{piece.id}, lower shoulder"
        yield _label(view, facts.md_m(end_m), words, _STRING_X, part=piece.id)
    yield from _esp(view, facts)
    for piece in assembly.side("bypass"):
        if piece.kind == "nipple":
            bore = f"smallest {_bore(view, _narrowest_m(facts.job, piece))}"
            md_m = facts.md_m(piece.bottom_m)
            yield _label(view, md_m, f"{piece.id}, lower end", _STRING_X, bore, part=piece.id)
    lowest = min(assembly.pieces, key=lambda piece: piece.bottom_m)
    yield _label(
        view, facts.tail_end_m, f"lowest end: {lowest.id}", _STRING_X, tag="END", part=lowest.id
    )


def _esp(view: Canvas, facts: WellFacts) -> Iterator[Label]:
    esp = facts.assembly.side("esp")
    for kind, words in (("pump", "pump discharge"), ("intake", "intake, top"), ("motor", "")):
        found = [piece for piece in esp if piece.kind == kind]
        if found:
            top = max(found, key=lambda piece: piece.top_m)
            name = words or f"{top.id}, top"
            yield _label(view, facts.md_m(top.top_m), name, _STRING_X, part=top.id)
    if esp:
        lowest = min(esp, key=lambda piece: piece.bottom_m)
        words = f"ESP lower end: {lowest.id}"
        yield _label(view, facts.md_m(lowest.bottom_m), words, _STRING_X, part=lowest.id)


def _narrowest_m(job: Job, piece: PlacedPiece) -> float | None:
    fixed = next((one for one in job.tail if one.id == piece.id and not one.rack), None)
    spec = fixed if fixed is not None else next((i for i in job.rack if i.id == piece.id), None)
    if spec is None:
        return None
    sizes = spec.no_go_m.known, of_pipe(job, spec, "bore_m").known
    return min((size for size in sizes if size is not None), default=None)


def _ports(view: Canvas, facts: WellFacts) -> Iterator[Label]:
    bottoms = {piece.id: piece.bottom_m for piece in facts.assembly.side("esp")}
    for port in facts.job.ports:
        height_m = port.height_m.known
        if port.kind == "pothead" and port.piece in bottoms and height_m is not None:
            md_m = facts.md_m(bottoms[port.piece] + height_m)
            yield _label(view, md_m, "pothead of the MLE", _STRING_X, part=port.id)


def _next(view: Canvas, facts: WellFacts) -> Iterator[Label]:
    found = facts.restriction
    if found is None:
        return
    top = "top of " if found in facts.hole.casings else ""
    away = f"{view.length(found.top_m - facts.tail_end_m)} {view.unit} below the lowest end"
    x_mm, bore = MIDDLE + facts.half_mm(found.top_m), _bore(view, found.bore_m)
    yield _label(view, found.top_m, f"{top}{found.name}", x_mm, bore, away, tag="NEXT")
