"""The two invented jobs: envelopes, clearances and windows as reckoned by hand.

Where the strings' axes are a apart and both lie on one line, the circle round
an ESP piece and a bypass piece has the diameter (D1 + D2)/2 + a.
"""

from __future__ import annotations

import math

import pytest
from tests.checks.twins import (
    FT,
    IN,
    ZERO_1,
    choice_1,
    choice_2,
    job_1,
    job_2,
    with_row,
    with_section,
)

from abreast.mechanics.cable import CABLE_ID
from abreast.mechanics.fit import fit
from abreast.model import Job
from abreast.spaceout.assemble import assemble

MM = 0.001


def fit_1(job: Job | None = None, **changes):
    job = job or job_1()
    return fit(job, assemble(job, choice_1(**changes)))


def fit_2(job: Job | None = None):
    job = job or job_2()
    return fit(job, assemble(job, choice_2()))


def decided_by(found, piece):
    """The largest circle that a piece decides."""
    return max((s for s in found.sections if piece in s.deciders), key=lambda s: s.diameter_m)


def clearance(found, name):
    return next(c for c in found.clearances if c.passage.name == name)


def degrees(windows):
    return [(math.degrees(low), math.degrees(high)) for low, high in windows]


@pytest.mark.parametrize(
    ("piece", "diameter_in", "clearance_in"),
    [
        ("motor", 8.388, 0.137),  # no connection lies beside it in this closure
        ("protector", 8.325, 0.200),
        ("pump-1", 8.325, 0.200),
        ("pump-2", 8.325, 0.200),
        ("pump-3", 8.325, 0.200),
        ("C1", 8.42, 0.105),
        ("C5", 8.42, 0.105),
        ("Y-tool", 8.45, 0.075),
        ("base support", 8.44, 0.085),
        ("pup", (4.50 + 3.55) / 2 + 4.25, 8.525 - 8.275),  # the union beside it
        ("tail guide", 4.50, 4.025),
    ],
)
def test_envelopes_of_job_1(piece, diameter_in, clearance_in):
    section = decided_by(fit_1(), piece)
    assert section.diameter_m / IN == pytest.approx(diameter_in, abs=6e-4)
    assert section.clearance_m / IN == pytest.approx(clearance_in, abs=6e-4)


@pytest.mark.parametrize(
    ("piece", "diameter_mm", "clearance_mm"),
    [
        ("motor", 152.5, 1.4),
        ("pump-1", 150.0, 3.9),
        ("pump-2", 150.0, 3.9),
        ("C2", 151.0, 2.9),
        ("Y-tool", 151.5, 2.4),
        ("base", (90 + 60.33) / 2 + 76.65, 153.9 - 151.815),  # the fins of the motor base
        ("entry guide", 66.0, 87.9),
    ],
)
def test_envelopes_of_job_2(piece, diameter_mm, clearance_mm):
    section = decided_by(fit_2(), piece)
    assert section.diameter_m / MM == pytest.approx(diameter_mm, abs=0.051)
    assert section.clearance_m / MM == pytest.approx(clearance_mm, abs=0.051)


def test_tightest_places_on_the_way():
    """By hand: Y-tool 8.45 in 8.525 and 8.681; motor 152.5 mm in 153.9 and 155.6."""
    casing = clearance(fit_1(), "9-5/8 in 47 lb/ft L80")
    assert casing.section.deciding == ("Y-tool",)
    assert casing.to_drift_m / IN == pytest.approx(0.075)
    assert casing.to_bore_m / IN == pytest.approx(0.231)
    assert clearance(fit_1(), "stage collar").to_bore_m / IN == pytest.approx(0.15)
    assert clearance(fit_1(), "false rotary").to_drift_m / IN == pytest.approx(0.30)
    tie_back = clearance(fit_2(), "tie-back polished bore")
    assert tie_back.section.deciding == ("motor", "K01")
    assert tie_back.to_bore_m / MM == pytest.approx(155.6 - 152.515)
    names = [c.passage.name for c in fit_2().clearances]
    assert "wellhead seal bore protector" not in names  # pulled before the run


def test_the_fit_follows_from_the_pieces():
    """P01 for B05: its upper connection comes beside the motor, (5.40 + 3.02)/2 + 4.25 = 8.46."""
    swapped = fit_1(items=("P01", "B05", "P07", "P04", "P08", "P10"), lifts=None)
    section = decided_by(swapped, "motor")
    assert section.diameter_m / IN == pytest.approx(8.460)
    assert section.clearance_m / IN == pytest.approx(0.065)
    assert section.deciding == ("motor", "P01 connection")
    assert section.bottom_m + ZERO_1 == pytest.approx((3.10 + 19.82 - 0.35) * FT, abs=0.03)


def test_motor_of_95_25_mm_is_over_the_drift_and_under_the_bore():
    """As far from the bypass as the smaller motor: 47.625 + 30.165 + 0.785 = 78.575 mm apart."""
    job = with_row(job_2(), "esp", "motor", body_od_m=95.25 * MM, max_od_m=95.25 * MM)
    job = with_section(job, "setting", axis_spacing_m=78.575 * MM)
    liner = clearance(fit_2(job), "7 in 29 lb/ft L80 tie-back and liner")
    assert liner.envelope_m / MM == pytest.approx(156.4, abs=0.05)
    assert liner.to_drift_m / MM == pytest.approx(-2.5, abs=0.05)
    assert liner.to_bore_m / MM == pytest.approx(0.7, abs=0.05)
    tie_back = clearance(fit_2(job), "tie-back polished bore")
    assert tie_back.to_bore_m / MM == pytest.approx(155.6 - 156.365, abs=0.01)


