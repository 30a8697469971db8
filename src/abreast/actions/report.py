"""Words for the terminal: lines of a fixed width, lists cut to a fixed number of lines."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from abreast.model import Finding

__all__ = [
    "WIDTH",
    "clip",
    "columns",
    "counted",
    "finding_counts",
    "first_blocks",
    "first_lines",
    "whole",
    "wrap",
]

WIDTH = 100


def clip(text: str, width: int = WIDTH) -> str:
    """One line of at most ``width`` signs; what is cut off is marked with '…'.

    Examples
    --------
    >>> clip("slings of 6.00 ft", 10)
    'slings of…'
    """
    line = " ".join(text.split()) if "\n" in text else text.rstrip()
    return line if len(line) <= width else line[: width - 1].rstrip() + "…"


def wrap(text: str, most: int, first: str = "", rest: str = "") -> list[str]:
    """Words on at most ``most`` lines; the last line is marked when there were more."""
    lines = whole(text, first, rest)
    if len(lines) <= most:
        return lines
    return [*lines[: most - 1], clip(f"{lines[most - 1]} {lines[most].strip()}…")]


def whole(text: str, first: str = "", rest: str = "  ") -> list[str]:
    """All the words, on as many lines as they take.

    Examples
    --------
    >>> whole("slings of 6.00 ft", "  ")
    ['  slings of 6.00 ft']
    """
    return textwrap.wrap(
        " ".join(text.split()),
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
    )


def first_blocks(blocks: Sequence[Sequence[str]], most: int, where: str) -> list[str]:
    """As many whole blocks as fit on some lines; when there are more, where they are.

    The first is shown whole, however long it is.

    Examples
    --------
    >>> first_blocks([["a", "  of it"], ["b"], ["c", "  of it"]], 4, "all.txt")
    ['a', '  of it', 'b', '  … and 1 more, see all.txt']
    """
    shown: list[str] = []
    for number, block in enumerate(blocks):
        rest = blocks[number + 1 :]
        room = most - len(shown) - bool(rest)
        if number and len(block) > room:
            return [*shown, f"  … and {len(rest) + 1} more, see {where}"]
        shown += block
    return shown


def first_lines(lines: Sequence[str], most: int, where: str) -> list[str]:
    """At most ``most`` lines; when there are more, the last says how many and where they are.

    Examples
    --------
    >>> first_lines(["a", "b", "c"], 2, "all.txt")
    ['a', '  … and 2 more, see all.txt']
    """
    shown = [clip(line) for line in lines]
    if len(shown) <= most:
        return shown
    return [*shown[: most - 1], f"  … and {len(shown) - most + 1} more, see {where}"]


def columns(rows: Sequence[Sequence[str]], gap: int = 2, most: int = WIDTH) -> list[str]:
    """Rows set into columns as wide as what they hold; the last column is not padded.

    A cell wider than ``most`` pushes what follows it in its own row only.
    """
    count = len(rows[0]) if rows else 0
    widths = [
        max((len(row[n]) for row in rows if len(row[n]) <= most), default=0) for n in range(count)
    ]
    return [
        (" " * gap).join(f"{cell:<{wide}}" for cell, wide in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its noun.

    Examples
    --------
    >>> counted(1, "cell"), counted(2, "cell"), counted(0, "entry", "entries")
    ('1 cell', '2 cells', '0 entries')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"


def finding_counts(findings: Iterable[Finding]) -> dict[str, int]:
    """How many findings there are of each status, worst first; none is left out."""
    count = dict.fromkeys(("exceeds", "near limit", "not checked", "ok"), 0)
    for finding in findings:
        count[finding.status] += 1
    return count
