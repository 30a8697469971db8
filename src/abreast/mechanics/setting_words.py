"""Where to set, in words: the rank of the planned depth, or why no depth can have one."""

from __future__ import annotations

from abreast.mechanics.setting_bounds import Bound
from abreast.mechanics.setting_places import SettingScan

__all__ = ["no_room", "setting_words"]


def no_room(scan: SettingScan) -> str:
    """Why the string has no room in this well, in a sentence; blank where it has.

    Two bounds that cross leave no depth: the pieces above the Y-tool, or the fluid
    over the intake, ask for more depth than there is above the place that the string
    may not enter.

    Parameters
    ----------
    scan : SettingScan
        The bounds of the depth; what is merely not known beyond one is no bound here.
    """
    known = [one for one in scan.bounds if not one.unknown]
    above = max((one for one in known if not one.lowest), key=_md_m, default=None)
    below = min((one for one in known if one.lowest), key=_md_m, default=None)
    if above is None or below is None or above.top_md_m <= below.top_md_m:
        return ""
    high, low = scan.length(above.top_md_m), scan.length(below.top_md_m)
    lacking = scan.length(above.top_md_m - below.top_md_m)
    return (
        f"No depth can do, {lacking} is missing: there is only room for a Y-tool top down to {low}"
        f" ({below.short}), and it needs {high} or deeper ({above.short})."
    )


def _md_m(bound: Bound) -> float:
    return bound.top_md_m


def setting_words(scan: SettingScan) -> tuple[str, ...]:
    """What is said of the planned depth and of better ones; a rank only where one means something.

    Parameters
    ----------
    scan : SettingScan
        The ranked depths.
    """
    words = scan.words()
    if scan.unrefused:
        return words
    at = f"Y-tool top planned at {scan.length(scan.planned.top_md_m)}"
    first = no_room(scan) or f"{at}: none of {len(scan.places)} depths looked at keeps every limit."
    return (first, *words[1:])