def test_spread_moves_connections_and_nothing_else():
    """Three times the likely closure error: 0.994 in past its place at either end."""
    found = fit_1()
    assert found.spread_m / IN == pytest.approx(3 * math.hypot(0.06 * 3, 0.05 * 6**0.5, 0.25))
    beside = [s for s in found.of("P01") if any(x.name == "P01 connection" for x in s.shapes)]
    top_m = (45.61 + 19.82) * FT - ZERO_1
    assert beside[-1].top_m == pytest.approx(top_m + found.spread_m, abs=2e-3)
    assert found.of("pump-1")[0].bottom_m + ZERO_1 == pytest.approx(43.97 * FT)


# --- windows of the cable ------------------------------------------------------------------


def bare(job: Job) -> Job:
    """Sharp corners and no twin clamps, as the windows were first reckoned."""
    return with_section(job, "mle", corner_radius_m=0.0).model_copy(update={"clamps": ()})


@pytest.mark.parametrize(
    ("make_fit", "piece", "beside", "low", "high"),
    [
        (lambda: fit_1(bare(job_1())), "pump-1", "connection", 30, 126),
        (lambda: fit_1(bare(job_1())), "motor", "", 29, 123),
        (lambda: fit_2(bare(job_2())), "pump-1", "", 37, 118),
        (lambda: fit_2(bare(job_2())), "motor", "", 37, 109),
    ],
)
def test_windows_of_sharp_corners(make_fit, piece, beside, low, high):
    """Whole degrees by hand, 2 % of its radius off the bypass: that costs up to 2 degrees below."""
    sections = [s for s in make_fit().of(piece) if s.windows]
    section = next(s for s in sections if s.cut.side("bypass")[0].part == beside)
    [(first, last)] = degrees(section.windows)
    assert math.floor(last) == high
    assert low - 2 < first < low


def test_round_corners_and_clamps_in_the_windows_of_the_jobs():
    """Round corners widen them; the clamp, which leaves less room to shift aside, narrows them."""
    sharp, real = fit_1(bare(job_1())), fit_1()
    [(low, high)], [(sharp_low, sharp_high)] = real.at_pothead, sharp.at_pothead
    assert low < sharp_low
    assert high > sharp_high
    at_clamp = next(s for s in real.of("C3") if s.windows)
    assert at_clamp.windows[0][1] < high
    [(low_all, high_all)] = real.whole_run
    assert low_all == max(s.windows[0][0] for s in real.sections if s.windows)
    assert high_all == min(s.windows[0][1] for s in real.sections if s.windows)


def test_edges_of_the_clamp_window_by_hand():
    """C3 in line with pump and P01: no room but 0.105 in; the far corner meets the casing wall.

    Clamp radius 4.21 at x = (4.25 + 1.51 - 2.565)/2, the casing may shift by
    0.0525 in; the outer corner arc, radius 0.2, has its centre at (2.965, 0.45)
    off the ESP, 3.165 - 0.2 and 0.65 - 0.2.
    """
    found = fit_1()
    section = next(s for s in found.of("C3") if s.windows)
    clamp = next(x for x in section.shapes if x.piece == "C3").discs[0]
    assert clamp.x_m / IN == pytest.approx((4.25 + 1.4375 - 2.565) / 2)
    angle = math.degrees(section.windows[0][1])
    reach, off = math.hypot(2.965, 0.45), math.degrees(math.atan2(0.45, 2.965))
    theta = math.radians(angle + off)
    corner = math.hypot(reach * math.cos(theta) - clamp.x_m / IN, reach * math.sin(theta)) + 0.2
    assert corner + clamp.radius_m / IN == pytest.approx(8.525, abs=1e-4)


def test_the_cable_stands_in_its_sections_at_the_angle_of_the_pothead():
    found = fit_1()
    assert found.cable.angle_rad == pytest.approx(math.radians(85))
    assert found.cable.bottom_m + ZERO_1 == pytest.approx(30.35 * FT, abs=1e-6)
    assert found.cable.top_m + ZERO_1 == pytest.approx(109.20 * FT)
    section = found.at((60.0 * FT) - ZERO_1)
    cable = next(shape for shape in section.shapes if shape.piece == CABLE_ID)
    x, y = (sum(d[i] for d in cable.discs) / 4 for i in (0, 1))
    assert math.degrees(math.atan2(y, x)) == pytest.approx(85)
    assert math.hypot(x, y) / IN == pytest.approx(2.565 + 0.30)
    below = found.at(20.0 * FT - ZERO_1)
    assert not below.has(CABLE_ID)
    assert below.windows is None


def test_past_a_step_the_cable_stays_on_the_wider_piece():
    found = fit_1()
    step_m = 31.25 * FT - ZERO_1  # motor 5.40 to protector 5.13
    assert found.cable.at(step_m + 0.9 * found.spread_m).seat_m / IN == pytest.approx(2.70)
    assert found.cable.at(step_m + 1.1 * found.spread_m).seat_m / IN == pytest.approx(2.565)
    wider = with_row(job_1(), "esp", "intake", max_od_m=5.30 * IN)
    course, up_m = fit_1(wider).cable, 42.61 * FT - ZERO_1
    assert course.at(up_m - 0.9 * found.spread_m).seat_m / IN == pytest.approx(2.65)
    assert course.at(up_m - 1.1 * found.spread_m).seat_m / IN == pytest.approx(2.565)
