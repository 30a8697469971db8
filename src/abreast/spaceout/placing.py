"""One piece of the twin string at its height and depth, planned and as run."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from abreast.errors import MissingInputError
from abreast.model import (
    BaseSupport,
    EntryGuide,
    EspPiece,
    FixedPiece,
    Job,
    PlacedPiece,
    PlacedUnion,
    RackItem,
    convert_depth_m,
    effective_length,
    make_up_loss_m,
    of_pipe,
)

__all__ = ["BASE_ID", "GUIDE_ID", "UNION_ID", "YTOOL_ID", "AsRun", "Placer"]

BASE_ID = "base support"
GUIDE_ID = "entry guide"
UNION_ID = "adjustable union"
YTOOL_ID = "Y-tool"


@dataclass(frozen=True, slots=True)
class AsRun:
    """What the record knows of the pieces in the well.

    Parameters
    ----------
    bypass, esp : frozenset of str
        Ids of the pieces that are run on each side; ``base support``, ``entry
        guide``, ``adjustable union`` and ``Y-tool`` count to the bypass.
    bypass_m, esp_m : mapping of str to float
        Measured lengths: what a bypass piece adds to the string (effective
        length), face to face of an ESP piece [m].
    union_m : float, optional
        Length at which the union was set [m]; None until it is.
    """

    bypass: frozenset[str] = frozenset()
    esp: frozenset[str] = frozenset()
    bypass_m: Mapping[str, float] = field(default_factory=dict)
    esp_m: Mapping[str, float] = field(default_factory=dict)
    union_m: float | None = None


@dataclass(frozen=True, slots=True)
class Placer:
    """Puts pieces in place; ``top_m`` is the height of the Y-tool's top shoulder."""

    job: Job
    run: AsRun | None
    top_m: float

    @property
    def done(self) -> frozenset[str]:
        """Bypass pieces that are in the well, as the job or the record says."""
        recorded = frozenset() if self.run is None else self.run.bypass
        return recorded.union(self.job.in_well.pieces)

    def lengths_m(self, item: RackItem | FixedPiece) -> tuple[float, float | None]:
        """Planned and measured effective length of a bypass piece [m]."""
        planned_m = effective_length(self.job, item).si
        return planned_m, None if self.run is None else self.run.bypass_m.get(item.id)

    def adds_m(self, item: RackItem | FixedPiece) -> float:
        """Effective length of a bypass piece, measured where it was [m]."""
        planned_m, actual_m = self.lengths_m(item)
        return planned_m if actual_m is None else actual_m

    def pipe(
        self, item: RackItem | FixedPiece, bottom_m: float, lift: str = "", landing: str = ""
    ) -> PlacedPiece:
        """A piece of the tail or of the bypass string."""
        planned_m, actual_m = self.lengths_m(item)
        return PlacedPiece(
            side="bypass",
            id=item.id,
            name="" if isinstance(item, RackItem) else item.name,
            kind=item.kind,
            **self._span(bottom_m, self.adds_m(item)),
            planned_m=planned_m,
            actual_m=actual_m,
            overall_m=item.overall_m.si,
            make_up_loss_m=make_up_loss_m(self.job, item),
            body_od_m=of_pipe(self.job, item, "body_od_m").known,
            max_od_m=of_pipe(self.job, item, "joint_od_m").known,
            mass_kg=_mass_kg(self.job, item),
            lift=lift,
            landing=landing,
            serial=item.serial,
            status="run" if item.id in self.done or self._is_run_foot(item.id) else "planned",
        )

    def esp(
        self, piece: EspPiece, bottom_m: float, planned_m: float, lift: str, landing: str
    ) -> PlacedPiece:
        """A piece of the ESP side."""
        return PlacedPiece(
            side="esp",
            id=piece.id,
            name=piece.name,
            kind=piece.kind,
            **self._span(bottom_m, piece.actual_m.si),
            planned_m=planned_m,
            actual_m=piece.remeasured_m.known,
            body_od_m=piece.body_od_m.known,
            max_od_m=piece.max_od_m.known,
            mass_kg=piece.mass_kg.known,
            lift=lift,
            landing=landing,
            serial=piece.serial,
            status=self._esp_status(piece.id, landing),
        )

    def base(self, base: BaseSupport, bottom_m: float) -> PlacedPiece:
        """The base support: it adds to the bypass what lies below its bypass connection."""
        adds_m = base.bypass_shoulder_m.si
        placed = self._frame_part(base, BASE_ID, bottom_m, base.length_m.si)
        return placed.model_copy(
            update={"planned_m": adds_m, "effective_m": adds_m, "overall_m": base.length_m.si}
        )

    def guide(self, guide: EntryGuide, bottom_m: float) -> PlacedPiece:
        """The entry guide at the lower end of a top-hung bypass."""
        placed = self._frame_part(guide, GUIDE_ID, bottom_m, guide.length_m.si)
        return placed.model_copy(update={"side": "bypass", "kind": "guide"})

    def ytool(self, bottom_m: float) -> PlacedPiece:
        """The Y-tool, from its ESP leg face to its top shoulder."""
        return self._frame_part(self.job.ytool, YTOOL_ID, bottom_m, self.job.ytool.length_m.si)

    def union(self, union: PlacedUnion, planned_m: float) -> PlacedPiece:
        """The adjustable union as set."""
        placed = self._frame_part(self.job.union, UNION_ID, union.bottom_m, union.length_m)
        actual_m = None if self.run is None else self.run.union_m
        return placed.model_copy(
            update={
                "side": "bypass",
                "kind": "union",
                "planned_m": planned_m,
                "actual_m": actual_m,
            }
        )

    def depth_m(self, height_m: float) -> float | None:
        """Measured depth of a height once the string hangs as planned; None if that is open."""
        setting = self.job.setting
        wanted_m = setting.ytool_top_md_m.known
        if wanted_m is None:
            return None
        datum = setting.datum or self.job.depth_datum
        try:
            return convert_depth_m(self.job, wanted_m + self.top_m - height_m, datum)
        except MissingInputError:
            return None

    def _frame_part(self, part: Any, name: str, bottom_m: float, length_m: float) -> PlacedPiece:
        return PlacedPiece(
            side="both",
            id=name,
            name=part.name,
            kind=name,
            **self._span(bottom_m, length_m),
            planned_m=length_m,
            body_od_m=part.max_od_m.known,
            max_od_m=part.max_od_m.known,
            mass_kg=part.mass_kg.known,
            serial=part.serial,
            status="run" if name in self.done or self._is_run_foot(name) else "planned",
        )

    def _span(self, bottom_m: float, length_m: float) -> dict[str, Any]:
        top_m = bottom_m + length_m
        return {
            "bottom_m": bottom_m,
            "top_m": top_m,
            "effective_m": length_m,
            "bottom_md_m": self.depth_m(bottom_m),
            "top_md_m": self.depth_m(top_m),
        }

    def _is_run_foot(self, name: str) -> bool:
        """Whether it is tail, base support or entry guide, and the job has pieces above it run."""
        foot = {BASE_ID, GUIDE_ID, *(piece.id for piece in self.job.tail)}
        return bool(self.job.in_well.pieces) and name in foot

    def _esp_status(self, name: str, landing: str) -> Literal["planned", "run"]:
        """ESP pieces are run with the landing they hang at, or as recorded."""
        passed = self.job.landings[: self.job.in_well.landings_passed]
        recorded = frozenset() if self.run is None else self.run.esp
        return "run" if name in recorded or landing in {one.id for one in passed} else "planned"


def _mass_kg(job: Job, item: RackItem | FixedPiece) -> float | None:
    """Mass of a piece: as weighed, else that of pipe of its length; None when neither is known."""
    of_job_pipe = isinstance(item, RackItem) and item.kind in ("joint", "pup")
    if item.mass_kg.is_given or not of_job_pipe or item.body_od_m.is_given:
        return item.mass_kg.known
    per_length, overall = job.pipe.mass_per_length_kg_m.known, item.overall_m.known
    return None if per_length is None or overall is None else per_length * overall
