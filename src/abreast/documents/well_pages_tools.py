"""The access sheet: which wireline tools pass the bypass, what is in its bore, its zeros."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor

from abreast.documents.well_access import access_data
from abreast.documents.well_words import Numbers, absent
from abreast.documents.workpack_words import Data
from abreast.mechanics.access_words import bore_words, place_words, unchecked_words
from abreast.mechanics.bores import PathBore
from abreast.mechanics.bypass_plug import equalise_words
from abreast.mechanics.bypass_tools import (
    LongestStiff,
    StringPassage,
    ToolPassages,
)
from abreast.mechanics.down_hole import Missing
from abreast.mechanics.tool_passage import Passage
from abreast.mechanics.tool_strings import StiffLength
from abreast.model import Assembly, Job
from abreast.model.plan import FindingStatus
from abreast.units import Dimension, display_unit, show, to_unit

__all__ = ["tools_page"]

_STATUS: dict[str, FindingStatus] = {
    "does not pass": "exceeds",
    "not checked": "not checked",
    "passes bent": "near limit",
    "passes": "ok",
}
"""The verdicts on a stiff length, the worst first."""


def tools_page(job: Job, assembly: Assembly, tools: ToolPassages | Missing) -> Data:
    """The sheet as plain data; where nothing was worked out, what it needs.

    Parameters
    ----------
    job, assembly : Job, Assembly
        Units and zeros; a planned string makes a draft.
    tools : ToolPassages or Missing
        What passes the bypass.
    """
    draft = assembly.status != "as-run"
    if isinstance(tools, Missing):
        return absent(tools.needs) | {"draft": draft}
    page = _Page(job, tools)
    return {
        "needs": "",
        "draft": draft,
        "smallest": page.smallest(),
        "depths": list(page.depths()),
        "datum": assembly.datum,
        "access": access_data(job, tools),
        "zero": page.zero(assembly),
        "units": {"depth": page.numbers.long_unit, "small": page.numbers.small_unit},
        "longest": [page.longest(one) for one in tools.table],
        "strings": [page.string(one) for one in tools.strings],
        "in_bore": tools.in_bore or "not stated in the job: ask before anything is run",
        "forces": list(page.forces()),
        "cautions": list(equalise_words()),
        "open": [*(f"needs {need}" for need in tools.needs), *unchecked_words()],
        "assumptions": list(tools.assumptions),
    }


class _Page:
    """The rows of the sheet."""

    def __init__(self, job: Job, tools: ToolPassages) -> None:
        self.job, self.tools, self.numbers = job, tools, Numbers(job)

    # --- smallest bore -----------------------------------------------------------------------

    def smallest(self) -> list[tuple[str, str]]:
        found, kept = self.tools.smallest, self.tools.clearance_m
        clearance = "not checked: needs tool_clearance of the rules"
        if kept is not None:
            clearance = f"{self.numbers.small(kept)}, bore less tool diameter"
        return [
            ("Smallest bore", self._bore(found.place)),
            ("Smallest above it", self._bore(found.before)),
            ("Clearance kept", clearance),
        ]

    def _bore(self, place: PathBore | None) -> str:
        if place is None or place.bore_m is None:
            return "not known"
        return f"{self.numbers.small(place.bore_m)}: {bore_words(self.job, place)}"

    def depths(self) -> Iterator[tuple[str, str, str]]:
        """The smallest bore in every zero of depth: its upper and its lower end."""
        for zero, top_m, bottom_m in self.tools.smallest.depths:
            yield zero, _long(self.job, top_m), _long(self.job, bottom_m)

    def zero(self, assembly: Assembly) -> str:
        datums = [
            f"{one.id} is {_long(self.job, one.elevation_m.si)} above it"
            for one in self.job.datums
            if one.elevation_m.is_given and one.id != self.job.depth_reference
        ]
        fixed = f"Depths of this sheet are MD from {assembly.datum}"
        return "; ".join([f"{fixed}. Fixed reference: {self.job.depth_reference}", *datums])

    # --- tools -------------------------------------------------------------------------------

    def longest(self, one: LongestStiff) -> Data:
        """A diameter with the length that passes for sure, and that of a bypass like its hole."""
        digits = 1 if self.job.units == "SI" else 4
        sure, hole = (_rounded_down(self.job, length) for length in (one.length_m, one.hole_m))
        return {
            "od": self.numbers.small(one.od_m, digits).rpartition(" ")[0],
            "sure": f"{sure} or more" if one.or_more else sure,
            "hole": hole,
        }

    def string(self, string: StringPassage) -> Data:
        """A tool string with the stiff length that decides."""
        data = {
            "name": string.name,
            "run_to": f"to above {string.run_to}" if string.run_to else "out of the open end",
            "status": "not checked",
            "verdict": "not checked",
            "words": f"needs {'; '.join(string.needs)}",
        }
        pairs = list(zip(string.lengths, string.passages, strict=True)) if string.passages else []
        if string.needs or not pairs:
            return data
        order = list(_STATUS)
        length, worst = min(pairs, key=lambda one: (order.index(one[1].verdict), one[1].room_m))
        return data | self._verdict(string, length, worst)

    def _verdict(self, string: StringPassage, length: StiffLength, worst: Passage) -> Data:
        way = self.tools.way
        size = (
            f"{_long(self.job, length.stiff.length_m)} by {self.numbers.small(length.stiff.od_m)}"
        )
        place = worst.where
        if way is not None:
            place = place_words(self.job, way, worst.where, worst.depth_m)
        said = f"{worst.name}, {size}, at {place}: {self._room(length, worst)}"
        open_ = way.needs if way is not None else ()
        if open_ and worst.verdict != "does not pass":
            needs = f"; not checked: needs {'; '.join(open_)}"
            return {"status": "not checked", "verdict": "not checked", "words": said + needs}
        return {
            "status": _STATUS[worst.verdict],
            "verdict": self._named(worst),
            "words": said,
        }

    def _named(self, worst: Passage) -> str:
        if worst.verdict == "not checked" and worst.force_n is not None:
            return "must bend: not checked"
        return "passes straight" if worst.verdict == "passes" else worst.verdict

    def _room(self, length: StiffLength, worst: Passage) -> str:
        if worst.room_m >= 0:
            return f"{self.numbers.small(worst.room_m)} to spare beyond the clearance"
        over = self.numbers.small(-worst.room_m)
        if worst.force_n is None:
            if worst.verdict == "not checked":
                return f"must bend {over}; needs its EI in tools.csv"
            return f"{over} too thick, clearance counted"
        bears = length.side_load_n
        limit = "needs its side load in tools.csv"
        if bears is not None:
            limit = f"it may bear {self.numbers.force(bears)}"
        return f"must bend {over}, {self.numbers.force(worst.force_n)} from the side; {limit}"

    # --- plug --------------------------------------------------------------------------------

    def forces(self) -> Iterator[Data]:
        for one in self.tools.plug_forces:
            yield {
                "place": one.place,
                "seal": self.numbers.small(one.seal_m),
                "why": one.why,
                "difference": self.numbers.pressure(one.difference_pa),
                "force": self.numbers.force(one.force_n),
            }


def _long(job: Job, length_m: float) -> str:
    """A length along the string as the tally has it."""
    return show(length_m, Dimension.LENGTH, job.units)


def _rounded_down(job: Job, length_m: float) -> str:
    """A longest length is never shown longer than it is."""
    unit = display_unit(Dimension.LENGTH, job.units)
    digits = 2 if job.units == "SI" else 1
    return f"{floor(to_unit(length_m, unit) * 10**digits + 1e-6) / 10**digits:.{digits}f}"
