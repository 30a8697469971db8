"""A scene as an SVG file: the same scene gives the same bytes."""

from __future__ import annotations

from html import escape

from abreast.drawing.fonts import FAMILY
from abreast.drawing.scene import Circle, Fill, Item, Line, Outline, Rect, Scene, Text, printable

__all__ = ["svg"]

_FILLS: dict[Fill, str] = {
    "none": "none",
    "white": "#fff",
    "light": "#e6e6e6",
    "grey": "#b8b8b8",
    "black": "#000",
}


def svg(scene: Scene) -> str:
    """The scene as SVG text, one item a line, sizes and coordinates in millimetres.

    The class of an item is its layer and ``data-part`` the id of its piece, so
    that the page around it can colour it. Every line of words carries its length,
    so that it keeps its place whatever typeface the viewer has.
    """
    width, height = _number(scene.width_mm), _number(scene.height_mm)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}" font-family="{FAMILY}" fill="#000" stroke="none">'
    )
    paper = f'<rect width="{width}" height="{height}" fill="#fff"/>'
    body = (_item(item) for item in scene.items)
    title = f"<title>{escape(printable(scene.title))}</title>"
    return "\n".join([head, title, paper, *body, "</svg>", ""])


def _item(item: Item) -> str:
    if isinstance(item, Line):
        return _line(item)
    if isinstance(item, Rect):
        return _rect(item)
    if isinstance(item, Circle):
        return _circle(item)
    return _outline(item) if isinstance(item, Outline) else _text(item)


def _line(item: Line) -> str:
    ends = zip(
        ("x1", "y1", "x2", "y2"), (item.x1_mm, item.y1_mm, item.x2_mm, item.y2_mm), strict=True
    )
    where = " ".join(f'{name}="{_number(value)}"' for name, value in ends)
    stroke = "#bbb" if item.layer == "grid" else "#000"
    drawn = f'stroke="{stroke}" stroke-width="{_number(item.width_mm)}"{_dashed(item.dash_mm)}'
    return f'<line class="{item.layer}" {where} {drawn}/>'


def _dashed(dash_mm: tuple[float, ...]) -> str:
    dash = " ".join(_number(value) for value in dash_mm)
    return f' stroke-dasharray="{dash}"' if dash else ""


def _stroke(line_mm: float) -> str:
    return f' stroke="#000" stroke-width="{_number(line_mm)}"' if line_mm else ""


def _circle(item: Circle) -> str:
    return (
        f'<circle class="{item.layer}"{_part(item.part)} cx="{_number(item.x_mm)}"'
        f' cy="{_number(item.y_mm)}" r="{_number(item.radius_mm)}" fill="{_FILLS[item.fill]}"'
        f"{_stroke(item.line_mm)}{_dashed(item.dash_mm)}/>"
    )


def _outline(item: Outline) -> str:
    points = " ".join(f"{_number(x)},{_number(y)}" for x, y in item.points_mm)
    return (
        f'<polygon class="{item.layer}"{_part(item.part)} points="{points}"'
        f' fill="{_FILLS[item.fill]}"{_stroke(item.line_mm)}/>'
    )


def _rect(item: Rect) -> str:
    return (
        f'<rect class="{item.layer}"{_part(item.part)} x="{_number(item.x_mm)}"'
        f' y="{_number(item.y_mm)}" width="{_number(item.width_mm)}"'
        f' height="{_number(item.height_mm)}" fill="{_FILLS[item.fill]}"{_stroke(item.line_mm)}/>'
    )


def _text(item: Text) -> str:
    anchor = f' text-anchor="{item.anchor}"' if item.anchor != "start" else ""
    weight = ' font-weight="bold"' if item.bold else ""
    colour = ' fill="#fff"' if item.white else ""
    return (
        f'<text class="{item.layer}"{_part(item.part)} x="{_number(item.x_mm)}"'
        f' y="{_number(item.y_mm)}" font-size="{_number(item.size_mm)}"'
        f' textLength="{_number(item.width_mm)}" lengthAdjust="spacingAndGlyphs"'
        f"{anchor}{weight}{colour}>{escape(item.text)}</text>"
    )


def _part(part: str) -> str:
    return f' data-part="{escape(printable(part))}"' if part else ""


def _number(value: float) -> str:
    """At most three decimals, no trailing zeros, no minus zero."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
