"""The twin string, hole and loads of the contact calculator, made of what it was given."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from abreast.actions.beam_inputs import BeamInputs, agree
from abreast.errors import InputError
from abreast.formulas.guard import require
from abreast.formulas.path_frame import path_frame
from abreast.formulas.survey import Station, positions
from abreast.mechanics.beam_case import (
    FLAT_M,
    LEADER,
    NEAREST_M,
    Rested,
    check_places,
    is_held,
    rest,
    rest_in,
)
from abreast.mechanics.beam_read import moves_m
from abreast.mechanics.twin_beam import BeamSegment, BeamString, Disc, Held, Link, TwinBeam
from abreast.mechanics.twin_beam_solve import FOUND

if TYPE_CHECKING:
    from abreast.mechanics.twin_beam_mesh import Mesh
    from abreast.mechanics.twin_beam_solve import Fields

__all__ = ["laid"]

_LEADER_M, _LIMP = 5.0, 1e-8
_MOST_NODES = 2000
# Elements longer than this share of it can't follow how a pulled string bends beside a support.
_PULLED = 0.4
_OPEN_M = 1e6
_SAME_M = 1e-9
_ASKED = ""
_WAYS = {"down": 1.0, "up": -1.0, "still": 0.0}


def laid(given: BeamInputs) -> Rested:
    """The case, solved.

    Raises
    ------
    InputError
        One sentence that names the field.
    """
    from abreast.mechanics.twin_beam_mesh import mesh

    agree(given)
    twin = _twin(given)
    check_places(twin)
    _check_held_parts(given, twin)
    cut = mesh(twin, _longest_m(given, twin), NEAREST_M)
    case = _in_hole(given, cut) if given.stations else rest(*_fields(given, cut))
    if case.state == "not found":
        message = "no shape was found for these figures; check their units"
        raise InputError(message, code="not-found")
    flown = case.state in FOUND and moves_m(case) > twin.strings[0].bottom_m - twin.strings[0].top_m
    away = "nothing holds the string against its load: it moves farther than its own length"
    require(not flown, "held", f"{away}; hold it, or check loads and units")
    return case


def _check_held_parts(given: BeamInputs, twin: TwinBeam) -> None:
    """A part where a string is held can't move away from the wall: it must fit as it is."""
    for number, one in enumerate(given.held, 1):
        string = int(one.string == "second")
        here_m = [
            b / 2 for top, low, b in _bores(given) if top <= one.at_m + given.zero_md_m <= low
        ]
        for part in twin.strings[string].discs:
            if part.name == _ASKED or not part.at_m <= one.at_m <= part.bottom_m or not here_m:
                continue
            over_m = math.hypot(part.x_m, part.y_m) + part.radius_m - min(here_m)
            reason = f"{part.name} does not fit: held there it is {1e3 * over_m:.3g} mm in the wall"
            require(over_m <= _SAME_M, f"held.{number}", reason)


def _longest_m(given: BeamInputs, twin: TwinBeam) -> float:
    whole_m = max(one.bottom_m - one.top_m for one in twin.strings)
    least_m = whole_m / _MOST_NODES
    if given.longest_m is None:
        return max(min(1.0, whole_m / 100, _PULLED * _boundary_m(given, twin)), least_m)
    fits = given.longest_m >= least_m
    require(fits, "longest_m", f"cuts it in more than {_MOST_NODES} elements; make it longer")
    return given.longest_m


def _boundary_m(given: BeamInputs, twin: TwinBeam) -> float:
    """Length over which a pulled string bends beside a support, sqrt(EI/T), at its shortest."""
    parts = [one for string in twin.strings for one in string.segments if one.kind != LEADER]
    pulls = [abs(one.tension_n) for one in given.strings]
    pulls += [abs(one.tension_bottom_n or 0.0) for one in given.strings]
    pulls.append(sum(one.weight_n_m * (one.bottom_m - one.top_m) for one in parts))
    most_n, least_nm2 = max(pulls), min(one.ei_nm2 for one in parts)
    return math.sqrt(least_nm2 / most_n) if most_n > 0 else math.inf


