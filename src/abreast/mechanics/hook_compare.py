"""Recorded hook loads against those expected: inside the band, and if not, what it is."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from abreast.errors import InputError, MissingInputError, Where
from abreast.formulas.guard import finite, require
from abreast.mechanics.hook_fit import Reading, Verdict, diagnose
from abreast.mechanics.hook_forecast import HookForecast, HookRow

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

    Array = npt.NDArray[np.float64]
else:
    Array = Any

__all__ = ["Comparison", "FrictionTable", "Recorded", "compare"]

Kind = Literal[
    "within band",
    "as the readings before",
    "friction change",
    "hang-up",
    "weight",
    "unclear",
    "not told",
]
_NODES = 12


@dataclass(frozen=True, slots=True)
class Recorded:
    """Loads read with the upper end of one piece at the surface [N].

    Parameters
    ----------
    number : int
        That of the row of the forecast: pieces run above the twin string.
    up_n, down_n : float or None
        Picking up and slacking off, as the indicator shows them.
    """

    number: int
    up_n: float | None = None
    down_n: float | None = None

    def __post_init__(self) -> None:
        known = [load for load in (self.up_n, self.down_n) if load is not None]
        require(len(known) > 0, "up_n", "give the weight picking up, slacking off, or both")
        for load in known:
            finite("up_n", load)


@dataclass(frozen=True, slots=True)
class Comparison:
    """One recorded pair against the forecast.

    Parameters
    ----------
    row : HookRow
        What was expected.
    up_off_n, down_off_n : float or None
        Recorded less expected, block weight taken off [N].
    within : bool
        Every load recorded is inside the band of the forecast.
    kind : str
        What it is; "not told" where one weight alone is outside its band.
    words : str
        Why, in words.
    friction_ratio : float or None
        Friction of the ordinary readings before it.
    """

    row: HookRow
    up_off_n: float | None
    down_off_n: float | None
    within: bool
    kind: Kind
    words: str
    friction_ratio: float | None


class FrictionTable:
    """Hook loads of every row for any friction, between twelve that are worked out.

    Chebyshev points of friction from 0 to 1, barycentric interpolation: on the
    two invented jobs it is within 2e-4 of the hanging weight.
    """

    def __init__(self, expected: HookForecast) -> None:
        self._run = expected.run
        self._depths = [row.bottom_md_m for row in expected.rows]

    @cached_property
    def _table(self) -> tuple[list[float], list[float], list[list[list[float]]]]:
        import numpy as np

        angles = [math.pi * k / (_NODES - 1) for k in range(_NODES)]
        nodes = [(1 - math.cos(angle)) / 2 for angle in angles]
        weights = [(-1.0) ** k for k in range(_NODES)]
        weights[0], weights[-1] = 0.5, weights[-1] / 2
        runs = [self._run.loads(node) for node in nodes]
        loads = np.array(
            [[(one.up_n[-1], one.down_n[-1], one.still_n[-1]) for one in run] for run in runs]
        )
        table: list[list[list[float]]] = loads.transpose(1, 2, 0).tolist()
        return nodes, weights, table

    def __call__(self, bottom_md_m: float, friction_ratio: float) -> tuple[float, float, float]:
        """Hook load up, down and still at the row of that depth [N]."""
        nodes, weights, table = self._table
        at = bisect_left(self._depths, bottom_md_m - 1e-6)
        up, down, still = table[min(at, len(table) - 1)]
        shares = []
        for number, (node, weight) in enumerate(zip(nodes, weights, strict=True)):
            off = friction_ratio - node
            if off == 0:
                return up[number], down[number], still[number]
            shares.append(weight / off)
        whole = sum(shares)
        return (
            sum(map(float.__mul__, shares, up)) / whole,
            sum(map(float.__mul__, shares, down)) / whole,
            still[0],
        )


def compare(
    expected: HookForecast,
    recorded: Sequence[Recorded],
    *,
    block_included: bool = True,
    table: FrictionTable | None = None,
) -> tuple[Comparison, ...]:
    """Each recorded pair against the band of the forecast, and against the readings before it.

    Parameters
    ----------
    expected : HookForecast
        From :func:`abreast.mechanics.hook_forecast.forecast_run`.
    recorded : sequence of Recorded
        In the order in which they were taken.
    block_included : bool
        The indicator shows block and bails too.
    table : FrictionTable, optional
        Of this forecast; worked out here if there is none, which takes some
        tenths of a second.

    Raises
    ------
    MissingInputError
        If block and bails are in the loads and their mass is not stated.
    InputError
        ``out-of-range``: there is no row of that number.

    Notes
    -----
    The band is that of the forecast, with the friction of the job. What a
    reading outside it means is told against the friction that the ordinary
    readings before it show, beginning with that of the job.
    """
    block_n = 0.0
    if block_included:
        if expected.block_n is None:
            raise MissingInputError(needs="block mass of the rig")
        block_n = expected.block_n
    rows = [_row(expected, one) for one in recorded]
    readings = [
        Reading(row.bottom_md_m, _less(one.up_n, block_n), _less(one.down_n, block_n))
        for row, one in zip(rows, recorded, strict=True)
    ]
    told = diagnose(
        readings,
        table or FrictionTable(expected),
        expected.alarm_ratio,
        expected.friction_ratio,
        expected.alarm_least_n,
    )
    return tuple(
        _compared(row, reading, verdict)
        for row, reading, verdict in zip(rows, readings, told, strict=True)
    )


def _less(load_n: float | None, block_n: float) -> float | None:
    return None if load_n is None else load_n - block_n


def _row(expected: HookForecast, one: Recorded) -> HookRow:
    if not 0 <= one.number < len(expected.rows):
        message = (
            f"there is no piece number {one.number} in the forecast; it has 0 to"
            f" {len(expected.rows) - 1}"
        )
        raise InputError(message, code="out-of-range", where=Where(field="number"))
    return expected.rows[one.number]


def _compared(row: HookRow, reading: Reading, told: Verdict) -> Comparison:
    up_off_n = None if reading.up_n is None else reading.up_n - row.up_n
    down_off_n = None if reading.down_n is None else reading.down_n - row.down_n
    within = all(
        off is None or abs(off) <= row.alarm_n * (1 + 1e-9) for off in (up_off_n, down_off_n)
    )
    kind, words = _kind(told, within=within)
    return Comparison(row, up_off_n, down_off_n, within, kind, words, told.friction_ratio)


def _kind(told: Verdict, *, within: bool) -> tuple[Kind, str]:
    if told.kind == "too few before":
        return ("within band" if within else "not told"), told.words
    if told.kind == "as before":
        return ("within band" if within else "as the readings before"), told.words
    return told.kind, told.words
