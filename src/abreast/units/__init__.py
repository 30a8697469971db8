"""Units at the edge: read what people write, print in what people read.

Inside the program every quantity is a plain float in SI whose name carries
its unit (``overall_m``, ``torque_nm``). Only this package turns text into such
a number and such a number into text.
"""

from abreast.units.lookup import is_known, unit_named, unit_of_any, units_of
from abreast.units.naming import bare_name, dimension_of_field, parse_unit_header
from abreast.units.printing import display_unit, feet_inches, figure, in_both, show, to_si, to_unit
from abreast.units.reading import LONGEST_TEXT, Parsed, parse
from abreast.units.suspicion import fitting_unit, may_be_feet_dot_inches
from abreast.units.table import UNITS, Dimension, System, Unit

__all__ = [
    "LONGEST_TEXT",
    "UNITS",
    "Dimension",
    "Parsed",
    "System",
    "Unit",
    "bare_name",
    "dimension_of_field",
    "display_unit",
    "feet_inches",
    "figure",
    "fitting_unit",
    "in_both",
    "is_known",
    "may_be_feet_dot_inches",
    "parse",
    "parse_unit_header",
    "show",
    "to_si",
    "to_unit",
    "unit_named",
    "unit_of_any",
    "units_of",
]
