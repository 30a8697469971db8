"""How ESP side and bypass share the load once the union is set: weight and take-up.

Two elastic lines between base support and Y-tool, both rigid, joined nowhere
between. Weights in air; heat, pressure and friction are not in it. A force is
positive in tension. See ``docs/theory/load_share.md``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from abreast.errors import InputError
from abreast.formulas.guard import finite, not_negative, positive, require, within

__all__ = [
    "Bar",
    "BarForce",
    "Hold",
    "Pair",
    "Share",
    "bar_forces",
    "flexibility",
    "flexibility_above",
    "forces",
    "gripped_union",
    "held_share",
    "misfit_for",
    "share",
    "slack",
    "top_hung",
]

Mode = Literal["locked", "free", "closed stop", "open stop"]


@dataclass(frozen=True, slots=True)
class Bar:
    """A piece of one line: length [m], axial stiffness EA [N], weight [N] spread along it."""

    name: str
    length_m: float
    ea_n: float
    weight_n: float

    def __post_init__(self) -> None:
        positive("length_m", self.length_m)
        positive("ea_n", self.ea_n)
        not_negative("weight_n", self.weight_n)


@dataclass(frozen=True, slots=True)
class Hold:
    """What carries the frame: a holder on one line, so high above its lower end [m]."""

    side: Literal["esp", "bypass"]
    height_m: float


@dataclass(frozen=True, slots=True)
class Pair:
    """Both lines bottom to top, the weight below the base support and that of the Y-tool [N]."""

    esp: tuple[Bar, ...]
    bypass: tuple[Bar, ...]
    below_n: float
    ytool_n: float = 0.0

    def __post_init__(self) -> None:
        require(bool(self.esp), "esp", "must have at least one piece")
        require(bool(self.bypass), "bypass", "must have at least one piece")
        not_negative("below_n", self.below_n)
        not_negative("ytool_n", self.ytool_n)

    @property
    def flexibility_m_n(self) -> float:
        """Of both lines in series, as the union sees them [m/N]."""
        return flexibility(self.esp) + flexibility(self.bypass)

    @property
    def stiffness_n_m(self) -> float:
        """Union force for each metre of take-up [N/m]."""
        return 1 / self.flexibility_m_n

    @property
    def hanging_n(self) -> float:
        """All that hangs below the Y-tool [N]."""
        return self.below_n + _weight(self.esp) + _weight(self.bypass)

    @property
    def total_n(self) -> float:
        """With the Y-tool: what one holder carries [N]."""
        return self.hanging_n + self.ytool_n


@dataclass(frozen=True, slots=True)
class Share:
    """Who carries what [N], tension positive.

    Parameters
    ----------
    mode : str
        ``locked``, ``free``, ``closed stop`` or ``open stop``.
    union_n : float
        Force through the union, the upper end of the bypass.
    bypass_bottom_n, esp_bottom_n, esp_top_n : float
        Forces at the other ends. A negative one pushes.
    opening_m : float
        How much longer the union is than when it was snug [m].
    gap_m : float
        Of an ESP that only stands on its seat: how far it has lifted off [m].
    """

    mode: Mode
    union_n: float
    bypass_bottom_n: float
    esp_bottom_n: float
    esp_top_n: float
    opening_m: float = 0.0
    gap_m: float = 0.0


@dataclass(frozen=True, slots=True)
class BarForce:
    """Least and greatest force along one piece [N]."""

    name: str
    least_n: float
    greatest_n: float

    @property
    def worst_n(self) -> float:
        """The larger of pull and push [N]."""
        return max(abs(self.least_n), abs(self.greatest_n))


def _weight(bars: Sequence[Bar]) -> float:
    return sum(bar.weight_n for bar in bars)


def flexibility(bars: Sequence[Bar]) -> float:
    """Stretch of a line for each newton, sum of L/EA [m/N]; springs in series, elementary.

    Examples
    --------
    >>> f"{flexibility([Bar('esp', 40, 6.0e8, 0)]):.5e}"
    '6.66667e-08'
    """
    return sum(bar.length_m / bar.ea_n for bar in bars)


def flexibility_above(bars: Sequence[Bar], height_m: float) -> float:
    """As :func:`flexibility`, of what lies above a height over the lower end [m/N].

    Raises
    ------
    InputError
        ``out-of-range``, for a height that is not on the line.
    """
    length_m = sum(bar.length_m for bar in bars)
    within("height_m", height_m, 0.0, length_m * (1 + 1e-9))
    total, bottom_m = 0.0, 0.0
    for bar in bars:
        top_m = bottom_m + bar.length_m
        total += max(0.0, top_m - max(bottom_m, height_m)) / bar.ea_n
        bottom_m = top_m
    return total


def _stretch(bars: Sequence[Bar], bottom_n: float, held_n: float, hold: Hold | None) -> float:
    """Elongation of a line: force at its lower end, own weight, and a holder on it [m]."""
    stretch_m, force_n = 0.0, bottom_n
    for bar in bars:
        stretch_m += (force_n + bar.weight_n / 2) * bar.length_m / bar.ea_n
        force_n += bar.weight_n
    return stretch_m - (held_n * flexibility_above(bars, hold.height_m) if hold else 0.0)


def _ends(pair: Pair, union_n: float, hold: Hold | None) -> tuple[float, float, float]:
    """Forces at bypass bottom, ESP bottom and ESP top, from equilibrium alone [N]."""
    on_bypass_n = pair.total_n if hold is not None and hold.side == "bypass" else 0.0
    on_esp_n = pair.total_n if hold is not None and hold.side == "esp" else 0.0
    bypass_n = union_n - _weight(pair.bypass) + on_bypass_n
    esp_n = pair.below_n - bypass_n
    return bypass_n, esp_n, esp_n + _weight(pair.esp) - on_esp_n


def slack(pair: Pair, hold: Hold | None = None, union_n: float = 0.0) -> float:
    """Stretch of the ESP side less that of the bypass, for a union force [m].

    Parameters
    ----------
    pair : Pair
        Both lines.
    hold : Hold, optional
        The holder that carries the frame; None: it hangs by the Y-tool.
    union_n : float
        Force through the union [N].

    Notes
    -----
    Hooke's law along each piece. It falls by ``pair.flexibility_m_n`` for each
    newton through the union.
    """
    bypass_n, esp_n, _ = _ends(pair, finite("union_n", union_n), hold)
    on_esp = hold if hold is not None and hold.side == "esp" else None
    on_bypass = hold if hold is not None and hold.side == "bypass" else None
    esp_m = _stretch(pair.esp, esp_n, pair.total_n, on_esp)
    return esp_m - _stretch(pair.bypass, bypass_n, pair.total_n, on_bypass)


def share(
    pair: Pair,
    misfit_m: float = 0.0,
    *,
    snug: Hold | None = None,
    now: Hold | None = None,
    stroke_m: tuple[float, float] | None = None,
    seated: bool = False,
) -> Share:
    """How both lines share the load after the union was snug.

    Parameters
    ----------
    pair : Pair
        Both lines.
    misfit_m : float
        By how much the bypass has become too short since the union was snug,
        that is, at no force: take-up of the union, growth of the ESP side [m].
    snug, now : Hold, optional
        What carried the frame when the union was snug, and what carries it now;
        None: it hangs by the Y-tool.
    stroke_m : tuple of float, optional
        Of a union that slides, the way left to closed and to open [m]; None: it
        is locked.
    seated : bool
        The ESP only stands on the base support and can't pull it up.

    Returns
    -------
    Share
        Forces at the ends of both lines, the only one of the states of the
        union that is consistent.

    Raises
    ------
    InputError
        ``out-of-range``; ``not-held`` when an ESP that only stands on its seat
        would have to carry the bypass through a union that can't pull.

    Notes
    -----
    Compatibility of two springs in series: union force = (misfit + change of
    :func:`slack`) / sum of L/EA when locked. Sliding, the union opens by that
    misfit, and carries force only at an end of its stroke: closed it pushes,
    open it pulls. Elementary statics.

    Examples
    --------
    >>> esp, bypass = Bar("esp", 40, 6.0e8, 18e3), Bar("bypass", 40, 2.40261e8, 3.2e3)
    >>> round(share(Pair((esp,), (bypass,), 15e3), 0.0124).union_n)
    53184
    """
    moved_m = finite("misfit_m", misfit_m) + slack(pair, now) - slack(pair, snug)
    mode, opening_m = _mode(moved_m, stroke_m)
    union_n = 0.0 if mode == "free" else (moved_m - opening_m) / pair.flexibility_m_n
    bypass_n, esp_n, top_n = _ends(pair, union_n, now)
    if not seated or esp_n <= 1e-9 * pair.total_n:
        return Share(mode, union_n, bypass_n, esp_n, top_n, opening_m)
    return _lifted(pair, now, mode, union_n, opening_m, esp_n)


def _mode(moved_m: float, stroke_m: tuple[float, float] | None) -> tuple[Mode, float]:
    """State of the union and how far it has opened [m]."""
    if stroke_m is None:
        return "locked", 0.0
    to_closed_m = not_negative("to_closed_m", stroke_m[0])
    to_open_m = not_negative("to_open_m", stroke_m[1])
    if moved_m < -to_closed_m:
        return "closed stop", -to_closed_m
    if moved_m > to_open_m:
        return "open stop", to_open_m
    return "free", moved_m


def _lifted(
    pair: Pair, now: Hold | None, mode: Mode, union_n: float, opening_m: float, pull_n: float
) -> Share:
    """An ESP off its seat: the bypass carries all that is below, the rest is gap."""
    if mode in ("free", "closed stop"):
        message = (
            "the ESP only stands on its seat and the union can't pull: nothing holds the bypass;"
            " lock the union or retain the guide"
        )
        raise InputError(message, code="not-held")
    held_n = union_n + pull_n
    bypass_n, _, top_n = _ends(pair, held_n, now)
    gap_m = pull_n * pair.flexibility_m_n
    return Share(mode, held_n, bypass_n, 0.0, top_n, opening_m, gap_m)


def misfit_for(
    pair: Pair, union_n: float, *, snug: Hold | None = None, now: Hold | None = None
) -> float:
    """Take-up that brings a locked union to a force [m]; negative: it is above it untouched."""
    return union_n * pair.flexibility_m_n - slack(pair, now) + slack(pair, snug)


def held_share(pair: Pair, height_m: float) -> float:
    """Union force for each metre of take-up if a clamp ties both lines at a height [N/m].

    Only what lies above the clamp stretches. The height is above the lower end
    of both lines, which begin at the same level.
    """
    above = flexibility_above(pair.esp, height_m) + flexibility_above(pair.bypass, height_m)
    return 1 / positive("flexibility_m_n", above)


def gripped_union(
    pair: Pair, take_up_m: float, clamps: Sequence[tuple[float, float | None]]
) -> float:
    """Most that a take-up can put into the union if twin clamps tie both lines [N].

    Parameters
    ----------
    pair : Pair
        Both lines, their lower ends at the same level.
    take_up_m : float
        Take-up from snug, 0 or more [m].
    clamps : sequence of (float, float or None)
        Height [m] and grip [N] of each; None: not known, it never slips.

    Notes
    -----
    A clamp keeps up to its grip off what lies below it. All slipping:
    T sum(L/EA) = take-up + sum(grip x flexibility below); the highest holding:
    take-up over the flexibility above it. The lower of the two. Elementary.
    """
    not_negative("take_up_m", take_up_m)
    if not clamps:
        return take_up_m * pair.stiffness_n_m
    held_n = take_up_m * held_share(pair, max(height_m for height_m, _ in clamps))
    kept_m = 0.0
    for height_m, grip_n in clamps:
        if grip_n is None:
            return held_n
        below_m_n = pair.flexibility_m_n - 1 / held_share(pair, height_m)
        kept_m += not_negative("grip_n", grip_n) * below_m_n
    return min(held_n, (take_up_m + kept_m) * pair.stiffness_n_m)


def top_hung(pair: Pair) -> Share:
    """Both lines hang by themselves: each carries its own, nothing is shared."""
    bypass_n = pair.below_n
    union_n = bypass_n + _weight(pair.bypass)
    return Share("locked", union_n, bypass_n, 0.0, _weight(pair.esp))


def forces(
    pair: Pair, state: Share, hold: Hold | None = None
) -> tuple[tuple[BarForce, ...], tuple[BarForce, ...]]:
    """Forces along the pieces of the ESP side and of the bypass, bottom to top."""
    on_esp = hold if hold is not None and hold.side == "esp" else None
    on_bypass = hold if hold is not None and hold.side == "bypass" else None
    return (
        tuple(bar_forces(pair.esp, state.esp_bottom_n, pair.total_n, on_esp)),
        tuple(bar_forces(pair.bypass, state.bypass_bottom_n, pair.total_n, on_bypass)),
    )


def _holds(hold: Hold, bottom_m: float, top_m: float, is_last: bool) -> bool:
    return bottom_m <= hold.height_m and (hold.height_m < top_m or is_last)


def bar_forces(
    bars: Sequence[Bar], bottom_n: float, held_n: float = 0.0, hold: Hold | None = None
) -> Iterator[BarForce]:
    """Least and greatest force of each piece; at a holder the force drops by what it holds."""
    force_n, bottom_m = bottom_n, 0.0
    for bar in bars:
        top_m, top_n = bottom_m + bar.length_m, force_n + bar.weight_n
        seen = [force_n, top_n]
        if hold is not None and _holds(hold, bottom_m, top_m, bar is bars[-1]):
            at_n = force_n + bar.weight_n * (hold.height_m - bottom_m) / bar.length_m
            top_n -= held_n
            seen = [force_n, at_n, at_n - held_n, top_n]
        yield BarForce(bar.name, min(seen), max(seen))
        force_n, bottom_m = top_n, top_m
