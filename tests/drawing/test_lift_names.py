"""Names of lifts on the drawings: short ones in full, long ones by a number that the notes tell."""

from __future__ import annotations

from tests.drawing.strings import CHOICE_1
from tests.model.jobs import job_1

from abreast.drawing import DRAWINGS, svg
from abreast.drawing.order import lift_names
from abreast.model import Assembly, Job
from abreast.spaceout.assemble import assemble


def lifted(*lifts: tuple[str, ...]) -> tuple[Job, Assembly]:
    job = job_1(lifts=[])
    choice = CHOICE_1.model_copy(update={"lifts": lifts})
    return job, assemble(job, choice)


def test_a_lift_of_three_is_numbered_and_told_in_the_notes() -> None:
    job, assembly = lifted(("B05",), ("P07",), ("P01",), ("P04", "P08", "P10"))
    assert lift_names(assembly) == {"P04+P08+P10": "1"}
    for mode in ("spaceout_true", "spaceout_stretched"):
        drawn = "".join(svg(one) for one in DRAWINGS[mode].make(job, assembly))
        assert drawn.count(">lift 1<") == 3
        assert "Lift 1: P04+P08+P10." in drawn.replace("</text>", "").replace("\n", " ")


def test_a_lift_of_two_keeps_its_pieces() -> None:
    _, assembly = lifted(("B05",), ("P07",), ("P01",), ("P04",), ("P08", "P10"))
    assert lift_names(assembly) == {"P08+P10": "P08+P10"}


def test_no_two_lifts_are_called_alike() -> None:
    _, assembly = lifted(("B05", "P07", "P01"), ("P04", "P08", "P10"))
    names = lift_names(assembly)
    assert len(set(names.values())) == len(names) == 2
