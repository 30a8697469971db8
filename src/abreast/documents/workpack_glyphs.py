"""Which signs the typefaces of the pack can show; all others are printed as their code."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from functools import cache
from pathlib import Path

__all__ = ["FONTS", "coverage", "shown", "shown_single"]

FONTS = Path(__file__).with_name("fonts")
_FILES = ("LiberationSans-Regular.ttf", "LiberationSans-Bold.ttf")


@cache
def coverage() -> frozenset[int]:
    """Code points for which both the regular and the bold typeface have a glyph."""
    found = [_mapped((FONTS / name).read_bytes()) for name in _FILES]
    return frozenset.intersection(*map(frozenset, found))


def shown(text: str) -> str:
    r"""One line of words; a sign that cannot be shown becomes its code in brackets.

    Nothing is lost, and nothing invisible is let through.

    Examples
    --------
    >>> shown("pup\t 3-1/2\u202e in \u4e95")
    'pup 3-1/2[U+202E] in [U+4E95]'
    """
    return " ".join("".join(_sign(sign, f"[U+{ord(sign):04X}]") for sign in text).split())


def shown_single(text: str) -> str:
    """The text with a '?' for each sign that cannot be shown, for words of a fixed width."""
    return "".join(sign if sign in "\n\t" else _sign(sign, "?") for sign in text)


def _sign(sign: str, instead: str) -> str:
    if sign.isspace():
        return " "
    return sign if sign.isprintable() and ord(sign) in coverage() else instead


def _mapped(font: bytes) -> Iterator[int]:
    """Code points of the Unicode subtable of the ``cmap`` table (OpenType, format 4)."""
    at = _table(font, b"cmap")
    count = struct.unpack_from(">H", font, at + 2)[0]
    for n in range(count):
        platform, encoding, offset = struct.unpack_from(">HHL", font, at + 4 + 8 * n)
        if (platform, encoding) == (3, 1):
            yield from _segments(font, at + offset)


def _table(font: bytes, tag: bytes) -> int:
    count = struct.unpack_from(">H", font, 4)[0]
    for n in range(count):
        name, _, offset, _ = struct.unpack_from(">4sLLL", font, 12 + 16 * n)
        if name == tag:
            return int(offset)
    message = f"the typeface has no table {tag!r}"
    raise ValueError(message)


def _segments(font: bytes, at: int) -> Iterator[int]:
    """Format 4: runs of code points, each with a step or a place in an array of glyphs."""
    twice = struct.unpack_from(">H", font, at + 6)[0]
    count = twice // 2
    ends = struct.unpack_from(f">{count}H", font, at + 14)
    starts = struct.unpack_from(f">{count}H", font, at + 16 + twice)
    steps = struct.unpack_from(f">{count}H", font, at + 16 + 2 * twice)
    places_at = at + 16 + 3 * twice
    places = struct.unpack_from(f">{count}H", font, places_at)
    for n in range(count):
        for code in range(starts[n], ends[n] + 1):
            glyph = code
            if places[n]:
                spot = places_at + 2 * n + places[n] + 2 * (code - starts[n])
                glyph = struct.unpack_from(">H", font, spot)[0]
            if glyph and (glyph + steps[n]) % 65536 and code != 0xFFFF:
                yield code
