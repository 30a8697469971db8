"""The lift rule in the CP-SAT model, and the cut of a finished plan into lifts."""

from __future__ import annotations

from functools import cache
from typing import Any

from abreast.spaceout.case import Case, Item, Lifts
from benchmarks.spaceout.peer_model import Expr, Model, windows, within

__all__ = ["add_lifts", "cut"]


def add_lifts(model: Model, rule: Lifts) -> None:
    """Booleans for "a lift ends at top j" and "section m hangs with the top at j or lower"."""
    cp, p, n = model.cp, model.p, model.n
    ends = [cp.new_bool_var(f"end{j}") if p < j < n else cp.new_constant(1) for j in range(n + 1)]
    hung = [[cp.new_bool_var("") for _ in model.tops] for _ in model.case.landings]
    for m, window in enumerate(windows(model)):
        cp.add(hung[m][n] == 1)
        if m < model.passed:
            cp.add_bool_and(hung[m])
        else:
            _hang(model, m, window, hung, ends)
    for j in range(p, n):
        _start(model, rule, j, ends[j], [section[j] for section in hung])
    _sizes(model, rule, ends)
    for window in windows(model)[-1:]:
        within(model, model.tops[n], window)


def _hang(
    model: Model, m: int, window: tuple[int, int], hung: list[list[Any]], ends: list[Any]
) -> None:
    """Section m begins to hang at one lift end inside its window, not before section m - 1."""
    cp = model.cp
    before: Any = cp.new_constant(0)
    for j, now in enumerate(hung[m]):
        if model.passed and j < model.p:
            cp.add(now == 0)
        here = cp.new_bool_var("")
        cp.add(here == now - before)
        cp.add_implication(here, ends[j])
        within(model, model.tops[j], window, here)
        if m:
            cp.add_implication(now, hung[m - 1][j])
        before = now


def _start(model: Model, rule: Lifts, j: int, end: Any, hung: list[Any]) -> None:
    """Where the lift that starts at top j may start, given the sections that hang there."""
    cp, pre = model.cp, rule.pre_run_height
    if j > 0:
        none_hangs = [end] + [h.negated() for h in hung[:1]]
        if pre is None:
            cp.add_bool_or([h.negated() for h in none_hangs])
        else:
            cp.add(model.tops[j] <= pre).only_enforce_if(none_hangs)
    for m, window in enumerate(windows(model)):
        last = [end, hung[m]] + [h.negated() for h in hung[m + 1 : m + 2]]
        now = cp.new_bool_var("")
        cp.add_bool_or([now, *(h.negated() for h in last)])
        within(model, model.tops[j], window, now)


def _sizes(model: Model, rule: Lifts, ends: list[Any]) -> None:
    """No lift of too many pieces; the overall length so far starts anew above each end."""
    cp, p, n = model.cp, model.p, model.n
    for j in range(p + 1, n - rule.max_pieces + 1):
        cp.add_bool_or(ends[j : j + rule.max_pieces])
    so_far: Expr = 0
    for j in range(p + 1, n + 1):
        length = cp.new_int_var(0, rule.max_length, f"lift{j}")
        cp.add(length >= model.total(j, "overall"))
        if j > p + 1:
            longer = length >= so_far + model.total(j, "overall")
            cp.add(longer).only_enforce_if(ends[j - 1].negated())
        so_far = length


def cut(
    case: Case, rule: Lifts, items: tuple[Item, ...], tops: list[int]
) -> tuple[tuple[str, ...], ...] | None:
    """The cut into lifts with the fewest lifts of several pieces, by trying all from below."""
    spans = [(m.table + m.window[0], m.table + m.window[1]) for m in case.landings]
    n, p, passed = len(items), len(case.locked), case.landings_passed or 0

    @cache
    def best(j: int, hung: int) -> tuple[int, Any] | None:
        options = []
        if hung < len(spans) and spans[hung][0] <= tops[j] <= spans[hung][1]:
            options.append(best(j, hung + 1))
        if j == n:
            options.append((0, ()) if hung == len(spans) else None)
        elif j < p:
            options.append(best(j + 1, hung))
        elif _may_start(rule, spans, tops, j, hung):
            for k in range(j + 1, min(n, j + rule.max_pieces) + 1):
                if sum(item.overall for item in items[j:k]) <= rule.max_length:
                    rest = best(k, hung)
                    lift = tuple(item.id for item in items[j:k])
                    options.append(rest and (rest[0] + (k > j + 1), (lift, *rest[1])))
        return min((o for o in options if o is not None), key=lambda o: o[0], default=None)

    found = best(p if passed else 0, passed)
    return found and found[1]


def _may_start(
    rule: Lifts, spans: list[tuple[int, int]], tops: list[int], j: int, hung: int
) -> bool:
    if hung:
        return spans[hung - 1][0] <= tops[j] <= spans[hung - 1][1]
    return j == 0 or (rule.pre_run_height is not None and tops[j] <= rule.pre_run_height)
