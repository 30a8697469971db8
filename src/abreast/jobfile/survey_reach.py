"""Whether the survey reaches as deep as the string would hang."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from abreast.errors import AbreastError
from abreast.jobfile.suspicion import Suspect, length_text
from abreast.model import Job, convert_depth_m, depth_of_height_m
from abreast.model.frame import effective_length, seat_range, tail_items

__all__ = ["planned_foot_md_m", "reach_suspects"]

_SAME_M = 1e-3


def planned_foot_md_m(job: Job) -> float | None:
    """Depth of the string's lower end as planned, the tolerance of the depth in it [m].

    From the datum of the job. Where a length on the way is missing, the deepest
    place that is known; None: not even the depth of the Y-tool is.
    """
    known = (_known(job, one) for one in (_foot_m, _esp_foot_m, _ytool_m))
    foot_m = next((one for one in known if one is not None), None)
    return None if foot_m is None else foot_m + max(job.setting.tolerance_m.or_else(0.0), 0.0)


def _known(job: Job, depth: Callable[[Job], float]) -> float | None:
    """A depth; None where the job lacks something for it, which is told elsewhere."""
    try:
        return depth(job)
    except (AbreastError, AttributeError, KeyError):
        return None


def _ytool_m(job: Job) -> float:
    datum = job.setting.datum or job.depth_datum
    return convert_depth_m(job, job.setting.ytool_top_md_m.si, datum)


def _esp_foot_m(job: Job) -> float:
    return depth_of_height_m(job, 0.0)


def _foot_m(job: Job) -> float:
    """Lower end of base support and tail, or of the entry guide; the ESP may hang lower."""
    below_m = seat_range(job).planned_m
    if job.base is not None:
        below_m += job.base.seat_plane_m.si
        below_m += sum(effective_length(job, one).si for one in tail_items(job))
    return depth_of_height_m(job, min(-below_m, 0.0))


def reach_suspects(job: Job) -> Iterator[Suspect]:
    """A survey that ends above the lower end of the string."""
    foot_m, head = planned_foot_md_m(job), job.survey_head
    if foot_m is None or head is None:
        return
    depths = [(row.md_m.known, n) for n, row in enumerate(job.survey) if row.md_m.is_given]
    if not depths:
        return
    end_m, index = max((md, n) for md, n in depths if md is not None)
    last_m = _known(job, lambda one: convert_depth_m(one, end_m, head.datum))
    if last_m is None or foot_m <= last_m + _SAME_M:
        return
    last, foot, short = (length_text(job, md) for md in (last_m, foot_m, foot_m - last_m))
    message = (
        f"the survey ends at {last}, but the planned string reaches down to {foot}"
        f" ({job.depth_datum}); the last {short} of its way are not surveyed"
    )
    proposal = (
        f"Add the stations down to {foot}, or correct setting.ytool_top_md in job.toml; accepted,"
        " what rests on them is not checked"
    )
    yield Suspect("survey", index, "md", "survey-short", message, proposal)
