"""The drawings of a work pack, each as SVG, PDF and DXF."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from functools import partial

from abreast.documents.workpack_glyphs import FONTS
from abreast.drawing import DRAWINGS, Paper, dxf, pdf, svg
from abreast.errors import InputError, MissingInputError
from abreast.model import Assembly, Job

__all__ = ["drawing_about", "drawing_files"]

_WORDS = {
    "svg": "",
    "pdf": ", to print",
    "dxf": ", for a CAD program, mm of paper",
}
Made = tuple[str, bytes | str]


def drawing_files(job: Job, assembly: Assembly, paper: Paper = "A4") -> Iterator[Made]:
    """Name and content of each file; words in place of bytes tell why it is left out.

    A drawing of several sheets is one PDF and one DXF file, and one SVG file a
    sheet, numbered from the second on.
    """
    for name, drawing in DRAWINGS.items():
        try:
            scenes = drawing.make(job, assembly, paper=paper)
        except (InputError, MissingInputError) as fault:
            yield f"{name}.svg", _why(fault)
            continue
        for number, scene in enumerate(scenes, 1):
            yield f"{name}{'' if number == 1 else f'_{number}'}.svg", svg(scene).encode()
        yield f"{name}.pdf", _made(partial(pdf, scenes, FONTS))
        yield f"{name}.dxf", _made(partial(dxf, scenes))


def _made(make: Callable[[], bytes]) -> bytes | str:
    try:
        return make()
    except (InputError, MissingInputError) as fault:
        return _why(fault)


def _why(fault: InputError | MissingInputError) -> str:
    return f"needs {fault.needs}" if isinstance(fault, MissingInputError) else fault.message


def drawing_about(names: Iterable[str]) -> dict[str, str]:
    """What each drawing among the files of a pack is, by its name."""
    found = {}
    for name in names:
        parts = re.fullmatch(r"([a-z_]+?)(?:_([0-9]+))?\.(svg|pdf|dxf)", name)
        if parts and parts[1] in DRAWINGS:
            sheet = f", sheet {parts[2]}" if parts[2] else ""
            found[name] = f"{DRAWINGS[parts[1]].about}{sheet}{_WORDS[parts[3]]}"
    return found
