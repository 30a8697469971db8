"""A step picture in the making: its states, look-ups, columns, and the height of each piece."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from abreast.drawing.floor_changes import SUPPORTS, Changes, Grip, changes, grips
from abreast.drawing.floor_layout import Heights, Layout
from abreast.mechanics.ledger.state import Hold, State
from abreast.model.procedure import ClampPlace, FloorPiece, Procedure
from abreast.units import Dimension, show

__all__ = ["Element", "FloorView", "Held"]

_LIFT_GAP_M = 0.3
_FOOT_M = -3.0
"""Lower ends above this are shown where they are; deeper ones are cut."""
_UNCUT_M = 2.5
"""So far below the elements the base support is not cut through."""
_ESP_MM, _BYPASS_MM, _THIN_MM = 3.0, 1.7, 0.9


class Element(NamedTuple):
    """Something below the floor that can close on what stands in the hole."""

    name: str
    depth_m: float
    """Below the floor."""
    kind: str


@dataclass(frozen=True, slots=True)
class Held:
    """All holds of one holder on one piece."""

    grip: Grip
    holds: tuple[Hold, ...]

    @property
    def taut(self) -> bool:
        """Whether it may carry."""
        return any(one.taut for one in self.holds)

    @property
    def support(self) -> str:
        """Plate or rotary that it stands on, blank for none."""
        return next((one.by for one in self.holds if one.by in SUPPORTS), "")

    @property
    def on_lines(self) -> tuple[Hold, ...]:
        """The holds by lines."""
        return tuple(one for one in self.holds if one.by and one.by not in SUPPORTS)


class FloorView:
    """What all parts of a picture look up."""

    def __init__(
        self,
        procedure: Procedure,
        before: State,
        after: State,
        layout: Layout,
        elements: Sequence[Element],
        *,
        plan_view: bool = False,
    ) -> None:
        self.plan_view = plan_view
        self.procedure = procedure
        self.before = before
        self.after = after
        self.layout = layout
        self.elements = elements
        self.site = procedure.site
        self.pieces = {one.id: one for one in procedure.pieces}
        self.joints = {one.id: one for one in procedure.joints}
        self.holders = {one.id: one for one in procedure.holders}
        self.lines = {one.id: one for one in procedure.lines}
        self.clamps = {one.id: one for one in procedure.clamps}
        self.changes: Changes = changes(before, after)
        self.held = [Held(grip, tuple(holds)) for grip, holds in grips(after).items()]
        self.raised: dict[str, float] = {}
        self.offsets = self._offsets()
        self.heights = Heights(layout, self._events())

    # --- heights ------------------------------------------------------------------------

    @property
    def level_m(self) -> float:
        """Working level above the floor."""
        return self.site.plate_m if self.after.plate == "closed" else 0.0

    @property
    def level(self) -> str:
        """What the working level is."""
        return "plate" if self.after.plate == "closed" else "floor"

    def at_m(self, piece: str, z_m: float) -> float | None:
        """Height above the floor at which a height of a piece is drawn; None: on the rack."""
        offset = self.offsets.get(piece)
        return None if offset is None else offset + z_m

    def y(self, at_m: float) -> float:
        """Place of a height above the floor [mm]."""
        return self.heights.y(at_m)

    def shows(self, at_m: float) -> bool:
        """Whether a height is above the lower end of the picture."""
        return at_m >= self.heights.end_m

    def in_window(self, at_m: float) -> bool:
        """Whether a height is where the picture is to scale."""
        low, high = self.layout.window_m
        return low <= at_m <= high

    @cached_property
    def components(self) -> list[list[str]]:
        """Pieces that are joined or entered, in groups, the lowest first."""
        parent = {one: one for one in self.after.offsets}

        def root(one: str) -> str:
            while parent[one] != one:
                one = parent[one]
            return one

        def tie(one: str, other: str) -> None:
            if one in parent and other in parent:
                parent[root(other)] = root(one)

        for name in self.after.joints:
            joint = self.joints[name]
            tie(joint.lower, joint.upper)
        for name in sorted(self.after.twin_clamps):
            tie(self.clamps[name].esp, self.clamps[name].bypass)
        groups: dict[str, list[str]] = {}
        for one in parent:
            groups.setdefault(root(one), []).append(one)
        return sorted(groups.values(), key=self._foot_m)

    def _foot_m(self, group: Iterable[str]) -> float:
        return min(self.after.offsets[one] + self.pieces[one].bottom_m for one in group)

    def hangs_free(self, group: Iterable[str]) -> bool:
        """Whether a group hangs from lines and stands on nothing."""
        members = set(group)
        mine = [one for one in self.held if one.grip[1] in members]
        return any(one.on_lines for one in mine) and not any(one.support for one in mine)

    def _offsets(self) -> dict[str, float]:
        """Where pieces are drawn: a lift that hangs free is drawn above what stands below it."""
        drawn: dict[str, float] = {}
        for group in sorted(self.components, key=self.hangs_free):  # what stands comes first
            by_m = 0.0
            if drawn and self.hangs_free(group):
                columns = {side for one in group for side in self.sides(one)}
                tops = [
                    at + self.pieces[one].top_m
                    for one, at in drawn.items()
                    if columns & set(self.sides(one))
                ]
                foot = self._foot_m(group)
                if tops:
                    by_m = max(0.0, max(tops) + _LIFT_GAP_M - foot)
            for one in group:
                drawn[one] = self.after.offsets[one] + by_m
                if by_m:
                    self.raised[one] = by_m
        return drawn

    def _events(self) -> Iterator[float]:
        """Heights that must be told apart outside the window."""
        for group in self.components:
            for side in ("esp", "bypass", "tubing"):
                mine = [one for one in group if side in self.sides(one)]
                if mine:
                    yield max(self.offsets[one] + self.pieces[one].top_m for one in mine)
            foot = min(self.offsets[one] + self.pieces[one].bottom_m for one in group)
            if foot > _FOOT_M:
                yield foot
        for name, at in self.offsets.items():
            piece = self.pieces[name]
            if piece.string == "base" and at + piece.bottom_m > -self._deepest_m - _UNCUT_M:
                yield at + piece.bottom_m
        for held in self.held:
            yield from self._at(held.grip[1], held.holds[0].z_m)
        for guard in self.after.guards:
            yield from self._at(guard.on, guard.z_m)
        for name in (*self.changes.joints, *self._entered()):
            joint = self.joints[name]
            yield from self._at(joint.lower, joint.z_m)
        for name in self.changes.clamps:
            yield from self._at(self.clamps[name].esp, self.clamps[name].z_m)
        yield from (-one.depth_m for one in self.elements)

    @property
    def _deepest_m(self) -> float:
        return max((one.depth_m for one in self.elements), default=0.0)

    def _entered(self) -> Iterator[str]:
        return (name for name, how in self.after.joints.items() if how == "entered")

    def _at(self, piece: str, z_m: float) -> Iterator[float]:
        found = self.at_m(piece, z_m)
        if found is not None:
            yield found

    # --- across -------------------------------------------------------------------------

    def sides(self, piece: str) -> tuple[str, ...]:
        """The columns that a piece stands in."""
        string = self.pieces[piece].string
        if string in ("base", "Y-tool"):
            return ("esp", "bypass", "tubing")
        return (string,) if string in ("esp", "tubing") else ("bypass",)

    def x(self, piece: str) -> float:
        """Middle of a piece [mm]."""
        if self.pieces[piece].string == "base":  # it is lifted by its post under the bypass
            return self.layout.bypass_mm
        return self.column_mm(self.sides(piece)[-1])

    def column_mm(self, side: str) -> float:
        """Middle of a column [mm]."""
        layout = self.layout
        found = {"esp": layout.esp_mm, "bypass": layout.bypass_mm}
        return found.get(side, layout.middle_mm)

    def is_left(self, piece: str) -> bool:
        """Whether words about a piece stand on the ESP side."""
        return self.sides(piece) == ("esp",)

    @cached_property
    def _widest_m(self) -> float:
        sizes = [one.body_od_m for one in self.procedure.pieces if one.string == "esp"]
        return max((one for one in sizes if one), default=0.0)

    def half_mm(self, piece: FloorPiece) -> float:
        """Half the width of a piece on paper; widths compare, but are not to scale [mm]."""
        if piece.string in ("base", "Y-tool"):
            return _BYPASS_MM
        most = _ESP_MM if piece.string == "esp" else _BYPASS_MM
        if piece.body_od_m is None or not self._widest_m:
            return most * 0.8
        return min(max(_ESP_MM * piece.body_od_m / self._widest_m, _THIN_MM), most)

    # --- words --------------------------------------------------------------------------

    def kind(self, holder: str) -> str:
        """What sort of holder it is."""
        found = self.holders.get(holder)
        return found.type if found else "other"

    def length(self, value_m: float) -> str:
        """A length with its unit."""
        return show(value_m, Dimension.LENGTH, self.procedure.units)

    def load(self, value_n: float) -> str:
        """A load with its unit."""
        return show(value_n, Dimension.FORCE, self.procedure.units)

    def named(self, pieces: Sequence[str], most: int = 3) -> str:
        """A few ids, and how many more."""
        shown = ", ".join(pieces[:most])
        return f"{shown} and {len(pieces) - most} more" if len(pieces) > most else shown

    def clamp_at_m(self, clamp: ClampPlace) -> float | None:
        """Height at which a twin clamp is drawn."""
        found = self.at_m(clamp.esp, clamp.z_m)
        return self.at_m(clamp.bypass, clamp.z_m) if found is None else found
