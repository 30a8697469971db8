"""Units in field names and in column headings."""

import pytest

from abreast.errors import InputError
from abreast.units import (
    Dimension,
    bare_name,
    dimension_of_field,
    display_unit,
    parse_unit_header,
    units_of,
)

D = Dimension


@pytest.mark.parametrize(
    ("field", "bare", "dimension"),
    [
        ("overall_m", "overall", D.LENGTH),
        ("mass_kg", "mass", D.MASS),
        ("linear_mass_kg_m", "linear_mass", D.MASS_PER_LENGTH),
        ("rating_n", "rating", D.FORCE),
        ("stiffness_n_m", "stiffness", D.STIFFNESS),
        ("torque_nm", "torque", D.TORQUE),
        ("bending_stiffness_nm2", "bending_stiffness", D.BENDING_STIFFNESS),
        ("pressure_pa", "pressure", D.PRESSURE),
        ("brine_kg_m3", "brine", D.DENSITY),
        ("bottom_hole_k", "bottom_hole", D.TEMPERATURE),
        ("rise_dk", "rise", D.TEMPERATURE_DIFFERENCE),
        ("alpha_per_k", "alpha", D.EXPANSION),
        ("azimuth_rad", "azimuth", D.ANGLE),
        ("dogleg_rad_m", "dogleg", D.DOGLEG),
        ("running_m_s", "running", D.SPEED),
        ("rate_m3_s", "rate", D.FLOW),
        ("wall_m2", "wall", D.AREA),
        ("inertia_m4", "inertia", D.SECOND_MOMENT),
        ("supply_v", "supply", D.VOLTAGE),
        ("motor_a", "motor", D.CURRENT),
        ("cable_ohm_m", "cable", D.RESISTANCE_PER_LENGTH),
        ("motor_w", "motor", D.POWER),
        ("start_s", "start", D.TIME),
        ("thread", "thread", None),
        ("m", "m", None),
        ("_m", "_m", None),
    ],
)
def test_a_field_name_carries_its_unit(field, bare, dimension):
    assert dimension_of_field(field) is dimension
    assert bare_name(field) == bare


@pytest.mark.parametrize("dimension", list(D))
def test_every_kind_has_units_and_a_way_to_print(dimension):
    symbols = {unit.symbol for unit in units_of(dimension)}
    assert {display_unit(dimension, "oilfield"), display_unit(dimension, "SI")} <= symbols


@pytest.mark.parametrize(
    ("heading", "expected"),
    [
        ("overall [ft]", ("overall", "ft")),
        ("  overall[ ft ] ", ("overall", "ft")),
        ("dogleg [deg/100 ft]", ("dogleg", "deg/100 ft")),
        ("thread", ("thread", None)),
    ],
)
def test_heading_is_split(heading, expected):
    assert parse_unit_header(heading) == expected


@pytest.mark.parametrize(
    "heading", ["overall [furlong]", "overall []", "overall [ft", "[ft]", "", "overall [ft] x"]
)
def test_a_heading_that_cannot_be_read_is_shown(heading):
    with pytest.raises(InputError, match="heading") as caught:
        parse_unit_header(heading)
    assert repr(heading) in caught.value.message
