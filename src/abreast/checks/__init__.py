"""Questions about a twin string and their findings: never a pass without its inputs."""

from abreast.checks.base import NEAR
from abreast.checks.closure import RawClosure, face_difference_m, raw_closure
from abreast.checks.links import Link, links
from abreast.checks.listing import CHECKS, gravity, run_checks, tightest_first
from abreast.checks.loads import Hanging, Lift, closed_frame, hanging, lifts

__all__ = [
    "CHECKS",
    "NEAR",
    "Hanging",
    "Lift",
    "Link",
    "RawClosure",
    "closed_frame",
    "face_difference_m",
    "gravity",
    "hanging",
    "lifts",
    "links",
    "raw_closure",
    "run_checks",
    "tightest_first",
]
