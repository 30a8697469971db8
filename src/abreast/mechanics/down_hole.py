"""All that is worked out about one string in its well, each part once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from abreast.errors import AbreastError, MissingInputError
from abreast.mechanics.bypass_bends import piece_bends
from abreast.mechanics.bypass_tools import ToolPassages, tool_passages
from abreast.mechanics.hook_forecast import HookForecast, forecast_run
from abreast.mechanics.passing_limits import missing_limits, worst_bent
from abreast.mechanics.running_in import STEP_M, Progress, RunIn, Stop, run_in
from abreast.mechanics.setting_places import ContactResult, SettingScan
from abreast.mechanics.twin_beam_solve import LEANS
from abreast.mechanics.twin_beam_sweep import Place
from abreast.mechanics.where_to_set import where_to_set
from abreast.model import Assembly, Job

__all__ = ["DownHole", "Missing", "down_hole"]

Part = TypeVar("Part")


@dataclass(frozen=True, slots=True)
class Missing:
    """A part that could not be worked out, and what it needs."""

    needs: str


@dataclass(frozen=True, slots=True)
class DownHole:
    """A string on its way down and where it hangs.

    Parameters
    ----------
    running : RunIn or Missing
        The contact model: lowering, picking up, hanging.
    hook : HookForecast or Missing
        Hook load, joint by joint.
    setting : SettingScan or Missing
        Where it may be set, ranked.
    tools : ToolPassages or Missing
        What passes the bypass.
    """

    running: RunIn | Missing
    hook: HookForecast | Missing
    setting: SettingScan | Missing
    tools: ToolPassages | Missing


def down_hole(
    job: Job,
    assembly: Assembly,
    *,
    step_m: float = STEP_M,
    workers: int = 1,
    progress: Progress | None = None,
    stop: Stop | None = None,
) -> DownHole:
    """Work out all of it; what lacks an input is :class:`Missing`, the rest goes on.

    Parameters
    ----------
    job, assembly : Job, Assembly
        The well and the string.
    step_m, workers, progress, stop
        As for :func:`abreast.mechanics.running_in.run_in`.
    """
    running = _worked(
        lambda: run_in(job, assembly, step_m=step_m, workers=workers, progress=progress, stop=stop)
    )
    known = running if isinstance(running, RunIn) else None
    return DownHole(
        running,
        _worked(lambda: _hook(job, assembly, known)),
        _worked(lambda: _setting(job, assembly, known)),
        _worked(lambda: _tools(job, assembly, known)),
    )


def _worked(work: Callable[[], Part]) -> Part | Missing:
    try:
        return work()
    except MissingInputError as fault:
        return Missing(fault.needs)
    except AbreastError as fault:
        return Missing(f"input that can be used: {fault}")


def _hook(job: Job, assembly: Assembly, running: RunIn | None) -> HookForecast:
    if running is None:
        return forecast_run(job, assembly)
    return forecast_run(
        job,
        assembly,
        lambda md_m: running.drag_n("down", md_m),
        lambda md_m: running.drag_n("up", md_m),
    )


def _setting(job: Job, assembly: Assembly, running: RunIn | None) -> SettingScan:
    if running is None:
        return where_to_set(job, assembly)
    return where_to_set(job, assembly, lambda md_m: _confirmed(job, running, md_m))


def _confirmed(job: Job, running: RunIn, top_md_m: float) -> ContactResult:
    """The worst of all rolls with the string at rest at a depth."""
    try:
        places = running.at_rest(job, top_md_m)
    except AbreastError as fault:
        return ContactResult(f"not checked: {fault}")
    faults = sorted({one.state for one in places if not one.found})
    if faults or not places:
        return ContactResult(f"not settled: {', '.join(faults)}")
    state, sure = _settled(job, places)
    side = max(places, key=lambda one: one.side_n)
    bent = [(one, worst_bent(job, one)) for one in places]
    rated = [(place, worst) for place, worst in bent if worst is not None]
    place, worst = max(rated, key=lambda pair: pair[1].use, default=(side, None))
    # A moment above its limit stays so, whatever else is not known.
    if worst is None or not (sure or worst.use > 1):
        return ContactResult(state, None, "", side.side_n, _roll(side))
    return ContactResult(
        state, worst.use, f"{worst.name}, {_roll(place)}", side.side_n, _roll(side)
    )


def _settled(job: Job, places: Sequence[Place]) -> tuple[str, bool]:
    """How the string stands at a depth, in words, and whether all can be judged by it."""
    leaning = sum(one.state == LEANS for one in places)
    if leaning:
        return f"held by the casing only at {leaning} of {len(places)} rolls", False
    needs = dict.fromkeys(need for one in places for need in missing_limits(job, one))
    return (f"not checked: needs {'; '.join(needs)}", False) if needs else ("settled", True)


def _roll(place: Place) -> str:
    return f"roll {place.roll_deg:.0f}°"


def _tools(job: Job, assembly: Assembly, running: RunIn | None) -> ToolPassages:
    bends = _bends(running)
    unknown = () if bends is not None else ("the shape of the hanging bypass, see passage",)
    return tool_passages(job, assembly, bends, unknown)


def _bends(running: RunIn | None) -> dict[str, float] | None:
    """How sharply each piece hangs bent [rad/m]; None: not known."""
    if running is None:
        return None
    twins = {union: beam.twin for union, beam in running.beams.items()}
    return piece_bends(twins, running.hung)
