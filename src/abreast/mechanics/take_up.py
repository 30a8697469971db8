"""How far the union is taken up from snug, and what that leaves locked in the frame."""

from __future__ import annotations

from dataclasses import replace

from abreast.errors import AbreastError, MissingInputError
from abreast.mechanics.load_lines import plate_hold, read_pair
from abreast.mechanics.load_share import Bar, Hold, Pair, misfit_for, slack
from abreast.model import Assembly, Job
from abreast.model.job import LoadPath

__all__ = ["locked_misfit_m", "planned_turns", "snug_hold"]

_QUARTER = 0.25


def planned_turns(job: Job, assembly: Assembly, load_path: LoadPath | None = None) -> float | None:
    """Whole quarter turns from snug that bring what hangs to the bypass, and no more.

    Top-hung none: both strings hang by themselves. None when the share is not known.
    """
    if job.is_top_hung:
        return 0.0
    travel_m = job.union.travel_per_turn_m.known
    if travel_m is None or assembly.union is None:
        return None
    try:
        pair = read_pair(job, assembly)
        hold = snug_hold(job, assembly, load_path or job.load_path)
        take_m = misfit_for(pair, pair.hanging_n, snug=hold)
    except AbreastError:
        return None
    turns = _QUARTER * ((take_m / travel_m + 1e-9) // _QUARTER)
    most = _QUARTER * ((assembly.union.to_close_m / travel_m + 1e-9) // _QUARTER)
    return max(0.0, min(turns, most))


def snug_hold(job: Job, assembly: Assembly, load_path: LoadPath) -> Hold:
    """What carries the frame on the plate while the union is taken up.

    Raises
    ------
    MissingInputError
        If there is no landing.
    """
    if load_path == "bypass-held":
        return plate_hold(job.model_copy(update={"load_path": load_path}), assembly)
    if not assembly.landings:
        raise MissingInputError(needs="landings that the bypass reaches")
    return Hold("esp", assembly.landings[-1].neck_m)


def locked_misfit_m(job: Job, assembly: Assembly, buoyant_ratio: float) -> float:
    """By how much the bypass is too short at no force, once the frame hangs in the well [m].

    Parameters
    ----------
    job, assembly : Job, Assembly
        The frame; its union is taken up by :func:`planned_turns`, in air, on the plate.
    buoyant_ratio : float
        Share of the weights that is left in the fluid.

    Raises
    ------
    MissingInputError
        If the take-up or the share of the load can't be worked out.

    Notes
    -----
    Take-up, and the change of stretch from the plate to hanging by the Y-tool:
    ESP side longer than bypass, the union carrying nothing; Hooke's law.
    """
    pair = read_pair(job, assembly)
    turns = planned_turns(job, assembly)
    if turns is None:
        raise MissingInputError(needs="the turns that the union is taken up from snug")
    taken_m = turns * job.union.travel_per_turn_m.si if turns else 0.0
    wet = Pair(
        _lighter(pair.esp, buoyant_ratio),
        _lighter(pair.bypass, buoyant_ratio),
        pair.below_n * buoyant_ratio,
        pair.ytool_n * buoyant_ratio,
    )
    snug = snug_hold(job, assembly, job.load_path)
    return taken_m + slack(wet) - slack(pair, snug)


def _lighter(bars: tuple[Bar, ...], ratio: float) -> tuple[Bar, ...]:
    return tuple(replace(one, weight_n=one.weight_n * ratio) for one in bars)
