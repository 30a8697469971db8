"""The hook load to expect, joint by joint, with blanks for what was read on the rig floor."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.documents.well_words import Numbers, absent, used
from abreast.documents.workpack_words import Data
from abreast.mechanics.down_hole import Missing
from abreast.mechanics.hook_forecast import HookForecast, HookRow
from abreast.mechanics.hook_limits import HookLimit
from abreast.model import Job

__all__ = ["hook_page"]

_HANG_UP = (
    ("Both inside the alarms", "go on. Friction is what was expected."),
    (
        "More drag both ways",
        "up heavier and down lighter by about as much: friction has changed. Look for it at the"
        " next joints too; slow down, tell the office.",
    ),
    (
        "One way only",
        "up as expected and down light, or down as expected and up heavy: a HANG-UP. Stop. Do not"
        " push on or pull harder: twin clamps, cable or a shoulder may be caught. Go back the way"
        " that was free, turn if the maker allows it, look at what passes at this depth.",
    ),
    (
        "Both heavier, or both lighter",
        "the weight is other than reckoned: pieces run, fluid level, fill of the string, the"
        " indicator or its zero.",
    ),
    ("None of these", "stop and call the office before the next joint."),
)


def hook_page(job: Job, hook: HookForecast | Missing) -> Data:
    """The forecast as plain data; where there is none, what it needs.

    Parameters
    ----------
    job : Job
        Its units.
    hook : HookForecast or Missing
        The hook loads to expect.
    """
    if isinstance(hook, Missing):
        return absent(hook.needs)
    numbers = Numbers(job)
    return {
        "needs": "",
        "units": {"depth": numbers.long_unit, "load": numbers.load_unit},
        "block": block_words(hook.block_n, numbers),
        "facts": list(_facts(job, hook, numbers)),
        "rule": [list(one) for one in _HANG_UP],
        "limits": [_limit(one, numbers) for one in hook.limits],
        "rows": [_row(one, numbers) for one in hook.rows],
        "locked": [str(one.number) for one in hook.rows if not one.goes_down],
        "open": list(hook.not_counted),
        "assumptions": list(hook.assumptions),
    }


def _facts(job: Job, hook: HookForecast, numbers: Numbers) -> Iterator[tuple[str, str]]:
    up, down = hook.greatest_up, hook.least_down
    yield "Block and bails", _block(hook, numbers)
    origin = job.friction.cased_ratio.origin
    yield "Friction factor", f"{hook.friction_ratio:g} in casing ({origin})"
    yield (
        "Greatest, picking up",
        f"{numbers.load(up.up_n)} at No. {up.number} ({up.name}), Y-tool top at"
        f" {numbers.depth(up.ytool_md_m)}",
    )
    left = down.left_ratio
    share = "" if left is None else f", {100 * left:.0f} % of what hangs, the least share"
    at = f"No. {down.number} ({down.name}), Y-tool top at {numbers.depth(down.ytool_md_m)}"
    yield "Least left, going down", f"{numbers.load(down.down_n)}{share}, at {at}"
    least = f", and at least {numbers.load(hook.alarm_least_n)}" if hook.alarm_least_n else ""
    rules = job.rules.hook_alarm_ratio.origin
    yield "Alarm", f"{100 * hook.alarm_ratio:g} % of what hangs{least} ({rules})"


def _block(hook: HookForecast, numbers: Numbers) -> str:
    if hook.block_n is None:
        return (
            "NOT in the loads below, and not stated: needs block mass of the rig; read the"
            " indicator with the empty block and write it here"
        )
    return (
        f"NOT in the loads below. An indicator that shows the block too reads"
        f" {numbers.load(hook.block_n)} more"
    )


def block_words(block_n: float | None, numbers: Numbers) -> str:
    """What the loads leave out, for the head of every page of the table."""
    if block_n is None:
        return "Block and bails are not in them, their mass is not stated."
    return f"Block and bails are not in them: add {numbers.load(block_n)}."


def _row(row: HookRow, numbers: Numbers) -> Data:
    load = numbers.bare_load
    return {
        "number": str(row.number),
        "name": row.name,
        "length": numbers.bare_depth(row.length_m),
        "bottom": numbers.bare_depth(row.bottom_md_m),
        "up": load(row.up_n),
        "still": load(row.still_n),
        "down": load(row.down_n),
        "low": load(row.down_band_n[0]),
        "high": load(row.up_band_n[1]),
        "locked": not row.goes_down,
        "compressed": row.compressed_md_m is not None,
    }


def _limit(limit: HookLimit, numbers: Numbers) -> Data:
    rating = limit.rating_n
    return {
        "what": limit.name,
        "load": numbers.load(limit.load_n) + (", with block" if limit.with_block else ""),
        "number": str(limit.number),
        "limit": "not stated" if rating is None else numbers.load(rating),
        "origin": limit.origin if rating is not None else f"needs {limit.needs}",
        "used": used(limit.load_n, rating),
    }
