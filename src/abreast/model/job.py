"""The job: everything about one run, immutable, in SI, heights in the ESP frame."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field, model_validator

from abreast.model.bypass import Accessory, BypassPipe, FixedPiece, PremadeLift, RackItem, Thread
from abreast.model.conditions import (
    Electrical,
    Fluids,
    Friction,
    Rates,
    Temperatures,
    UpperItem,
)
from abreast.model.consistency import contradictions
from abreast.model.esp import EspPiece, Landing, Port
from abreast.model.frame_parts import (
    AdjustableUnion,
    BaseSupport,
    EntryGuide,
    Mle,
    PowerCable,
    TwinClamp,
    YTool,
)
from abreast.model.in_well import InWell
from abreast.model.part import Id, Part, Text, remark
from abreast.model.quantity import HeightZero
from abreast.model.revision import Correction, Revision
from abreast.model.rig import BopElement, CranePoint, Hoisting, Holder, Rig, WorkingWindow
from abreast.model.rules import Rules
from abreast.model.tools import ToolPart
from abreast.model.well import (
    CasingString,
    Datum,
    Opening,
    Perforation,
    Setting,
    SurveyHead,
    SurveyStation,
)

__all__ = ["Arrangement", "Job", "LoadPath", "Suspicion", "TableOrder"]

Arrangement = Literal["bottom-supported", "top-hung"]
LoadPath = Literal["esp-held", "bypass-held", "both-held", "top-hung"]
Order = Literal["bottom to top", "top to bottom"]


class TableOrder(Part):
    """The order in which ordered tables are typed; the model holds them bottom to top."""

    called: ClassVar[str] = "order"

    esp: Order = Field(description="order of the ESP table")
    bypass: Order = Field("bottom to top", description="order of the table of the tail")
    upper: Order = Field("bottom to top", description="order of the upper completion")


class Suspicion(Part):
    """A cell that looks wrong and that nobody has corrected or accepted yet."""

    called: ClassVar[str] = "suspicion"

    file: Text = Field(description="table the cell is in")
    row: int | None = Field(None, description="row of the cell, heading is row 1")
    field: Text = Field(description="column or field")
    piece: Text = remark("id of the piece that may not be used; blank: the whole job")
    text: Text = Field(description="what is suspected and what is proposed")


class Job(Part):
    """One run of a twin string: well, rig, both strings, the rack and the rules."""

    called: ClassVar[str] = "job"

    format: Literal[1] = Field(1, description="version of the job format")
    name: Id = Field(description="name of the job")
    well: Text = remark("name of the well")
    arrangement: Arrangement = Field(description="bottom-supported or top-hung")
    load_path: LoadPath = Field(
        description="what carries the twin string while it is built, as declared"
    )
    units: Literal["oilfield", "SI"] = Field(description="units in which results are shown")
    depth_reference: Text = Field(description="the one fixed point that datums are measured from")
    depth_datum: Id = Field(description="zero of every depth that names no other")
    heights_from: HeightZero = Field(
        "esp", description="zero of heights in the files; in the job they are in the ESP frame"
    )
    default_origin: Text = remark("origin of every value that states none")
    note: Text = remark("remark")

    order: TableOrder = Field(description="order in which ordered tables are typed")
    revision: Revision = Field(description="revision and signatures")
    setting: Setting = Field(description="where the twin string is to hang")
    base: BaseSupport | None = Field(None, description="base support (bottom-supported)")
    guide: EntryGuide | None = Field(None, description="entry guide (top-hung)")
    union: AdjustableUnion = Field(description="adjustable union")
    ytool: YTool = Field(description="Y-tool")
    pipe: BypassPipe = Field(description="pipe of the bypass string")
    mle: Mle | None = Field(None, description="motor lead extension")
    cable: PowerCable | None = Field(None, description="power cable")
    window: WorkingWindow = Field(description="working window above the plate")
    rig: Rig = Field(description="rig")
    hoisting: Hoisting = Field(default_factory=Hoisting, description="limits of handling")
    survey_head: SurveyHead | None = Field(None, description="what holds for the whole survey")
    fluids: Fluids = Field(default_factory=Fluids, description="fluids")
    temperatures: Temperatures = Field(default_factory=Temperatures, description="temperatures")
    rates: Rates = Field(default_factory=Rates, description="rates")
    friction: Friction = Field(default_factory=Friction, description="friction factors")
    electrical: Electrical = Field(default_factory=Electrical, description="motor and supply")
    rules: Rules = Field(default_factory=Rules, description="rules of the job")
    in_well: InWell = Field(default_factory=InWell, description="what is run already")

    esp: tuple[EspPiece, ...] = Field(description="ESP pieces, bottom to top, spares among them")
    ports: tuple[Port, ...] = Field((), description="ports of the ESP pieces")
    landings: tuple[Landing, ...] = Field((), description="landings")
    clamps: tuple[TwinClamp, ...] = Field((), description="twin clamps")
    tail: tuple[FixedPiece, ...] = Field((), description="tail, bottom to top")
    rack: tuple[RackItem, ...] = Field(description="measured pieces")
    lifts: tuple[PremadeLift, ...] = Field((), description="lifts made up beforehand")
    accessories: tuple[Accessory, ...] = Field((), description="accessories that must be run")
    threads: tuple[Thread, ...] = Field(description="threads")
    datums: tuple[Datum, ...] = Field(description="named zeros of depth")
    casing: tuple[CasingString, ...] = Field(description="casing and liners")
    openings: tuple[Opening, ...] = Field((), description="narrow places in the well")
    perforations: tuple[Perforation, ...] = Field((), description="open intervals")
    survey: tuple[SurveyStation, ...] = Field((), description="survey")
    bop: tuple[BopElement, ...] = Field((), description="elements of the blow-out preventer")
    crane: tuple[CranePoint, ...] = Field((), description="load chart of the crane")
    holders: tuple[Holder, ...] = Field((), description="what can hold a string")
    upper: tuple[UpperItem, ...] = Field((), description="completion above the Y-tool, bottom up")
    tools: tuple[ToolPart, ...] = Field((), description="wireline tool strings, top to bottom")
    corrections: tuple[Correction, ...] = Field((), description="corrected and accepted cells")
    suspicions: tuple[Suspicion, ...] = Field(
        (), description="cells that look wrong, found on reading; not part of the job's files"
    )

    @model_validator(mode="after")
    def _is_consistent(self) -> Job:
        found = [str(one) for one in contradictions(self)]
        if found:
            raise ValueError("; ".join(found))
        return self

    @property
    def is_top_hung(self) -> bool:
        """Whether both strings hang from the Y-tool, with no base support."""
        return self.arrangement == "top-hung"

    def blocked(self, piece_id: str) -> bool:
        """Whether a piece may not be used because of an open suspicion."""
        return any(one.piece == piece_id for one in self.suspicions)

    def usable(self, item: RackItem) -> bool:
        """Whether a rack piece may be run: status usable, drifted, measured, not suspected."""
        return (
            item.status == "usable"
            and item.drift_ok
            and item.overall_m.is_given
            and not self.blocked(item.id)
        )