def _twin(given: BeamInputs) -> TwinBeam:
    strings = tuple(_string(given, number) for number in range(len(given.strings)))
    for number, one in enumerate(given.held, 1):
        known = one.string == "first" or len(strings) == 2
        require(known, f"held.{number}.string", "there is no second string")
    links: list[Link] = []
    for number, link in enumerate(given.links, 1):
        field = f"links.{number}"
        apart = all(abs(link.at_m - one.at_m) > NEAREST_M for one in links)
        require(apart, f"{field}.at_m", f"two links at {link.at_m:g} m, or nearer than 1 mm")
        sideways = link.play_m == 0 or link.kind == "clamp"
        require(sideways, f"{field}.play_m", "only a clamp has play")
        name = link.id or f"link {number}"
        links.append(Link(link.at_m, link.kind, link.play_m, name, link.grips))
    for number, at_m in enumerate(given.asked_m, 1):
        reached = any(one.top_m <= at_m <= one.bottom_m for one in strings)
        require(reached, f"asked_m.{number}", f"{at_m:g} is not on a string")
    held = tuple(_held(given, links))
    twin = TwinBeam(
        strings, tuple(links), held or (Held(0, strings[0].top_m),), given.union, given.misfit_m
    )
    if held and is_held(twin):
        return twin
    parts = any(one.parts for one in given.strings)
    walled = given.bore_m is not None or given.floor_m is not None or bool(given.bores)
    touch = "the parts have no wall to touch: give bore_m, bores or floor_m, or hold the string"
    require(walled or not parts, "bore_m", touch)
    loose = "a string is loose: hold it, or link it, at two places, or build it in at one"
    require(parts, "held", loose)
    return _led(twin, held)


def _string(given: BeamInputs, number: int) -> BeamString:
    one, field = given.strings[number], f"strings.{number + 1}"
    name = one.id or f"string {number + 1}"
    at_m, segments = one.top_m, []
    for place, part in enumerate(one.segments, 1):
        locked = part.ea_n is not None or given.union == "free"
        require(locked, f"{field}.segments.{place}.ea_n", "a locked union needs it")
        share = 0 <= part.buoyant_ratio <= 1
        reason = f"{part.buoyant_ratio:g} must lie from 0 to 1"
        require(share, f"{field}.segments.{place}.buoyant_ratio", reason)
        short = f"{part.length_m:g} m is shorter than the least that is told apart, {NEAREST_M:g} m"
        require(part.length_m > NEAREST_M, f"{field}.segments.{place}.length_m", short)
        segments.append(
            BeamSegment(
                part.id or f"segment {place}",
                at_m,
                at_m + part.length_m,
                part.ei_nm2,
                part.weight_n_m,
                part.buoyant_ratio,
                part.ea_n or _OPEN_M**2,
                one.x_m if part.x_m is None else part.x_m,
                part.modulus_m3,
            )
        )
        at_m += part.length_m
    discs = []
    for place, touch in enumerate(one.parts, 1):
        inside = one.top_m <= touch.at_m and touch.at_m + touch.length_m <= at_m * (1 + 1e-12)
        reason = f"{touch.at_m:g} and {touch.length_m:g} m down from it is not on {name}"
        require(inside, f"{field}.parts.{place}.at_m", reason)
        discs.append(
            Disc(
                touch.at_m,
                one.x_m if touch.x_m is None else touch.x_m,
                touch.y_m,
                touch.diameter_m / 2,
                touch.id or f"part {place}",
                "body" if touch.beside else "clamp",
                touch.length_m,
            )
        )
    here = [at for at in given.asked_m if one.top_m <= at <= at_m]
    discs += [Disc(at, 0.0, 0.0, 0.0, _ASKED, "clamp") for at in here]
    return BeamString(name, tuple(segments), tuple(discs))


def _held(given: BeamInputs, links: list[Link]) -> list[Held]:
    """Held points, each once; one on a string that a link joins there is held with both."""
    found: dict[tuple[int, float], bool] = {}
    fast = {one.at_m: one for one in links if one.play_m == 0}
    for one in given.held:
        square, string = one.how == "built-in", int(one.string == "second")
        joint = fast.get(one.at_m)
        if string and joint is not None:
            whole = joint.kind != "clamp"
            found[0, one.at_m] = found.get((0, one.at_m), False) or (square and whole)
            if whole or not square:
                continue
        found[string, one.at_m] = found.get((string, one.at_m), False) or square
    return [Held(string, at_m, slope) for (string, at_m), slope in found.items()]


def _led(twin: TwinBeam, held: tuple[Held, ...]) -> TwinBeam:
    """A twin that walls help to hold, with a limp leader above each string that drifts."""
    strings = list(twin.strings)
    for number, one in enumerate(twin.strings):
        top = one.segments[0]
        upper_m, ei_nm2 = top.top_m - _LEADER_M, top.ei_nm2 * _LIMP
        limp = BeamSegment("leader", upper_m, top.top_m, ei_nm2, x_m=top.x_m, kind=LEADER)
        strings[number] = replace(one, segments=(limp, *one.segments))
        held = (*held, Held(number, upper_m, slope=True))
        led = replace(twin, strings=tuple(strings), held=held)
        if is_held(led):
            break
    return led


