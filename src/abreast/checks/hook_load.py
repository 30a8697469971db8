"""Does the string go down by its own weight, and stays the pull within every limit?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from abreast.checks.base import Check, Context, Verdict, at_most, not_checked
from abreast.mechanics.hook_forecast import HookForecast, HookRow
from abreast.mechanics.hook_limits import HookLimit
from abreast.units import Dimension

__all__ = ["HOOK_LOAD", "HookPart", "judge_hook"]

HookPart = Literal["slacking off", "compression", "picking up"]
_PARTS: tuple[HookPart, ...] = ("slacking off", "compression", "picking up")
_LESS_DRAG = "less friction, more weight above, or another path; it can't be pushed"
_UP = ("no dynamic factor", "the pull allowed is that on the string, block and bails not in it")


def _places(_: Context) -> Iterator[tuple[str, HookPart]]:
    for part in _PARTS:
        yield part, part


def _judge(context: Context, part: HookPart) -> Verdict:
    return judge_hook(context, context.hook(), part)


def judge_hook(context: Context, forecast: HookForecast, part: HookPart) -> Verdict:
    """The verdict on one part of the forecast."""
    if part == "slacking off":
        return _down(context, forecast)
    if part == "compression":
        return _pushed(context, forecast)
    return _up(context, forecast)


def _at(context: Context, row: HookRow) -> str:
    """Which piece, and where the string is."""
    depth = context.length(row.ytool_md_m, 1 if context.job.units == "SI" else 0)
    return f"{row.name} (no. {row.number}), Y-tool top at {depth}"


def _assumptions(context: Context, forecast: HookForecast) -> tuple[str, ...]:
    friction = context.job.friction.cased_ratio
    return (
        f"friction factor {forecast.friction_ratio:g} ({friction.origin})",
        *forecast.not_counted,
        *forecast.assumptions,
    )


def _down(context: Context, forecast: HookForecast) -> Verdict:
    held = [row for row in forecast.rows if not row.goes_down]
    row = held[0] if held else forecast.least_down
    share = f", {row.left_ratio:.0%} of its weight" if row.left_ratio is not None else ""
    text = (
        f"Least left slacking off: {context.load(row.down_n)} of {context.load(row.still_n)}"
        f" hanging{share}, at {_at(context, row)}; {len(forecast.rows)} depths looked at."
    )
    if held:
        text = (
            f"It does not go down by its own weight at {len(held)} of {len(forecast.rows)} depths,"
            f" first at {_at(context, row)}: {context.load(row.down_n)} left of"
            f" {context.load(row.still_n)} hanging."
        )
    judged = at_most(row.still_n - row.down_n, row.still_n)
    status = "exceeds" if held else judged.status
    return Verdict(
        status=status,
        text=text,
        dimension=Dimension.FORCE,
        value=row.still_n - row.down_n,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis="it goes down while its drag is less than its hanging weight",
        action="" if status == "ok" else _LESS_DRAG,
        assumptions=_assumptions(context, forecast),
    )


def _pushed(context: Context, forecast: HookForecast) -> Verdict:
    pushed = [(row, row.compressed_md_m) for row in forecast.rows if row.compressed_md_m]
    if not pushed:
        return Verdict(
            status="ok",
            text=f"Slacking off, no part of the string is compressed at any of"
            f" {len(forecast.rows)} depths.",
            basis="tension of a soft string",
            assumptions=_assumptions(context, forecast),
        )
    row, (high_m, low_m) = max(pushed, key=lambda one: one[1][1] - one[1][0])
    text = (
        f"Slacking off, the string is compressed at {len(pushed)} of {len(forecast.rows)} depths,"
        f" most at {_at(context, row)}: from {context.length(high_m)} to {context.length(low_m)}."
    )
    return not_checked("a limit of buckling for the string", text=text)


def _up(context: Context, forecast: HookForecast) -> Verdict:
    row, weakest = forecast.greatest_up, forecast.weakest
    text = (
        f"Greatest pick-up {context.load(row.up_n)} at"
        f" {_at(context, row)}{_shown(context, forecast)}."
    )
    if weakest is None:
        return not_checked(*forecast.needs, text=text)
    judged = at_most(weakest.load_n, weakest.rating_n or 0.0)
    met = _met(context, forecast, weakest)
    if forecast.needs and judged.status != "exceeds":
        return not_checked(*forecast.needs, text=f"{text} Of the limits known, {met}")
    return Verdict(
        status=judged.status,
        text=f"{text} Tightest of {len(forecast.limits)} limits: {met}",
        dimension=Dimension.FORCE,
        value=weakest.load_n,
        limit=judged.limit,
        utilisation=judged.utilisation,
        basis=f"rating: {weakest.origin}",
        action="" if judged.status == "ok" else "pull less, or use what carries more",
        assumptions=(*_UP, *_assumptions(context, forecast)),
    )


def _shown(context: Context, forecast: HookForecast) -> str:
    """What the indicator then shows."""
    if forecast.block_n is None:
        return ", weight of block and bails not known"
    return f", {context.load(forecast.greatest_up.up_n + forecast.block_n)} with block and bails"


def _met(context: Context, forecast: HookForecast, limit: HookLimit) -> str:
    block = ", block and bails in it" if limit.with_block else ""
    return (
        f"{limit.name}, {context.load(limit.load_n)} of {context.load(limit.rating_n or 0.0)}"
        f"{block}, at {_at(context, forecast.rows[limit.number])}."
    )


HOOK_LOAD = Check(
    id="hook-load",
    question="Does the string go down by its own weight, and stays the pull within every limit?",
    places=_places,
    judge=_judge,
)
