"""Bending moments of a place on the way held against the limits that the job states."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.mechanics.needs import needs_of
from abreast.mechanics.twin_beam_sweep import Place
from abreast.model import Job, Quantity, RackItem, esp_string
from abreast.spaceout.assemble import BASE_ID, UNION_ID, YTOOL_ID

__all__ = ["Bent", "bent", "missing_limits", "worst_bent"]


@dataclass(frozen=True, slots=True)
class Bent:
    """A part, its bending moment [N m], and the moment that it may carry."""

    name: str
    moment_nm: float
    limit: Quantity

    @property
    def use(self) -> float:
        """Moment over limit; 0 when no limit is stated."""
        limit_nm = self.limit.known
        return 0.0 if limit_nm is None else self.moment_nm / max(limit_nm, 1e-9)


def bent(job: Job, place: Place) -> Iterator[Bent]:
    """Every body and joint of both strings that may have a limit, where numbers were found.

    The tubing above has none in a job.
    """
    moments, joints = place.moments_nm or {}, place.joints_nm or {}
    most: dict[str, float] = {}
    for (name, _), moment_nm in moments.items():
        most[name] = max(most.get(name, 0.0), moment_nm)
    for piece in esp_string(job):
        if piece.id in most:
            yield Bent(f"body and neck of {piece.id}", most[piece.id], piece.moment_nm)
        if piece.upper_joint != "none" and piece.id in joints:
            limit = piece.upper_joint_moment_nm
            yield Bent(f"upper joint of {piece.id}", joints[piece.id], limit)
    blocks = {UNION_ID: job.union.moment_nm, YTOOL_ID: job.ytool.moment_nm}
    if job.base is not None:
        blocks[BASE_ID] = job.base.moment_nm
    for name, limit in blocks.items():
        if name in most:
            yield Bent(name, most[name], limit)
    for item in job.rack:
        if item.id in most:
            yield Bent(f"bypass piece {item.id}", most[item.id], _of_connection(job, item))


def _of_connection(job: Job, item: RackItem) -> Quantity:
    """The least that the piece and its connections may carry; blank, that of the pipe."""
    threads = {one.id: one for one in job.threads}
    body = item.moment_nm if item.moment_nm.is_given else job.pipe.moment_nm
    found = [body] if item.moment_nm.is_given else []
    for code in dict.fromkeys((item.lower_end.thread, item.upper_end.thread)):
        own = threads[code].moment_nm if code in threads else Quantity.not_measured()
        found.append(own if own.is_given else body)
    unknown = [one for one in found if not one.is_given]
    return unknown[0] if unknown else min(found, key=lambda one: one.si)


def worst_bent(job: Job, place: Place) -> Bent | None:
    """The part that is nearest to its limit; None when no limit is stated or no number found."""
    rated = [one for one in bent(job, place) if one.limit.is_given]
    return max(rated, key=lambda one: one.use, default=None)


def missing_limits(job: Job, place: Place) -> tuple[str, ...]:
    """What the job would have to state so that every part can be judged."""
    open_ = (one.limit for one in bent(job, place) if not one.limit.is_given)
    return tuple(dict.fromkeys(need for limit in open_ for need in needs_of(limit)))
