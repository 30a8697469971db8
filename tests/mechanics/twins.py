"""Invented twin strings and holes for tests of the contact model; no real well or part."""

from __future__ import annotations

import math
import random

from abreast.formulas.path_frame import path_frame
from abreast.formulas.survey import Station, positions
from abreast.mechanics.twin_beam import BeamSegment, BeamString, Disc, Held, Link, TwinBeam
from abreast.mechanics.twin_beam_hole import Bore, Hole

SPACING_M, ESP_X_M = 0.112, -0.045
ESP_M, CONNECTION_M = 0.065, 0.0385
CASING_M = 0.220


def twin(
    sections: int = 10,
    joints: int = 8,
    *,
    union: str = "free",
    cable: bool = True,
    mirror: bool = False,
    ei: tuple[float, float, float] = (1.0e6, 1.39e5, 3.3e5),
    play_m: float = 0.0,
) -> TwinBeam:
    """ESP of sections 6 m long with necks, bypass of joints, 20 m above, 12 m of tail."""
    length, bypass_x = 6.0 * sections, ESP_X_M + SPACING_M
    body, pipe, neck = ei
    segments = [BeamSegment("tubing", -20, 0, 7.8e5, 180, 0.87, 5e8, kind="tubing")]
    discs = [Disc(at, 0, 0, 0.0635, "tubing", "coupling") for at in (-14.0, -5.0)]
    discs += [Disc(0.0, 0, 0, 0.107, "Y-tool", "block")]
    discs += [Disc(length, 0, 0, 0.107, "base", "block")]
    for number in range(sections):
        top = 6.0 * number
        name = f"section {number + 1}"
        segments += [
            BeamSegment(
                f"{name} neck", top, top + 0.25, neck, 400, 0.87, 6e8, ESP_X_M, None, "neck"
            ),
            BeamSegment(name, top + 0.25, top + 6, body, 450, 0.87, 6e8, ESP_X_M),
        ]
        discs.append(Disc(top + 0.25, ESP_X_M, 0, ESP_M, name, length_m=5.75))
        if cable and number >= sections // 2:
            discs += _cable(top + 0.25, mirror)
    segments.append(BeamSegment("tail", length, length + 12, pipe, 95, 0.87, 2.4e8, bypass_x))
    ends = (length + 6, length + 12)
    discs += [Disc(at, bypass_x, 0, CONNECTION_M, "tail", "coupling") for at in ends]
    bypass, touching = [], []
    for number in range(joints):
        top, bottom = length * number / joints, length * (number + 1) / joints
        bypass.append(
            BeamSegment(f"joint {number + 1}", top, bottom, pipe, 95, 0.87, 2.4e8, bypass_x)
        )
        touching.append(
            Disc(top, bypass_x, 0, 0.0365, f"joint {number + 1}", length_m=bottom - top)
        )
        if number:
            touching.append(Disc(top, bypass_x, 0, CONNECTION_M, "connection", "coupling"))
    clamps = [6.0 * number + 0.125 for number in range(1, sections)]
    links = [Link(0.0, "rigid", name="Y-tool"), Link(length, "rigid", name="base")]
    links += [Link(at, "clamp", play_m, f"C{k + 1}") for k, at in enumerate(clamps)]
    discs += [Disc(at, 0, 0, 0.106, f"C{k + 1}", "clamp") for k, at in enumerate(clamps)]
    strings = (
        BeamString("ESP", tuple(segments), tuple(discs)),
        BeamString("bypass", tuple(bypass), tuple(touching)),
    )
    return TwinBeam(strings, tuple(links), (Held(0, -20.0),), union)  # type: ignore[arg-type]


def _cable(at_m: float, mirror: bool) -> list[Disc]:
    angle, off, half = math.radians(85), ESP_M + 0.008, 0.012
    c, s = math.cos(angle), math.sin(angle)
    turn = -1 if mirror else 1
    return [
        Disc(
            at_m,
            ESP_X_M + off * c - along * s,
            turn * (off * s + along * c),
            0.005,
            "MLE",
            "cable",
            5.75,
        )
        for along in (-half, half)
    ]


def hole(
    doglegs: tuple[float, float] = (2.5, 3.0),
    *,
    turn: float = 0.0,
    side: int = 1,
    friction: float | None = 0.25,
    casing_m: float = CASING_M,
) -> Hole:
    """An invented hole: build, a straight part with one kink, and a slow drop [deg/30 m]."""
    r = math.radians
    build, kink = doglegs
    angle = 5 + build * 10
    rows: list[tuple[float, float, float]] = [
        (0, 0, 0),
        (200, 5, 20),
        (500, angle, 40),
        (900, angle, 40),
    ]
    rows += [(930, angle + kink * 0.7, 40 + kink), (1300, angle, 45), (1700, angle - 8, 60)]
    stations = [Station(md, r(inc), side * r(azi) + turn) for md, inc, azi in rows]
    bore = Bore("casing", 0.0, 1700.0, casing_m)
    return Hole(path_frame(positions(stations)), (bore,), 150.0, friction)


def random_case(seed: int) -> tuple[TwinBeam, Hole, float, float]:
    """A twin, a hole, a depth and a roll."""
    pick = random.Random(seed)
    sections = pick.randint(2, 6)
    ei = (pick.uniform(1.8e5, 1.4e6), pick.uniform(6e4, 1.6e5), pick.uniform(8e4, 5e5))
    one = twin(
        sections,
        pick.randint(2, 5),
        union=pick.choice(("free", "locked")),
        ei=ei,
        play_m=pick.choice((0.0, 0.001)),
    )
    way = hole((pick.uniform(0, 4), pick.uniform(0, 6)), casing_m=pick.uniform(0.2175, 0.224))
    return one, way, pick.uniform(25, 1600 - 6 * sections), pick.uniform(0, 2 * math.pi)


__all__ = ["hole", "random_case", "twin"]
