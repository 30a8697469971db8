"""Friction from recorded hook loads, and a hang-up told from a change of friction."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from statistics import fmean
from typing import Literal

from abreast.errors import InputError
from abreast.formulas.guard import finite, not_negative, positive, require, within

__all__ = ["Fit", "Prior", "Reading", "Verdict", "VerdictKind", "diagnose", "fit_friction"]

Model = Callable[[float, float], tuple[float, float, float]]
"""Depth [m] and friction to hook load up, down and still [N]."""
Counts = Callable[[float, float], float]
"""Depth [m] and friction to the deviation that counts [N]."""
ALARM_SHARE = 0.1
"""Deviation of a tenth of the weight: common practice, no source."""
FRICTION_SPREAD = 0.1
"""One standard deviation of a stated friction factor: common practice, no source."""
VerdictKind = Literal[
    "as before", "friction change", "hang-up", "weight", "unclear", "too few before"
]
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
class Prior:
    """Friction that is expected before anything is recorded.

    Parameters
    ----------
    friction_ratio : float
        The friction factor.
    spread_ratio : float
        One standard deviation of it.
    noise_n : float
        One standard deviation of a recorded load [N].
    """

    friction_ratio: float
    spread_ratio: float
    noise_n: float

    def __post_init__(self) -> None:
        within("friction_ratio", self.friction_ratio, 0.0, 1.0)
        positive("spread_ratio", self.spread_ratio)
        positive("noise_n", self.noise_n)

    @property
    def weight_n(self) -> float:
        """It counts as one recorded load that changes by so much with the friction [N]."""
        return self.noise_n / self.spread_ratio


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
    kind: VerdictKind
    words: str
    friction_ratio: float | None = None
    """Friction it was held against; None: there was none."""
    more_drag_n: tuple[float, float] | None = None
    """Drag beyond that, picking up and slacking off [N]."""


def fit_friction(readings: Sequence[Reading], model: Model, prior: Prior | None = None) -> Fit:
    r"""Friction by least squares on recorded pick-up and slack-off weights.

    Parameters
    ----------
    readings : sequence of Reading
        At least one.
    model : callable
        Depth and friction to the hook load up, down and still [N].
    prior : Prior, optional
        Friction to begin with: where the hole is straight up and down, readings
        say nothing of friction, and it stays.

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
    friction = prior.friction_ratio if prior else 0.25
    for _ in range(_ROUNDS):
        pull, size = _pull(*_line(readings, model, friction), friction, prior)
        require(size > 0, "readings", "friction makes no difference at these depths")
        last, friction = friction, min(max(friction + pull / size, 0.0), 1.0)
        if abs(friction - last) < 1e-10:
            break
    misses, slopes = _line(readings, model, friction)
    squares = math.fsum(miss * miss for miss in misses)
    more = len(misses) - 1
    pull, size = _pull(misses, slopes, friction, prior)
    return Fit(
        friction,
        math.sqrt(squares / more / size) if more else None,
        math.sqrt(squares / len(misses)),
        fmean(misses),
        friction in (0.0, 1.0) and abs(pull / size) > _STEP,
    )


def _pull(
    misses: Sequence[float], slopes: Sequence[float], friction: float, prior: Prior | None
) -> tuple[float, float]:
    """Right-hand side and left-hand side of the least squares for a step of friction."""
    pull = math.fsum(m * s for m, s in zip(misses, slopes, strict=True))
    size = math.fsum(slope * slope for slope in slopes)
    if prior is None:
        return pull, size
    square = prior.weight_n**2
    return pull + square * (prior.friction_ratio - friction), size + square


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
    readings: Sequence[Reading],
    model: Model,
    alarm_share: float = ALARM_SHARE,
    start_ratio: float | None = None,
    least_n: float = 0.0,
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
    start_ratio : float, optional
        Friction expected before anything is recorded. Without it the first two
        readings are not judged.
    least_n : float
        Deviation below which nothing counts: what the indicator can tell [N].

    Notes
    -----
    A reading that deviates is explained in four ways, each with one unknown:
    another friction both ways, more drag picking up only, more drag slacking off
    only (a hang-up), another weight. The one that leaves least is named; if it
    leaves more than the deviation that counts, none is. Readings that deviate are
    not taken into the friction of those that follow.
    """
    not_negative("alarm_share", alarm_share)
    not_negative("least_n", least_n)

    def counts_n(depth_m: float, friction: float) -> float:
        return max(alarm_share * abs(model(depth_m, friction)[2]), least_n)

    usual: list[Reading] = []
    found = []
    for one in readings:
        friction = _usual_friction(usual, model, counts_n, start_ratio)
        verdict = _judge(one, friction, model, counts_n)
        if verdict.kind in ("as before", "too few before"):
            usual.append(one)
        found.append(verdict)
    return tuple(found)


def _usual_friction(
    usual: Sequence[Reading], model: Model, counts_n: Counts, start: float | None
) -> float | None:
    if start is None:
        return fit_friction(usual, model).friction_ratio if len(usual) > 1 else None
    if not usual:
        return start
    # The deviation that counts is taken as two standard deviations of a record.
    noise_n = max(fmean(counts_n(one.bottom_md_m, start) for one in usual) / 2, 1.0)
    return fit_friction(usual, model, Prior(start, FRICTION_SPREAD, noise_n)).friction_ratio


def _judge(one: Reading, friction: float | None, model: Model, counts_n: Counts) -> Verdict:
    depth = one.bottom_md_m
    if friction is None:
        return Verdict(depth, "too few before", "not checked: needs two readings before it")
    if one.up_n is None or one.down_n is None:
        words = "not checked: needs the weight both picking up and slacking off"
        return Verdict(depth, "too few before", words, friction)
    up_n, down_n, _ = model(depth, friction)
    extra_up, extra_down = one.up_n - up_n, down_n - one.down_n
    most_n = counts_n(depth, friction)
    more_n = extra_up, extra_down
    if max(abs(extra_up), abs(extra_down)) <= most_n:
        words = f"agrees with friction {friction:.2f}"
        return Verdict(depth, "as before", words, friction, more_n)
    left_n, kind, words = min(_explanations(one, model, extra_up, extra_down))
    if left_n > most_n:
        kind, words = "unclear", "neither friction, nor a hang-up, nor another weight alone"
    return Verdict(depth, kind, words, friction, more_n)


def _explanations(
    one: Reading, model: Model, extra_up: float, extra_down: float
) -> Iterator[tuple[float, VerdictKind, str]]:
    """What each explanation leaves of both deviations together [N], with its name and words."""
    if extra_up > 0:
        yield abs(extra_down), "hang-up", "one-sided, picking up"
    if extra_down > 0:
        yield abs(extra_up), "hang-up", "one-sided, slacking off"
    yield (
        abs(extra_up + extra_down) / math.sqrt(2),
        "weight",
        "the weight is other than reckoned",
    )
    with suppress(InputError):
        fit = fit_friction([one], model)
        left_n = fit.residual_n * math.sqrt(2)
        yield left_n, "friction change", f"both ways, as friction {fit.friction_ratio:.2f} would"
