"""Passing a dogleg, beside a cone solver: ``python -m benchmarks.bench_passing``.

A 60 m twin with 20 m of tubing above and 12 m of tail, 1 m mesh, two drag passes.
Ours takes all stations; clarabel gets a sample of the same stations and both passes of
each, one after the other in one process: process time, the best of five. Prints
Markdown; status 1 when a shape differs or a station is not found, whatever the times.
"""

from __future__ import annotations

import argparse
import math
import os
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from tests.mechanics.twins import hole, twin

from abreast.mechanics.processes import processes
from abreast.mechanics.twin_beam_axial import pull
from abreast.mechanics.twin_beam_hole import pass_through, station_fields
from abreast.mechanics.twin_beam_mesh import mesh
from abreast.mechanics.twin_beam_solve import solve
from abreast.mechanics.twin_beam_sweep import sweep
from benchmarks.passing.peer import solve_by_cones

_SAME_M = 2e-5


def main(argv: Sequence[str] | None = None) -> int:
    """Run and print; 1 when an answer is wrong."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks.bench_passing", description=__doc__)
    parser.add_argument("--depths", type=int, default=300)
    parser.add_argument("--rolls", type=int, default=8)
    parser.add_argument("--peer", type=int, default=12, help="stations the peer gets")
    given = parser.parse_args(argv)
    depths = [float(at) for at in np.linspace(40, 1600, given.depths)]
    rolls = [2 * math.pi * k / given.rolls for k in range(given.rolls)]
    one, way = twin(), hole()
    cut = mesh(one)
    print(f"# Passing: {cut.size} unknowns, {len(cut.contacts)} contacts, {os.cpu_count()} cores\n")
    start = time.perf_counter()
    with processes(2) as pool:
        found = sweep(one, way, depths, rolls, pool=pool)
    both_s = time.perf_counter() - start
    states = {state: sum(p.state == state for p in found) for state in {p.state for p in found}}
    print(f"- {given.depths} depths, {given.rolls} rolls, two processes: {both_s:.1f} s wall,")
    print(f"  {both_s / given.rolls:.2f} s a roll (goal 1.0); states {states}")
    faults = states.get("not found", 0)
    faults += _peer(cut, way, depths, given.peer)
    _lengths(way, [at for at in depths if at < 1500][:60])  # the longest must end in the survey
    return 1 if faults else 0


def _peer(cut: Any, way: Any, depths: Sequence[float], count: int) -> int:
    sample = depths[:: max(1, len(depths) // count)]
    ours_ms = min(_ours_ms(cut, way, depths[:: max(1, len(depths) // 48)]) for _ in range(5))
    build_s, solve_s, off_m = 0.0, 0.0, 0.0
    for depth_m in sample:
        fields, along = station_fields(cut, way, np.array([depth_m]), 0.0)
        drag = np.zeros((1, cut.walls))
        for _ in range(2):
            axial = pull(cut, along, drag, np.zeros(1))
            now = replace(fields, tension_n=axial.tension_n, couple_nm=axial.couple_nm)
            ours = solve(cut, now)
            theirs = min((solve_by_cones(cut, now) for _ in range(5)), key=lambda one: one.solve_s)
            build_s, solve_s = build_s + theirs.build_s, solve_s + theirs.solve_s
            off_m = max(off_m, float(np.abs(ours.u[0] - theirs.u).max()))
            drag = way.friction_ratio * ours.force_n[:, : cut.walls]
    peer_ms, whole_ms = (1e3 * s / len(sample) for s in (solve_s, solve_s + build_s))
    print(f"- ours {ours_ms:.1f} ms a station; clarabel, {len(sample)} stations: {peer_ms:.1f} ms")
    print(f"  ({peer_ms / ours_ms:.1f} x), with building the model {whole_ms:.1f} ms")
    print(f"  ({whole_ms / ours_ms:.1f} x); shapes differ by {1e6 * off_m:.1f} micrometres at most")
    return int(off_m > _SAME_M)


def _ours_ms(cut: Any, way: Any, depths: Sequence[float]) -> float:
    """Process time of a station [ms], the depths side by side as in a sweep."""
    start = time.process_time()
    pass_through(cut, way, depths, 0.0)
    return 1e3 * (time.process_time() - start) / len(depths)


def _lengths(way: Any, depths: Sequence[float]) -> None:
    print("\n| length of the twin, m | unknowns | ms a station |\n| --- | --- | --- |")
    for sections in (5, 10, 20):
        cut = mesh(twin(sections, sections))
        each_ms = min(_ours_ms(cut, way, depths) for _ in range(2))
        print(f"| {6 * sections} | {cut.size} | {each_ms:.1f} |")


if __name__ == "__main__":
    sys.exit(main())
