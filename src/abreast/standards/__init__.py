"""Dimensions and properties from open standards, as data files with a source in every row.

Most rows were typed from memory and checked by the identities that tie their
columns together; the ``source`` column says which. A fit proof that hangs on a
row marked from memory needs the current edition of the standard beside it.
"""

from abreast.standards.connections import (
    EueTorque,
    MakeUp,
    api_make_up,
    eue_torque,
    eue_torque_table,
    make_up_table,
)
from abreast.standards.consistency import Remark, pipe_remarks
from abreast.standards.grades import Grade, grade, grade_table
from abreast.standards.pipes import (
    Casing,
    Tubing,
    casing,
    casing_table,
    nearest_pipe,
    tubing,
    tubing_table,
)

__all__ = [
    "Casing",
    "EueTorque",
    "Grade",
    "MakeUp",
    "Remark",
    "Tubing",
    "api_make_up",
    "casing",
    "casing_table",
    "eue_torque",
    "eue_torque_table",
    "grade",
    "grade_table",
    "make_up_table",
    "nearest_pipe",
    "pipe_remarks",
    "tubing",
    "tubing_table",
]
