"""Does the frame close: the union's length from raw lengths, apart from the search."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked
from abreast.model import Assembly, Choice, Job, esp_string, make_up_loss_m, rack_item
from abreast.units import Dimension

__all__ = ["CLOSURE", "RawClosure", "face_difference_m", "raw_closure"]


@dataclass(frozen=True, slots=True)
class RawClosure:
    """The closure from raw lengths [m]; heights from the ESP's lower face."""

    esp_m: float
    leg_m: float
    base_m: float
    bypass_m: float

    @property
    def gap_m(self) -> float:
        """Base connection to the bypass leg of the Y-tool."""
        return self.esp_m + self.leg_m - self.base_m

    @property
    def union_m(self) -> float:
        """Length of the union that closes the frame."""
        return self.gap_m - self.bypass_m


def raw_closure(job: Job, assembly: Assembly, choice: Choice) -> RawClosure:
    """The closure, summed anew from tape lengths, make-up losses and face-to-face lengths.

    Parameters
    ----------
    job : Job
        Lengths as typed.
    assembly : Assembly
        Only its measured lengths are used, where a piece has one.
    choice : Choice
        Pieces bottom to top, and seat height or stick-down.

    Raises
    ------
    MissingInputError
        If a length is missing.

    Notes
    -----
    Bottom-supported: bypass connection of the base, less seat plane and seat
    height. Top-hung: length of the entry guide less stick-down. Then
    u = L_ESP + dY - z_0 - sum(overall - loss).
    """
    measured = {(p.side, p.id): p.actual_m for p in assembly.pieces if p.actual_m is not None}
    esp_m = sum(measured.get(("esp", p.id), p.actual_m.si) for p in esp_string(job))
    bypass_m = 0.0
    for name in choice.items:
        item = rack_item(job, name)
        by_tape_m = item.overall_m.si - make_up_loss_m(job, item)
        bypass_m += measured.get(("bypass", name), by_tape_m)
    leg_m = job.ytool.bypass_leg_above_esp_leg_m.si
    return RawClosure(esp_m, leg_m, _foot_m(job) - choice.seat_m, bypass_m)


def _foot_m(job: Job) -> float:
    if job.base is not None:
        return job.base.bypass_shoulder_m.si - job.base.seat_plane_m.si
    assert job.guide is not None, "a job has a base support or an entry guide"
    return job.guide.length_m.si


def face_difference_m(job: Job, assembly: Assembly, choice: Choice) -> float:
    """Height of the ESP's upper face above the bypass box before the Y-tool is fitted [m].

    Both faces can be measured from one another on the rig floor: the only check
    of the whole sum that no tally can fake.
    """
    raw = raw_closure(job, assembly, choice)
    return raw.esp_m - (raw.base_m + raw.bypass_m)


def _places(context: Context) -> Iterator[tuple[str, RawClosure]]:
    yield "", raw_closure(context.job, context.assembly, context.choice)


def _sum(context: Context, raw: RawClosure) -> str:
    return (
        f"ESP {context.length(raw.esp_m)} and leg {context.length(raw.leg_m)}, bypass from"
        f" {context.length(raw.base_m)}: gap {context.length(raw.gap_m)}, less bypass"
        f" {context.length(raw.bypass_m)} leaves {context.length(raw.union_m)} for the union."
    )


def _judge(context: Context, raw: RawClosure) -> Verdict:
    union, part = context.assembly.union, context.job.union
    if union is None:
        if raw.union_m > part.open_m.si:
            return not_checked("the bypass pieces still to be run", text=_sum(context, raw))
        return not_checked("the union as set", text=_sum(context, raw))
    difference_m = abs(union.length_m - raw.union_m)
    judged = at_most(difference_m, _agreement_m(context))
    faces_m = face_difference_m(context.job, context.assembly, context.choice)
    above = "above" if faces_m >= 0 else "below"
    return Verdict(
        status=judged.status,
        text=f"{_sum(context, raw)} It stands at {context.length(union.length_m)}. Before the"
        f" Y-tool goes on, the ESP face is {context.by_rule(abs(faces_m))} {above} the bypass box.",
        dimension=Dimension.LENGTH,
        value=difference_m,
        limit=judged.limit,
        utilisation=judged.utilisation,
        action="" if judged.status == "ok" else "find the wrong length before the frame is closed",
    )


def _agreement_m(context: Context) -> float:
    """Rounding of the search, one step a length; on the rig what a rule can tell."""
    rules = context.job.rules
    if context.assembly.status == "as-run":
        return rules.face_agreement_m.si
    return rules.rounding_m.si * (len(context.choice.items) + 3)


CLOSURE = Check(
    id="closure",
    question="Do the raw lengths close with the union at the length it is set to?",
    places=_places,
    judge=_judge,
    basis="sum of measured lengths; agreement by the rules of the job",
)
