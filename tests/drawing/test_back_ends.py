"""PDF and DXF of the same sheets, read back by general readers or by the file's own structure."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from collections import Counter

import ezdxf
import pytest
from ezdxf.document import Drawing
from tests.drawing.strings import planned_1, planned_2

from abreast.documents.workpack_glyphs import FONTS
from abreast.drawing import (
    LAYERS,
    Circle,
    Line,
    Outline,
    Rect,
    Scene,
    Text,
    dxf,
    pdf,
    spaceout_stretched,
    spaceout_true,
)
from abreast.errors import MissingInputError

SHEETS = {
    "stretched 1": lambda: spaceout_stretched(*planned_1()),
    "true 2": lambda: spaceout_true(*planned_2()),
    "A3": lambda: spaceout_true(*planned_1(), paper="A3"),
}


def read(data: bytes) -> Drawing:
    return ezdxf.read(io.StringIO(data.decode("utf-8")))  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", SHEETS)
def test_dxf_reads_back_clean_and_complete(name: str) -> None:
    """Every word and circle is there, and of every line and outline what can be seen, in mm."""
    scenes = SHEETS[name]()
    document = read(dxf(scenes))
    found = document.audit()
    assert not found.errors
    assert not found.fixes
    assert document.dxfversion == "AC1024"  # R2010 (DXF reference, $ACADVER)
    assert document.units == 4  # millimetres (DXF reference, $INSUNITS)
    assert set(LAYERS) <= {layer.dxf.name for layer in document.layers}
    have = Counter((e.dxftype(), e.dxf.layer) for e in document.modelspace())
    items = [item for scene in scenes for item in scene.items]
    for kind, dxftype in ((Text, "TEXT"), (Circle, "CIRCLE")):
        for layer in LAYERS:
            want = sum(isinstance(i, kind) and i.layer == layer for i in items)
            assert have[dxftype, layer] == want, (dxftype, layer)
    for layer in LAYERS:
        drawn = [i for i in items if i.layer == layer and is_drawn(i)]
        assert have["LINE", layer] + have["LWPOLYLINE", layer] >= len(drawn) * 0.6, layer
    for layer in ("frame", "leader", "clamp"):  # nothing is laid over these
        lines = sum(isinstance(i, Line) and i.layer == layer for i in items)
        shapes = sum(isinstance(i, Rect) and i.layer == layer and is_drawn(i) for i in items)
        whole = lines + shapes
        assert have["LINE", layer] + have["LWPOLYLINE", layer] >= whole, layer


def is_drawn(item: object) -> bool:
    """Whether a line, rectangle or outline has anything to see."""
    if isinstance(item, Rect | Outline):
        return bool(item.line_mm) or item.fill == "black"
    return isinstance(item, Line)


def test_dxf_hides_what_a_clamp_covers() -> None:
    """The edges of the motor end above and below each twin clamp, and nowhere inside it."""
    (scene,) = spaceout_true(*planned_1())
    space = read(dxf([scene])).modelspace()
    clamp = next(i for i in scene.items if isinstance(i, Rect) and i.part == "C1")
    high = scene.height_mm
    inside = (high - clamp.box_mm[3] + 0.05, high - clamp.box_mm[1] - 0.05)
    upright = [
        e
        for e in space.query("LINE")
        if e.dxf.layer in ("esp", "bypass") and abs(e.dxf.start.x - e.dxf.end.x) < 1e-6
    ]
    assert len(upright) > 10
    for entity in upright:
        low, top = sorted((entity.dxf.start.y, entity.dxf.end.y))
        within = clamp.box_mm[0] < entity.dxf.start.x < clamp.box_mm[2]
        assert not within or top <= inside[0] or low >= inside[1]


def test_dxf_boxes_and_words_stand_where_the_scene_puts_them() -> None:
    """y is turned over; text height is that of the capitals, 0.72 of the type size."""
    (scene,) = spaceout_stretched(*planned_1())
    space = read(dxf([scene])).modelspace()
    gauge = next(i for i in scene.items if isinstance(i, Rect) and i.part == "gauge")
    left, top, right, bottom = gauge.box_mm
    boxes = [
        {(round(x, 3), round(y, 3)) for x, y, *_ in e.get_points()}
        for e in space.query("LWPOLYLINE")
    ]
    high = scene.height_mm
    corners = {(x, high - y) for x in (left, right) for y in (top, bottom)}
    assert {(round(x, 3), round(y, 3)) for x, y in corners} in boxes
    words = next(one for one in scene.texts() if one.text == "P01")
    entity = next(e for e in space.query("TEXT") if e.dxf.text == "P01")
    assert entity.dxf.insert.x == pytest.approx(words.x_mm, abs=1e-3)
    assert entity.dxf.insert.y == pytest.approx(high - words.y_mm, abs=1e-3)
    assert entity.dxf.height == pytest.approx(0.72 * words.size_mm, abs=1e-3)


def test_dxf_sheets_stand_side_by_side() -> None:
    sheets: list[Scene] = [*spaceout_true(*planned_1()), *spaceout_stretched(*planned_1())]
    space = read(dxf(sheets)).modelspace()
    headings = [e.dxf.insert.x for e in space.query("TEXT") if e.dxf.text.startswith("SPACE-OUT")]
    assert headings[1] - headings[0] == pytest.approx(sheets[0].width_mm + 20)


@pytest.mark.parametrize("name", SHEETS)
def test_the_same_sheets_give_the_same_bytes(name: str) -> None:
    assert dxf(SHEETS[name]()) == dxf(SHEETS[name]())
    assert pdf(SHEETS[name](), FONTS) == pdf(SHEETS[name](), FONTS)


_ANEW = """
import sys
from abreast.drawing import Scene, Text, dxf
sys.stdout.buffer.write(dxf([Scene(210.0, 297.0, "sheet", (Text(10, 20, "P01", 3.0, "frame"),))]))
"""


def test_dxf_has_the_same_bytes_in_every_process() -> None:
    """Sets come in another order in each process; none of it may get into the file."""
    made = {
        subprocess.run(
            [sys.executable, "-c", _ANEW],
            env=os.environ | {"PYTHONHASHSEED": str(seed)},
            capture_output=True,
            check=True,
        ).stdout
        for seed in (1, 4, 7)  # the writer alone gives these other bytes
    }
    assert len(made) == 1
    assert read(made.pop()).modelspace()


def test_pdf_has_a_page_of_the_right_size_for_each_sheet() -> None:
    """A4 is 595.28 by 841.89 points of 1/72 in, A3 841.89 by 1190.55 (ISO 216, 25.4 mm/in)."""
    sheets = [*spaceout_true(*planned_1()), *spaceout_true(*planned_1(), paper="A3")]
    data = pdf(sheets, FONTS)
    assert data.startswith(b"%PDF-")
    boxes = re.findall(rb"/MediaBox ?\[0 0 ([0-9.]+) ([0-9.]+)\]", data)
    sizes = [(float(wide), float(high)) for wide, high in boxes]
    expected = [(595.28, 841.89), (841.89, 1190.55)]
    assert [pytest.approx(one, abs=0.01) for one in expected] == sizes


def test_pdf_is_set_in_the_typeface_that_is_shipped() -> None:
    data = pdf(spaceout_true(*planned_1()), FONTS)
    faces = set(re.findall(rb"/BaseFont/[A-Z]{6}\+([A-Za-z-]+)", data))
    assert faces == {b"LiberationSans", b"LiberationSans-Bold"}


@pytest.mark.parametrize(("package", "make"), [("ezdxf", dxf), ("typst", lambda s: pdf(s, FONTS))])
def test_a_missing_package_is_told(
    package: str, make: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheets = spaceout_true(*planned_1())
    for name in [one for one in sys.modules if one == package or one.startswith(f"{package}.")]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, package, None)
    with pytest.raises(MissingInputError, match=f"needs the package {package}"):
        make(sheets)  # type: ignore[operator]
