"""The drawings of a work pack, each as SVG, PDF and DXF."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import partial

from abreast.documents.workpack_glyphs import FONTS
from abreast.drawing import DRAWINGS, WELL_DRAWINGS, Paper, Scene, dxf, pdf, svg
from abreast.errors import InputError, MissingInputError
from abreast.mechanics.down_hole import DownHole, Missing
from abreast.model import Assembly, Job

__all__ = ["drawing_about", "drawing_files"]

_WORDS = {
    "svg": "",
    "pdf": ", to print",
    "dxf": ", for a CAD program, mm of paper",
}
Made = tuple[str, bytes | str]


def drawing_files(
    job: Job, assembly: Assembly, paper: Paper = "A4", well: DownHole | None = None
) -> Iterator[Made]:
    """Name and content of each file; words in place of bytes tell why it is left out.

    A drawing of several sheets is one PDF and one DXF file, and one SVG file a
    sheet, numbered from the second on.
    """
    for name in (*DRAWINGS, *(WELL_DRAWINGS if well is not None else ())):
        try:
            scenes = _scenes(name, job, assembly, paper, well)
        except (InputError, MissingInputError) as fault:
            yield f"{name}.svg", _why(fault)
            continue
        for number, scene in enumerate(scenes, 1):
            yield f"{name}{'' if number == 1 else f'_{number}'}.svg", svg(scene).encode()
        yield f"{name}.pdf", _made(partial(pdf, scenes, FONTS))
        yield f"{name}.dxf", _made(partial(dxf, scenes))


def _scenes(
    name: str, job: Job, assembly: Assembly, paper: Paper, well: DownHole | None
) -> tuple[Scene, ...]:
    if name in DRAWINGS:
        return DRAWINGS[name].make(job, assembly, paper=paper)
    assert well is not None, "drawn only where there is a well"
    drawing = WELL_DRAWINGS[name]
    part = drawing.part(well)
    if isinstance(part, Missing):
        raise MissingInputError(needs=part.needs)
    return drawing.make(job, assembly, part, paper=paper)


def _made(make: Callable[[], bytes]) -> bytes | str:
    try:
        return make()
    except (InputError, MissingInputError) as fault:
        return _why(fault)


def _why(fault: InputError | MissingInputError) -> str:
    return f"needs {fault.needs}" if isinstance(fault, MissingInputError) else fault.message


def drawing_about(names: Iterable[str]) -> dict[str, str]:
    """What each drawing among the files of a pack is, by its name."""
    about = {name: one.about for name, one in DRAWINGS.items()}
    about |= {name: one.about for name, one in WELL_DRAWINGS.items()}
    found = {}
    for name in names:
        parts = re.fullmatch(r"([a-z_]+?)(?:_([0-9]+))?\.(svg|pdf|dxf)", name)
        if parts and parts[1] in about:
            sheet = f", sheet {parts[2]}" if parts[2] else ""
            found[name] = f"{about[parts[1]]}{sheet}{_WORDS[parts[3]]}"
    return found
