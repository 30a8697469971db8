"""The checks, in the order in which they are printed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from abreast.checks.accessories import ACCESSORIES
from abreast.checks.base import Check, Context, answer
from abreast.checks.bop_view import BOP_VIEW
from abreast.checks.bypass_top import BYPASS_TOP
from abreast.checks.clamp_clash import CLAMP_CLASH
from abreast.checks.clamp_grip import CLAMP_GRIP
from abreast.checks.clamp_neck import CLAMP_NECK
from abreast.checks.clip_count import CLIP_COUNT
from abreast.checks.closure import CLOSURE
from abreast.checks.closure_error import CLOSURE_ERROR
from abreast.checks.connections import CONNECTIONS
from abreast.checks.counts import COUNTS
from abreast.checks.crane_lift import CRANE_LIFT
from abreast.checks.dogleg import dogleg_check
from abreast.checks.fit_along import FIT_ALONG
from abreast.checks.fit_cable import CABLE_WINDOW
from abreast.checks.fit_drift import DRIFT
from abreast.checks.fit_envelope import ENVELOPE, WORST_TALLY
from abreast.checks.hanging import HANGING
from abreast.checks.holder_fit import HOLDER_FIT
from abreast.checks.holding_grip import HOLDING_GRIP
from abreast.checks.hook_load import HOOK_LOAD
from abreast.checks.lift_masses import LIFT_MASSES
from abreast.checks.lift_reach import LIFT_REACH
from abreast.checks.lift_sizes import LIFT_SIZES
from abreast.checks.make_up import MAKE_UP
from abreast.checks.measured import MEASURED
from abreast.checks.mle_reach import MLE_REACH
from abreast.checks.passing import passing_checks
from abreast.checks.port_reach import PORT_REACH
from abreast.checks.rigid_passage import rigid_passage_check
from abreast.checks.seat import SEAT
from abreast.checks.setting_depth import setting_depth_check
from abreast.checks.slings import SLINGS
from abreast.checks.smallest_bore import SMALLEST_BORE
from abreast.checks.stroke import STROKE
from abreast.checks.suspicions import SUSPICIONS
from abreast.checks.tool_passage import TOOL_PASSAGE
from abreast.checks.union_clear import UNION_CLEAR
from abreast.checks.union_take_up import UNION_TAKE_UP
from abreast.checks.usable import USABLE
from abreast.checks.weakest_link import WEAKEST_LINK
from abreast.checks.working_height import WORKING_HEIGHT
from abreast.mechanics.down_hole import DownHole
from abreast.model import Assembly, Choice, Finding, Job

__all__ = ["CHECKS", "GRAVEST_FIRST", "gravity", "run_checks", "tightest_first"]

CHECKS: tuple[Check[Any], ...] = (
    SUSPICIONS,
    USABLE,
    MEASURED,
    CLOSURE,
    CLOSURE_ERROR,
    STROKE,
    SEAT,
    WORKING_HEIGHT,
    BYPASS_TOP,
    LIFT_REACH,
    CONNECTIONS,
    MAKE_UP,
    CLAMP_CLASH,
    CLAMP_NECK,
    UNION_CLEAR,
    DRIFT,
    FIT_ALONG,
    ENVELOPE,
    WORST_TALLY,
    CABLE_WINDOW,
    MLE_REACH,
    CLIP_COUNT,
    SMALLEST_BORE,
    ACCESSORIES,
    PORT_REACH,
    BOP_VIEW,
    HOLDER_FIT,
    HOLDING_GRIP,
    COUNTS,
    LIFT_SIZES,
    SLINGS,
    LIFT_MASSES,
    CRANE_LIFT,
    HANGING,
    CLAMP_GRIP,
    WEAKEST_LINK,
    UNION_TAKE_UP,
    dogleg_check(Context.setting),
    rigid_passage_check(Context.running),
    *passing_checks(Context.running),
    setting_depth_check(Context.setting),
    HOOK_LOAD,
    TOOL_PASSAGE,
)
GRAVEST_FIRST: tuple[str, ...] = (
    # what may drop: lifting and holding
    "holding-grip",
    "hanging-load",
    "weakest-link",
    "clamp-grip",
    "crane-lift",
    "hook-load",
    "holder-fit",
    "lift-reach",
    "lift-size",
    "slings",
    "union-take-up",
    # what may flow: closing in the well
    "bop-view",
    # what may stick or break: the way down, the room, the depth
    "passage-narrow",
    "passage",
    "passage-crooked",
    "passage-moment",
    "passage-stress",
    "passage-side-force",
    "passage-cable",
    "passage-clamp-grip",
    "passage-union",
    "passage-drag",
    "fit-along",
    "drift",
    "envelope",
    "worst-tally",
    "rigid-passage",
    "dogleg",
    "setting-depth",
    "cable-window",
    # what may not go together, or not be reached later
    "closure",
    "closure-error",
    "union-stroke",
    "seat",
    "working-height",
    "bypass-top",
    "union-clear",
    "clamp-clash",
    "clamp-neck",
    "connections",
    "mle-reach",
    "port-reach",
    "smallest-bore",
    "tool-passage",
    "accessory",
    # what is missing on paper
    "make-up-torque",
    "cable-clamps",
    "counts",
    "lift-mass",
    "usable",
    "measured-twice",
    "suspicions",
)
"""Every check, by what a missing answer may cost: common practice, no source."""
_RANK = {"exceeds": 0, "near limit": 1, "not checked": 2, "ok": 3}


def run_checks(
    job: Job, assembly: Assembly, choice: Choice, down_hole: DownHole | None = None
) -> tuple[Finding, ...]:
    """Ask every question of this stage about a planned or as-run string.

    Parameters
    ----------
    job : Job
        The job, with the limits.
    assembly : Assembly
        The string as :func:`abreast.spaceout.assemble.assemble` gives it.
    choice : Choice
        The choice it was made from.
    down_hole : DownHole, optional
        The string in its well; without it what depends on it is not checked.

    Returns
    -------
    tuple of Finding
        In the order of :data:`CHECKS`, places bottom to top. A limit exceeded is
        a finding; a missing input makes 'not checked', never 'ok'.
    """
    context = Context(job, assembly, choice, down_hole)
    return tuple(finding for check in CHECKS for finding in answer(check, context))


def gravity(finding: Finding) -> int:
    """How early an open answer is told, by :data:`GRAVEST_FIRST`: 0 the first.

    The rest of the plan, such as its procedure, comes before all checks.
    """
    name = finding.id.partition(":")[0]
    return GRAVEST_FIRST.index(name) if name in GRAVEST_FIRST else -1


def tightest_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The same findings, the tightest first.

    What exceeds a limit, then what is near it, then what was not checked, then
    the rest. What was not checked stands by :func:`gravity`, all else by falling
    utilisation, those without one last. Otherwise the order is kept.
    """

    def key(finding: Finding) -> tuple[int, float]:
        if finding.status == "not checked":
            return _RANK[finding.status], gravity(finding)
        used = finding.utilisation
        return _RANK[finding.status], -used if used is not None else 0.0

    return tuple(sorted(findings, key=key))
