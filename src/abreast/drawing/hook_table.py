"""The hook load of every piece as rows of text, for the pack and the sheet."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.mechanics.hook_forecast import HookForecast, HookRow
from abreast.mechanics.hook_limits import HookLimit
from abreast.model import Job
from abreast.units import Dimension, display_unit, to_unit

__all__ = ["Scale", "hook_columns", "hook_rows", "scale_of"]


@dataclass(frozen=True, slots=True)
class Scale:
    """How loads and depths are printed: kN or klbf, block and bails not in them.

    Parameters
    ----------
    unit, long_unit : str
        Units of loads and depths.
    block_n : float or None
        Weight of block and bails, which an indicator may show on top [N]; None: not known.
    """

    unit: str
    long_unit: str
    block_n: float | None

    @property
    def block_words(self) -> str:
        """What a load leaves out, and what to add to it."""
        if self.block_n is None:
            return "block and bails not in it"
        return f"add {self.text(self.block_n)} for block and bails"

    def load(self, load_n: float) -> float:
        """A load, as a number in the unit that is printed."""
        return to_unit(load_n, self.unit)

    def text(self, load_n: float) -> str:
        """A load, with one decimal."""
        return f"{self.load(load_n):.1f}"

    def limit(self, limit: HookLimit) -> float:
        """Where a rating lies among loads without the block: one with it, so much lower."""
        block_n = (self.block_n or 0.0) if limit.with_block else 0.0
        return self.load((limit.rating_n or 0.0) - block_n)

    def long(self, length_m: float) -> float:
        """A depth, as a number in the unit that is printed."""
        return to_unit(length_m, self.long_unit)


def scale_of(job: Job, forecast: HookForecast) -> Scale:
    """The scale of a job's units."""
    unit = "klbf" if job.units == "oilfield" else "kN"
    return Scale(unit, display_unit(Dimension.LENGTH, job.units), forecast.block_n)


def hook_columns(job: Job, forecast: HookForecast) -> tuple[str, ...]:
    """Headings of :func:`hook_rows`."""
    scale = scale_of(job, forecast)
    return (
        "no.",
        "piece",
        f"Y-tool MD [{scale.long_unit}]",
        f"lower end MD [{scale.long_unit}]",
        f"up [{scale.unit}]",
        f"hanging [{scale.unit}]",
        f"down [{scale.unit}]",
        f"stop beyond ± [{scale.unit}]",
        "remark",
    )


def hook_rows(job: Job, forecast: HookForecast) -> tuple[tuple[str, ...], ...]:
    """One row of text for each piece, in running order.

    Parameters
    ----------
    job : Job
        Its units.
    forecast : HookForecast
        The loads; block and bails are not in them.
    """
    scale = scale_of(job, forecast)
    return tuple(_cells(scale, row) for row in forecast.rows)


def _cells(scale: Scale, row: HookRow) -> tuple[str, ...]:
    return (
        str(row.number),
        row.name,
        f"{scale.long(row.ytool_md_m):.1f}",
        f"{scale.long(row.bottom_md_m):.1f}",
        scale.text(row.up_n),
        scale.text(row.still_n),
        scale.text(row.down_n),
        scale.text(row.alarm_n),
        _remark(row),
    )


def _remark(row: HookRow) -> str:
    if not row.goes_down:
        return "stays up"
    return "compressed" if row.compressed_md_m else ""
