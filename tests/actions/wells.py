"""Plans without the well: what it does to the string is worked out where it is tested."""

from __future__ import annotations

from abreast.mechanics.down_hole import DownHole, Missing

__all__ = ["NO_WELL", "PLACE", "no_well"]

_MISSING = Missing("a well to look at")
NO_WELL = DownHole(_MISSING, _MISSING, _MISSING, _MISSING)
PLACE = "abreast.actions.plan.down_hole"


def no_well(*_: object, **__: object) -> DownHole:
    """In place of the work in the well."""
    return NO_WELL
