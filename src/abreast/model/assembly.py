"""The finished twin string: every piece at its height, as planned or as run.

Heights in the ESP frame, depths from the job's datum, all SI. Planned and
actual lengths stand side by side, so that the same checks, drawings and
documents serve both.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

__all__ = ["Assembly", "LandingState", "PlacedClamp", "PlacedPiece", "PlacedUnion", "Side"]

Side = Literal["esp", "bypass", "both"]


class Result(BaseModel):
    """An immutable piece of a result; plain SI numbers."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class PlacedPiece(Result):
    """One piece where it stands."""

    side: Side = Field(description="string it belongs to; base support and Y-tool belong to both")
    id: str = Field(description="id of the piece")
    name: str = Field("", description="what it is")
    kind: str = Field(description="kind of piece")
    bottom_m: float = Field(description="height of its lower end")
    top_m: float = Field(description="height of its upper end")
    planned_m: float = Field(description="length it was planned to add")
    actual_m: float | None = Field(None, description="length it adds as measured")
    overall_m: float | None = Field(None, description="length by tape")
    make_up_loss_m: float | None = Field(None, description="overall less effective length")
    effective_m: float = Field(description="length it adds to the string")
    bottom_md_m: float | None = Field(None, description="measured depth of its lower end")
    top_md_m: float | None = Field(None, description="measured depth of its upper end")
    body_od_m: float | None = Field(None, description="diameter of its body")
    max_od_m: float | None = Field(None, description="largest diameter")
    mass_kg: float | None = Field(None, description="mass in air")
    lift: str = Field("", description="lift it goes up with")
    landing: str = Field("", description="landing before which it is added")
    serial: str = Field("", description="serial number")
    status: Literal["planned", "run"] = Field("planned", description="whether it is in the well")


class PlacedClamp(Result):
    """One twin clamp where it sits."""

    id: str = Field(description="id of the clamp")
    height_m: float = Field(description="height of its middle, shift included")
    shift_m: float = Field(0.0, description="how far it was moved from its place, up positive")
    on_piece: str = Field("", description="ESP piece on whose neck it sits")
    on_item: str = Field("", description="bypass piece it closes on")
    free_below_m: float | None = Field(None, description="free pipe below it")
    free_above_m: float | None = Field(None, description="free pipe above it")


class PlacedUnion(Result):
    """The adjustable union as set."""

    length_m: float = Field(description="length it adds")
    bottom_m: float = Field(description="height of its lower end")
    top_m: float = Field(description="height of its upper end")
    from_target_m: float = Field(description="length less the length wanted")
    to_close_m: float = Field(description="stroke left to fully closed")
    to_open_m: float = Field(description="stroke left to fully open")


class LandingState(Result):
    """What stands where while an ESP section hangs on the false rotary."""

    id: str = Field(description="id of the landing")
    piece: str = Field(description="ESP piece whose neck stands on the plate")
    neck_m: float = Field(description="height of that neck: the plate")
    bypass_top_m: float = Field(description="height of the bypass top")
    above_plate_m: float = Field(description="bypass top above the plate")
    window_m: tuple[float, float] = Field(description="where it may stand above the plate")
    added: tuple[str, ...] = Field((), description="bypass pieces added before this landing")


class Assembly(Result):
    """The whole twin string."""

    status: Literal["planned", "as-run"] = Field(description="plan or record")
    arrangement: Literal["bottom-supported", "top-hung"] = Field(description="arrangement")
    seat_m: float = Field(description="seat height, or stick-down of the entry guide")
    pieces: tuple[PlacedPiece, ...] = Field(description="bottom to top, side by side")
    clamps: tuple[PlacedClamp, ...] = Field((), description="twin clamps, bottom to top")
    union: PlacedUnion | None = Field(None, description="the union; None until it is set")
    landings: tuple[LandingState, ...] = Field((), description="landings, bottom to top")
    esp_leg_m: float = Field(description="height of the Y-tool's ESP leg face")
    bypass_leg_m: float = Field(description="height of the Y-tool's bypass leg face")
    top_m: float = Field(description="height of the Y-tool's top shoulder")
    datum: str = Field("", description="datum of the depths")

    def side(self, *sides: Side) -> tuple[PlacedPiece, ...]:
        """The pieces of the named sides, in order."""
        return tuple(piece for piece in self.pieces if piece.side in sides)

    def piece(self, piece_id: str) -> PlacedPiece:
        """The piece of that id; KeyError when there is none."""
        for piece in self.pieces:
            if piece.id == piece_id:
                return piece
        raise KeyError(piece_id)
