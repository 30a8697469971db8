"""What comes out of a job: findings, the choice of joints, and the plan of both."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from abreast.model.assembly import Assembly, Result

__all__ = ["Choice", "FallBack", "Finding", "FindingStatus", "Plan"]

FindingStatus = Literal["ok", "near limit", "exceeds", "not checked"]


class Finding(Result):
    """The answer to one question about a job; never ok when an input is missing."""

    id: str = Field(description="short fixed name of the check and the place")
    question: str = Field(description="what was asked")
    status: FindingStatus = Field(description="ok, near limit, exceeds, not checked")
    text: str = Field(description="the answer in one or two sentences, with units")
    dimension: str = Field("", description="kind of quantity of value and limit")
    value: float | None = Field(None, description="what was found [SI]")
    limit: float | None = Field(None, description="what it is held against [SI]")
    utilisation: float | None = Field(None, description="value over limit, 1 at the limit")
    where: str = Field("", description="piece, landing, step or depth")
    basis: str = Field("", description="standard, maker's figure, common practice")
    action: str = Field("", description="what to do")
    needs: tuple[str, ...] = Field((), description="inputs that are missing when not checked")
    assumptions: tuple[str, ...] = Field((), description="what the number rests on")


class Choice(Result):
    """One way to close the bypass on the ESP."""

    items: tuple[str, ...] = Field(description="rack ids, bottom to top")
    seat_m: float = Field(description="seat height, or stick-down")
    union_m: float = Field(description="length of the union")
    lifts: tuple[tuple[str, ...], ...] | None = Field(None, description="pieces of each lift")
    clamp_shifts_m: dict[str, float] = Field({}, description="shift of each clamp, up positive")
    bucket: int = Field(description="distance from the target in steps that count as equal")
    pups: int = Field(description="number of pups")
    deviation_m: float = Field(description="distance of the union from its target")
    irreplaceable: tuple[str, ...] = Field((), description="pieces without which nothing closes")


class FallBack(Result):
    """What to do if one piece is rejected."""

    rejected: str = Field(description="the piece")
    choice: Choice | None = Field(None, description="fewest changed lines; None: nothing closes")
    changed: tuple[str, ...] = Field((), description="pieces that are new in it")
    best: Choice | None = Field(None, description="the re-optimised rest, when it differs")
    cures: tuple[str, ...] = Field((), description="what would help when nothing closes")


class Plan(Result):
    """The answer to a job."""

    job_name: str = Field(description="name of the job")
    fingerprint: str = Field(description="fingerprint of the job it was made from")
    status: Literal["optimal", "infeasible", "stopped", "blocked"] = Field(
        description="whether a choice was found and proved"
    )
    proved: bool = Field(False, description="whether no better choice exists")
    proof: str = Field("", description="what was proved and how far, in words")
    choice: Choice | None = Field(None, description="the choice")
    runners_up: tuple[Choice, ...] = Field((), description="the next best")
    fall_backs: tuple[FallBack, ...] = Field((), description="one for each piece of the choice")
    irreplaceable: tuple[str, ...] = Field((), description="pieces without which nothing closes")
    blocking: tuple[str, ...] = Field((), description="rules that exclude one another")
    cures: tuple[str, ...] = Field((), description="smallest changes that would help")
    assembly: Assembly | None = Field(None, description="the twin string")
    findings: tuple[Finding, ...] = Field((), description="answers of all checks")
    elapsed_s: float = Field(0.0, description="time the search took")
