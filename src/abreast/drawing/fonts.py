"""How wide words are on paper, so that labels can be placed without drawing them.

Advance widths in thousandths of the type size, read from the ``hmtx`` table of
Liberation Sans 2.1 (regular and bold), which has the widths of Arial. A back-end
sets each line to the width told here, so that another typeface changes the look
but not the place.
"""

from __future__ import annotations

__all__ = ["ASCENT", "DESCENT", "FAMILY", "clipped", "width_mm"]

FAMILY = "Liberation Sans, Arial, Helvetica, sans-serif"
# Height of brackets and depth of 'g' over the type size, rounded up.
ASCENT, DESCENT = 0.75, 0.22
_UNKNOWN = 1000

_REGULAR = {
    191: "'",
    222: "ijl",
    260: "|",
    278: " !,./:;I[\\]ft·",
    333: "()-`r²³",
    334: "{}",
    355: '"',
    389: "*",
    400: "°",
    469: "^",
    500: "Jcksvxyz↑↓",
    549: "±≤≥",
    556: "#$0123456789?L_abdeghnopqu–",
    584: "+<=>~×−",
    611: "FTZ",
    667: "&ABEKPSVXY",
    722: "CDHNRUw",
    778: "GOQ",
    833: "Mm",
    834: "½",
    889: "%",
    944: "W",
    1000: "…",
    1015: "@",
}
_BOLD = {
    238: "'",
    278: " ,./I\\ijl·",
    280: "|",
    333: "!()-:;[]`ft²³",
    389: "*r{}",
    400: "°",
    474: '"',
    500: "z↑↓",
    549: "±≤≥",
    556: "#$0123456789J_aceksvxy–",
    584: "+<=>^~×−",
    611: "?FLTZbdghnopqu",
    667: "EPSVXY",
    722: "&ABCDHKNRU",
    778: "GOQw",
    833: "M",
    834: "½",
    889: "%m",
    944: "W",
    975: "@",
    1000: "…",
}
_WIDTHS = [
    {letter: width for width, letters in table.items() for letter in letters}
    for table in (_REGULAR, _BOLD)
]


def width_mm(text: str, size_mm: float, *, bold: bool = False) -> float:
    """Length of one line of words [mm]; an unknown letter counts as a full square.

    Examples
    --------
    >>> width_mm("B05", 10.0), width_mm("B05", 10.0, bold=True)
    (17.79, 18.34)
    """
    table = _WIDTHS[bold]
    return sum(table.get(letter, _UNKNOWN) for letter in text) * size_mm / 1000


def clipped(text: str, room_mm: float, size_mm: float, *, bold: bool = False) -> str:
    """The text, or as much of it as fits with '…' in its middle; both ends tell ids apart.

    Examples
    --------
    >>> clipped("discharge pup 3-1/2 in + swivel nipple", 20.0, 2.0)
    'discharge …vel nipple'
    """
    if width_mm(text, size_mm, bold=bold) <= room_mm:
        return text
    for kept in range(len(text) - 1, 0, -1):
        head = text[: (kept + 1) // 2]
        short = f"{head}…{text[len(text) - kept // 2 :]}"
        if width_mm(short, size_mm, bold=bold) <= room_mm:
            return short
    return ""
