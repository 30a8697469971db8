"""A finding in a few words: never a part of a sentence, never the code of a check."""

from __future__ import annotations

import re
from collections.abc import Sequence

from abreast.checks import NEAR
from abreast.model import Finding
from abreast.units import Dimension, System, display_unit, show, to_unit

__all__ = ["LONGEST", "asked", "brief", "is_small", "missing", "part_used"]

LONGEST = 190
"""Signs of a finding that is told in its own words; of a longer one only the figures are."""
_FAR = 2.0
"""So many times its limit a value may be before tenths of a per cent are noise."""
_NO_TAPE_M = 0.01
"""Lengths below this are shown in small units, unless the words say otherwise."""


def brief(finding: Finding, system: System) -> str:
    """A finding in its own words, or where they are many its question and figures.

    Parameters
    ----------
    finding : Finding
        The answer; all of it stands in ``findings.csv``.
    system : {"oilfield", "SI"}
        Units of the figures.
    """
    text = " ".join(finding.text.split())
    if len(text) <= LONGEST:
        return text
    if finding.value is None or finding.limit is None or not finding.dimension:
        return f"{asked(finding)}: in full in findings.csv."
    small = is_small(finding, system)
    value, limit = (_shown(finding, one, system, small) for one in (finding.value, finding.limit))
    return f"{asked(finding)}: {value}, limit {limit}; in full in findings.csv."


def asked(finding: Finding) -> str:
    """The question and where it was asked."""
    return f"{finding.question} {finding.where}".strip()


def part_used(utilisation: float) -> str:
    """A utilisation in per cent; near the limit with a decimal, so that 99.6 is not read as 100.

    Examples
    --------
    >>> part_used(0.524), part_used(0.996), part_used(27.0)
    ('52 %', '99.6 %', '2700 %')
    """
    digits = 1 if NEAR <= utilisation < _FAR else 0
    return f"{100 * utilisation:.{digits}f} %"


def missing(finding: Finding) -> str:
    """Where an answer is missing and the first thing it needs."""
    where = f"{finding.where}: " if finding.where else ""
    if not finding.needs:
        return finding.text.rstrip(".")
    more = len(finding.needs) - 1
    others = f" and {more} more" if more else ""
    return f"{where}needs {finding.needs[0]}{others}".rstrip(".")


def _shown(finding: Finding, value: float, system: System, small: bool) -> str:
    dimension = Dimension(finding.dimension)
    if dimension is Dimension.RATIO:
        return f"{100 * value:.0f} %"
    return show(value, dimension, system, small=small)


# --- units ------------------------------------------------------------------------------------


def is_small(finding: Finding, system: System) -> bool:
    """Whether value and limit are sizes across the string, to be shown as a caliper shows them.

    The words of the finding decide, in which such a size stands in in or mm; where
    they name neither figure, the size does.
    """
    if finding.dimension != Dimension.LENGTH.value:
        return False
    lengths_m = [one for one in (finding.value, finding.limit) if one is not None]
    told = [_is_told(finding.text, lengths_m, system, small) for small in (False, True)]
    if told[0] != told[1]:
        return told[1]
    return max(map(abs, lengths_m), default=1.0) < _NO_TAPE_M


def _is_told(text: str, lengths_m: Sequence[float], system: System, small: bool) -> bool:
    """Whether the words hold one of the lengths in that unit, to the digits they have."""
    unit = display_unit(Dimension.LENGTH, system, small=small)
    for digits in re.findall(rf"(-?[\d,]*\.?\d+) {unit}\b", text):
        half = 0.5 * 10.0 ** -len(digits.partition(".")[2])
        number = float(digits.replace(",", ""))
        if any(abs(number - to_unit(one, unit, Dimension.LENGTH)) <= half for one in lengths_m):
            return True
    return False
