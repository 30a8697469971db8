"""Friction from recorded hook loads, and a hang-up told from a change of friction."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import fmean
from typing import Literal

from abreast.formulas.guard import finite, positive, require

__all__ = ["Fit", "Reading", "Verdict", "diagnose", "fit_friction"]

Model = Callable[[float, float], tuple[float, float, float]]
"""Depth [m] and friction to hook load up, down and still [N]."""
ALARM_SHARE = 0.1
"""Deviation of a tenth of the weight: common practice, no source."""
_ROUNDS = 60
_STEP = 1e-4


@dataclass(frozen=True, slots=True)
class Reading:
    """Hook loads recorded with the lower end at a depth, block weight taken off [N]."""

    bottom_md_m: float
    up_n: float | None = None
    down_n: float | None = None

    def __post_init__(self) -> None:
        finite("bottom_md_m", self.bottom_md_m)
        known = [load for load in (self.up_n, self.down_n) if load is not None]
        require(len(known) > 0, "up_n", "give the weight picking up, slacking off, or both")
        for load in known:
            finite("up_n", load)


@dataclass(frozen=True, slots=True)
class Fit:
    """Friction that agrees best.

    Parameters
    ----------
    friction_ratio : float
        Least squares, 0 to 1.
    spread_ratio : float or None
        One standard deviation of it; None: a single figure says nothing of it.
    residual_n : float
        Root mean square of recorded less computed [N].
    bias_n : float
        Mean of recorded less computed: a weight or an indicator that is off [N].
    at_bound : bool
        The best value would lie outside 0 to 1: look at weights before friction.
    """

    friction_ratio: float
    spread_ratio: float | None
    residual_n: float
    bias_n: float
    at_bound: bool


@dataclass(frozen=True, slots=True)
class Verdict:
    """What one reading says after those before it."""

    bottom_md_m: float
    kind: Literal["as before", "friction change", "hang-up", "weight", "too few before"]
    words: str


def fit_friction(readings: Sequence[Reading], model: Model) -> Fit:
    r"""Friction by least squares on recorded pick-up and slack-off weights.

    Parameters
    ----------
    readings : sequence of Reading
        At least one.
    model : callable
        Depth and friction to the hook load up, down and still [N].

    Raises
    ------
    InputError
        ``out-of-range``: there is no reading, or friction makes no difference.

    Notes
    -----
    Gauss-Newton on the one unknown. Its spread is
    :math:`s/\sqrt{\sum (dF/d\mu)^2}` with s from the residuals and one degree of
    freedom less than figures: it holds if errors are independent, not for a
    weight that is wrong throughout; that shows in the bias.
    """
    require(len(readings) > 0, "readings", "give at least one reading")
    friction = 0.25
    for _ in range(_ROUNDS):
        misses, slopes = _line(readings, model, friction)
        size = math.fsum(slope * slope for slope in slopes)
        require(size > 0, "readings", "friction makes no difference at these depths")
        step = math.fsum(m * s for m, s in zip(misses, slopes, strict=True)) / size
        last, friction = friction, min(max(friction + step, 0.0), 1.0)
        if abs(friction - last) < 1e-10:
            break
    misses, slopes = _line(readings, model, friction)
    squares = math.fsum(miss * miss for miss in misses)
    more = len(misses) - 1
    size = math.fsum(slope * slope for slope in slopes)
    pull = math.fsum(m * s for m, s in zip(misses, slopes, strict=True)) / size
    return Fit(
        friction,
        math.sqrt(squares / more / size) if more else None,
        math.sqrt(squares / len(misses)),
        fmean(misses),
        friction in (0.0, 1.0) and abs(pull) > _STEP,
    )


def _line(
    readings: Sequence[Reading], model: Model, friction: float
) -> tuple[list[float], list[float]]:
    """Recorded less computed, and the slope of the computed, for each figure."""
    near = friction + _STEP if friction < 0.5 else friction - _STEP
    misses, slopes = [], []
    for one in readings:
        here, there = model(one.bottom_md_m, friction), model(one.bottom_md_m, near)
        for load, a, b in zip((one.up_n, one.down_n), here[:2], there[:2], strict=True):
            if load is not None:
                misses.append(load - a)
                slopes.append((b - a) / (near - friction))
    return misses, slopes


def diagnose(
    readings: Sequence[Reading], model: Model, alarm_share: float = ALARM_SHARE
) -> tuple[Verdict, ...]:
    """Each reading against the friction of those before it, in the order given.

    Parameters
    ----------
    readings : sequence of Reading
        As they were taken.
    model : callable
        Depth and friction to the hook load up, down and still [N].
    alarm_share : float
        Deviation that counts, as a share of the hanging weight; a tenth:
        common practice, no source.

    Notes
    -----
    The rule, common practice without a source. Extra drag is what a reading
    shows beyond the friction fitted to the earlier ordinary ones: upwards more
    weight, downwards less. Where the larger is below the alarm, nothing has
    changed. Both drags up, or both down, the smaller at least half of the larger:
    the friction has changed, which acts both ways. One-sided, the other less
    than half: something hangs up, or catches, in that direction. Opposite
    signs: the weight is other than reckoned. It needs two earlier readings.
    """
    positive("alarm_share", alarm_share)
    usual: list[Reading] = []
    found = []
    for one in readings:
        verdict = _judge(one, usual, model, alarm_share)
        if verdict.kind in ("as before", "too few before"):
            usual.append(one)
        found.append(verdict)
    return tuple(found)


def _judge(one: Reading, usual: Sequence[Reading], model: Model, share: float) -> Verdict:
    depth = one.bottom_md_m
    if len(usual) < 2:
        return Verdict(depth, "too few before", "not checked: needs two readings before it")
    if one.up_n is None or one.down_n is None:
        words = "not checked: needs the weight both picking up and slacking off"
        return Verdict(depth, "too few before", words)
    friction = fit_friction(usual, model).friction_ratio
    up_n, down_n, still_n = model(depth, friction)
    extra_up, extra_down = one.up_n - up_n, down_n - one.down_n
    large, small = sorted((extra_up, extra_down), key=abs, reverse=True)
    if abs(large) <= share * abs(still_n):
        return Verdict(depth, "as before", f"agrees with friction {friction:.2f}")
    figures = f"{extra_up / 1e3:+.1f} kN more drag up, {extra_down / 1e3:+.1f} kN down"
    if abs(small) < abs(large) / 2:
        way = "picking up" if large == extra_up else "slacking off"
        return Verdict(depth, "hang-up", f"one-sided, {way}: {figures}")
    if large * small > 0:
        return Verdict(depth, "friction change", f"both ways: {figures}")
    return Verdict(depth, "weight", f"the weight is other than reckoned: {figures}")