def _fields(given: BeamInputs, cut: Mesh) -> tuple[Mesh, Fields]:
    """Loads, tensions, curvature and walls as they were given; tension straight along a string."""
    import numpy as np

    from abreast.mechanics.twin_beam_solve import Fields

    count, bend = len(cut.segments), given.dogleg_rad_m
    kappa = bend * np.array([math.cos(given.bend_rad), math.sin(given.bend_rad)])
    loads, pulls = np.zeros((count, 2)), np.zeros(count)
    for k, at_m in enumerate(cut.middle_m):
        one, string = given.strings[cut.string[k]], cut.twin.strings[cut.string[k]]
        lengths = [part for part in string.segments if part.kind != LEADER]
        if at_m < lengths[0].top_m:
            continue
        place = sum(part.bottom_m <= at_m for part in lengths)
        part = one.segments[min(place, len(lengths) - 1)]
        loads[k] = part.load_x_n_m, part.load_y_n_m
        share = (at_m - lengths[0].top_m) / (string.bottom_m - lengths[0].top_m)
        last_n = one.tension_n if one.tension_bottom_n is None else one.tension_bottom_n
        pulls[k] = one.tension_n + share * (last_n - one.tension_n)
    cut, casing = _walls(given, cut)
    ends = cut.twin.rigid_m
    turn = kappa[0] * (ends[1] - ends[0]) if len(ends) == 2 else 0.0
    return cut, Fields(
        np.broadcast_to(kappa, (1, count, 2)),
        loads[None],
        pulls[None],
        casing[None],
        np.zeros((1, len(ends))),
        np.array([turn]),
    )


def _walls(given: BeamInputs, cut: Mesh) -> tuple[Mesh, Any]:
    """Radius of the wall at each part, infinite where there is none; a floor is a wide circle."""
    import numpy as np

    walls = cut.walls
    asked = np.array([one.name == _ASKED for one in cut.contacts[:walls]], dtype=bool)
    if given.floor_m is None:
        return cut, np.where(asked, np.inf, _bare(given, cut, asked))
    offset = cut.offset_m.copy()
    casing = np.where(asked, np.inf, FLAT_M + given.floor_m - offset[:walls, 0])
    offset[:walls] = FLAT_M, 0.0
    return replace(cut, offset_m=offset), casing


def _bare(given: BeamInputs, cut: Mesh, asked: Any) -> Any:
    """Radius of the bore at each part; refused where bores are given, but none there."""
    import numpy as np

    above, below = cut.reach_m()
    above, below = above + given.zero_md_m, below + given.zero_md_m
    found = np.full(len(above), math.inf)
    for top_m, bottom_m, bore_m in _bores(given):
        here = (above <= bottom_m) & (below >= top_m)
        found = np.where(here, np.minimum(found, bore_m / 2), found)
    bare = np.nonzero(np.isinf(found) & ~asked)[0]
    if given.bores and len(bare):
        one = cut.contacts[bare[0]]
        reason = f"there is no bore at {one.name}, {cut.node_m[one.node] + given.zero_md_m:g} m"
        require(False, "bores", f"{reason}; give the hole down to there")
    return found


def _bores(given: BeamInputs) -> list[tuple[float, float, float]]:
    if given.bore_m is not None:
        return [(-math.inf, math.inf, given.bore_m)]
    for number, one in enumerate(given.bores, 1):
        deeper = one.bottom_md_m > one.top_md_m
        require(deeper, f"bores.{number}.bottom_md_m", "must be deeper than top_md_m")
    return [(one.top_md_m, one.bottom_md_m, one.bore_m) for one in given.bores]


def _check_reach(given: BeamInputs, cut: Mesh, stations: list[Station]) -> None:
    """Refuse strings that are not within the survey from end to end."""
    parts = [one for string in cut.twin.strings for one in string.segments if one.kind != LEADER]
    top_m = min(one.top_m for one in parts) + given.zero_md_m
    foot_m = max(one.bottom_m for one in parts) + given.zero_md_m
    inside = stations[0].md_m <= top_m + _SAME_M and foot_m <= stations[-1].md_m + _SAME_M
    goes = f"it goes from {stations[0].md_m:g} to {stations[-1].md_m:g} m"
    reason = f"the string lies from {top_m:g} to {foot_m:g} m of the hole; {goes}"
    require(inside, "stations", f"{reason}: add stations, or move the string by zero_md_m")


def _in_hole(given: BeamInputs, cut: Mesh) -> Rested:
    import numpy as np

    from abreast.mechanics.twin_beam_hole import Bore, Hole

    stations = [one.station() for one in given.stations]
    positions(stations)  # refuses what is no survey
    _check_reach(given, cut, stations)
    # A leader may begin above the survey; there the hole goes on straight.
    first = replace(stations[0], md_m=stations[0].md_m - 2 * _LEADER_M)
    path = path_frame(positions([first, *stations]))
    asked = np.array([one.name == _ASKED for one in cut.contacts[: cut.walls]], dtype=bool)
    _bare(given, cut, asked)
    # Where no bore is given nothing touches: a wall out of reach.
    everywhere = (-math.inf, math.inf, _OPEN_M)
    bores = [Bore("bore", *one) for one in (*_bores(given), everywhere)]
    hole = Hole(path, tuple(bores), given.fluid_md_m, given.friction_ratio)
    return rest_in(cut, hole, given.zero_md_m, given.roll_rad, _WAYS[given.way])
