"""The same circle by general-purpose minimisers, as one would write it down at first.

SciPy is no dependency of this project; where it is installed it is compared too.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from abreast.formulas.enclosing import Triplet

__all__ = ["Peer", "peers"]

Peer = Callable[[Sequence[Triplet]], float]
"""From discs to the radius of a circle that takes them all [m]."""


def peers() -> dict[str, Peer]:
    """The peers that can run here, by name."""
    found: dict[str, Peer] = {"nested golden section": _golden}
    if find_spec("scipy") is not None:
        found["SciPy SLSQP, least R that reaches round all"] = _slsqp
        found["SciPy Nelder-Mead on the farthest reach"] = _nelder_mead
    return found


def _reach(x: float, y: float, discs: Sequence[Triplet]) -> float:
    return max(math.hypot(a - x, b - y) + r for a, b, r in discs)


def _golden(discs: Sequence[Triplet]) -> float:
    xs, ys = [d[0] for d in discs], [d[1] for d in discs]
    low, high = min(ys), max(ys)
    return _least(lambda x: _least(lambda y: _reach(x, y, discs), low, high), min(xs), max(xs))


def _least(f: Callable[[float], float], low: float, high: float, rounds: int = 40) -> float:
    """The least value of a convex function of one number, to 1e-8 of the range."""
    share = (math.sqrt(5) - 1) / 2
    a, b = high - share * (high - low), low + share * (high - low)
    fa, fb = f(a), f(b)
    for _ in range(rounds):
        if fa < fb:
            high, b, fb = b, a, fa
            a = high - share * (high - low)
            fa = f(a)
        else:
            low, a, fa = a, b, fb
            b = low + share * (high - low)
            fb = f(b)
    return min(fa, fb)


def _start(discs: Sequence[Triplet]) -> tuple[float, float]:
    return sum(d[0] for d in discs) / len(discs), sum(d[1] for d in discs) / len(discs)


def _optimize() -> Any:
    return import_module("scipy.optimize")


def _slsqp(discs: Sequence[Triplet]) -> float:
    x, y = _start(discs)
    limits = [
        {"type": "ineq", "fun": lambda v, d=d: v[2] - math.hypot(d[0] - v[0], d[1] - v[1]) - d[2]}
        for d in discs
    ]
    found = _optimize().minimize(
        lambda v: v[2],
        [x, y, _reach(x, y, discs)],
        constraints=limits,
        method="SLSQP",
        options={"ftol": 1e-12, "maxiter": 200},
    )
    return _reach(float(found.x[0]), float(found.x[1]), discs)


def _nelder_mead(discs: Sequence[Triplet]) -> float:
    found = _optimize().minimize(
        lambda v: _reach(v[0], v[1], discs),
        _start(discs),
        method="Nelder-Mead",
        options={"xatol": 1e-9, "fatol": 1e-9, "maxiter": 2000},
    )
    return float(found.fun)
