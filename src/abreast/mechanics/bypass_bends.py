"""How sharply each pipe of the bypass, the tail and the tubing above hangs bent."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from abreast.mechanics.twin_beam import TwinBeam, Union
from abreast.mechanics.twin_beam_sweep import Place

__all__ = ["piece_bends"]


def piece_bends(
    beams: Mapping[Union, TwinBeam], places: Iterable[Place]
) -> dict[str, float] | None:
    """Sharpest curvature of each piece over all places where the string hangs [rad/m].

    Parameters
    ----------
    beams : mapping
        The twin beams by state of the union, as they were solved.
    places : iterable of Place
        The string at rest, every roll and state.

    Returns
    -------
    dict or None
        By the name of the piece; blocks are rigid and not in it. None: no place,
        or one without a shape.

    Notes
    -----
    M / EI of each segment; a piece takes the sharpest of its own.
    """
    found: dict[str, float] = {}
    count = 0
    for place in places:
        if place.moments_nm is None:
            return None
        count += 1
        for string in beams[place.union].strings:
            for one in string.segments:
                moment_nm = place.moments_nm.get((one.name, one.kind))
                if one.kind != "block" and moment_nm is not None:
                    bend = moment_nm / one.ei_nm2
                    found[one.name] = max(found.get(one.name, 0.0), bend)
    return found if count else None
