"""Is the union's stroke wide enough for what the tape may be wrong?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from abreast.checks.base import Check, Context, Verdict, at_most, inside
from abreast.checks.closure import raw_closure
from abreast.formulas.measuring import thermal_expansion
from abreast.spaceout.budget import (
    closure_budget,
    measured_bypass_lengths,
    measured_esp_lengths,
    reserve_m,
)
from abreast.units import Dimension

__all__ = ["CLOSURE_ERROR"]

Case = Literal["likely", "worst case", "tape temperature"]


def _places(_context: Context) -> Iterator[tuple[str, Case]]:
    yield "likely", "likely"
    yield "worst case", "worst case"
    yield "tape temperature", "tape temperature"


def _judge(context: Context, case: Case) -> Verdict:
    if case == "likely":
        return _likely(context)
    return _worst(context) if case == "worst case" else _tape(context)


def _union_m(context: Context) -> float:
    if context.assembly.union is not None:
        return context.assembly.union.length_m
    return raw_closure(context.job, context.assembly, context.choice).union_m


def _spreads(context: Context) -> tuple[str, ...]:
    rules = context.job.rules
    named = (
        ("each ESP length", rules.spread_esp_flange_m),
        ("each bypass piece", rules.spread_joint_m),
        ("common to all", rules.spread_common_m),
    )
    return tuple(f"{what} ±{context.small(q.si, 2)} ({q.origin})" for what, q in named)


def _likely(context: Context) -> Verdict:
    job = context.job
    items = measured_bypass_lengths(job, context.choice.items)
    error, reserve = closure_budget(job, items), reserve_m(job, items)
    low, high = job.union.window_m
    union_m = _union_m(context)
    judged = inside(union_m, low + reserve, high - reserve)
    factor = job.rules.reserve_factor_ratio.si
    return Verdict(
        status=judged.status,
        text=f"Union {context.length(union_m)}, to be used from {context.length(low)} to"
        f" {context.length(high)}, less {context.small(reserve, 2)} at each end: {factor:g} times"
        f" the likely error of ±{context.small(error.quadrature_m, 2)} from"
        f" {measured_esp_lengths(job)} ESP lengths, {items} bypass lengths and what is common.",
        dimension=Dimension.LENGTH,
        value=union_m,
        limit=judged.limit,
        utilisation=judged.utilisation,
        action=""
        if judged.status == "ok"
        else "choose pieces that close nearer to mid-stroke,"
        " or measure again with a smaller spread",
        assumptions=_spreads(context),
    )


def _worst(context: Context) -> Verdict:
    items = measured_bypass_lengths(context.job, context.choice.items)
    worst_m = closure_budget(context.job, items).worst_m
    union, union_m = context.job.union, _union_m(context)
    left_m = min(union_m - union.closed_m.si, union.open_m.si - union_m)
    judged = at_most(worst_m, left_m)
    return Verdict(
        # That all errors fall the same way is unlikely: it warns, it does not refuse.
        status="near limit" if judged.status == "exceeds" and left_m > 0 else judged.status,
        text=f"If every length is wrong by its whole spread the same way, the closure is off by"
        f" {context.small(worst_m, 2)}; the union has {context.small(left_m, 2)} to its nearer"
        " end.",
        dimension=Dimension.LENGTH,
        value=worst_m,
        limit=left_m,
        utilisation=judged.utilisation,
        action="" if judged.status == "ok" else "measure face to face before the Y-tool goes on",
        assumptions=_spreads(context),
    )


def _tape(context: Context) -> Verdict:
    rules = context.job.rules
    raw = raw_closure(context.job, context.assembly, context.choice)
    off_k = abs(rules.tape_k.si - rules.tape_reference_k.si)
    error_m = thermal_expansion(raw.esp_m, off_k)
    judged = at_most(error_m, rules.spread_common_m.si)
    return Verdict(
        status=judged.status,
        text=f"Tape and steel were {context.warmth(off_k)} from the tape's own temperature: if only"
        f" one of the two strings was measured so, the closure is off by"
        f" {context.small(error_m, 2)}. The spread common to all allows"
        f" {context.small(judged.limit, 2)} for this and the rest.",
        dimension=Dimension.LENGTH,
        value=error_m,
        limit=judged.limit,
        utilisation=judged.utilisation,
        action=""
        if judged.status == "ok"
        else "measure both strings at one temperature, or widen the spread common to all",
        assumptions=("steel, 12.4e-6 per K", "over the length of the ESP side"),
    )


CLOSURE_ERROR = Check(
    id="closure-error",
    question="Is the union's stroke wide enough for the error of all measured lengths?",
    places=_places,
    judge=_judge,
    basis="quadrature sum, JCGM 100; spreads by the rules of the job",
)
