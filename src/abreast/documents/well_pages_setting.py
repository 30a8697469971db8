"""The page on the well path and where to set: the planned depth, the ten best, the limits."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import degrees

from abreast.documents.well_words import Numbers, absent, listed, used
from abreast.documents.workpack_words import Data
from abreast.mechanics.down_hole import Missing
from abreast.mechanics.setting_depth import Limit
from abreast.mechanics.setting_places import ContactResult, Passed, Place, SettingScan
from abreast.mechanics.setting_words import setting_words
from abreast.model import Job

__all__ = ["setting_page"]

Show = Callable[[float], str]
MOST_ROWS = 10
_WINDOWS = 4


def setting_page(job: Job, scan: SettingScan | Missing) -> Data:
    """Where the string hangs, as plain data; without the ranked depths, what they need.

    Parameters
    ----------
    job : Job
        Its units.
    scan : SettingScan or Missing
        The ranked depths.
    """
    if isinstance(scan, Missing):
        return absent(scan.needs)
    page = _Page(job, scan)
    planned = [] if scan.planned in scan.places[:MOST_ROWS] else [scan.planned]
    return {
        "needs": "",
        "refused": list(scan.planned.refusals(scan.system)),
        "words": list(setting_words(scan)),
        "facts": list(page.facts()),
        "units": {"depth": page.numbers.long_unit, "dogleg": page.numbers.bend_unit},
        "best": [page.row(one) for one in (*scan.places[:MOST_ROWS], *planned)],
        "limits": [*page.bends(), *page.bodies()],
        "bounds": list(page.bounds()),
        "open": listed((*scan.not_checked, *scan.planned.unknown)),
        "assumptions": list(scan.assumptions),
    }


class _Page:
    """The rows of the page."""

    def __init__(self, job: Job, scan: SettingScan) -> None:
        self.scan, self.numbers = scan, Numbers(job)

    def facts(self) -> Iterator[tuple[str, str]]:
        scan, numbers, planned = self.scan, self.numbers, self.scan.planned
        hung = planned.candidate
        off = f" ± {numbers.depth(scan.tolerance_m)}" if scan.tolerance_m else ""
        yield "Y-tool top planned", f"{numbers.depth(planned.top_md_m)}{off}, MD from {scan.datum}"
        yield (
            "Must lie straight",
            (
                f"{numbers.depth(scan.straight.length_m)}, to {numbers.depth(hung.bottom_md_m)};"
                f" tail below it {numbers.depth(scan.tail_m)}"
            ),
        )
        bend, place = numbers.dogleg(planned.dogleg_rad_m), numbers.span(*hung.dogleg_interval_md_m)
        yield "Sharpest dogleg there", f"{bend} at {place}{self._added()}"
        yield "A joint higher or lower", self._joint_off()
        yield "Inclination there", self._inclination(planned) + "°"
        yield "Contact model", self._contact(planned.contact)
        windows = [numbers.span(*one) for one in scan.windows()]
        more = f" and {len(windows) - _WINDOWS} more" if len(windows) > _WINDOWS else ""
        yield "No given limit broken", ("; ".join(windows[:_WINDOWS]) or "nowhere") + more

    def _added(self) -> str:
        added = self.scan.allowance_rad_m
        return f", {self.numbers.dogleg(added)} of it allowance" if added else ""

    def _joint_off(self) -> str:
        slide, joint = self.scan.planned.slide_rad_m, self.scan.joint_m
        if joint is None:
            return "not checked: needs the joint of the tubing to fit in upper.csv"
        if slide is None:
            return "not checked: needs a survey that goes a joint beyond the string"
        return f"{self.numbers.dogleg(slide)} at the most within {self.numbers.depth(joint)}"

    def _inclination(self, place: Place) -> str:
        low, high = (degrees(one) for one in place.candidate.inclination_rad)
        return f"{low:.1f} to {high:.1f}"

    def _contact(self, found: ContactResult | None) -> str:
        if found is None:
            return "not asked at this depth"
        if found.moment_ratio is None:
            return f"{found.state}; no moment was held to a limit"
        side = found.side_force_n
        wall = "" if side is None else f"; side forces {self.numbers.force(side)}"
        share = f"{100 * found.moment_ratio:.0f} % of the moment that may be carried"
        return f"{found.state}: {share} ({found.moment_at}){wall}"

    def row(self, place: Place) -> Data:
        scan, numbers, contact = self.scan, self.numbers, place.contact
        ratio = None if contact is None else contact.moment_ratio
        slide = place.slide_rad_m
        return {
            "planned": place.is_planned,
            "refused": place.is_refused,
            "rank": str(scan.rank(place)),
            "depth": numbers.bare_depth(place.top_md_m),
            "off": numbers.off(place.from_planned_m),
            "dogleg": numbers.bare_dogleg(place.dogleg_rad_m),
            "slide": "–" if slide is None else numbers.bare_dogleg(slide),
            "inclination": self._inclination(place),
            "contact": _asked(contact) if ratio is None else f"{100 * ratio:.0f} %",
            "why": self._why(place),
        }

    def _why(self, place: Place) -> str:
        why = self.scan.reason(place)
        return f"planned: {why}" if place.is_planned and why != "planned depth" else why

    # --- limits ----------------------------------------------------------------------------

    def bends(self) -> Iterator[Data]:
        """Doglegs where it hangs and on the way, each against its limit."""
        scan, numbers, planned = self.scan, self.numbers, self.scan.planned
        setting = scan.limits.setting_rad_m
        place = numbers.span(*planned.candidate.dogleg_interval_md_m)
        bend, needs = numbers.dogleg, scan.needs("setting")
        hung = _limit("dogleg where it hangs", planned.dogleg_rad_m, setting, bend, place)
        yield _open(hung, needs)
        if planned.slide_rad_m is not None:
            off = "within a joint of it"
            slid = _limit("dogleg a joint off", planned.slide_rad_m, setting, bend, off)
            yield _open(slid, needs) | {"origin": "as above" if setting else ""}
        unseen = [need for need in scan.needs("passing") if need.startswith("the survey")]
        groups: dict[tuple[Limit | None, bool], list[Passed]] = {}
        for one in scan.passed:
            groups.setdefault((one.limit, bool(one.piece)), []).append(one)
        for (limit, _), passed in groups.items():
            worst = max(passed, key=lambda one: one.dogleg_rad_m)
            names = ", ".join(one.piece for one in passed) or "the whole string"
            what = f"dogleg passed by {names}"
            where = numbers.span(*worst.interval_md_m)
            yield _open(_limit(what, worst.dogleg_rad_m, limit, bend, where), unseen)

    def bodies(self) -> Iterator[Data]:
        """Inclination of the pieces that are rated for one, and the stress nearest its limit."""
        numbers, states = self.numbers, self.scan.planned.candidate.bodies
        for one in states:
            if one.body.inclination_rad is not None:
                what = f"inclination of {one.body.name}"
                high = one.inclination_rad[1]
                yield _limit(what, high, one.body.inclination_rad, numbers.angle, "where it hangs")
        stressed = [
            (one.stress_pa / max(one.body.stress_pa.value, 1e-9), one.stress_pa, one.body)
            for one in states
            if one.stress_pa is not None and one.body.stress_pa is not None
        ]
        if stressed:
            _, stress_pa, body = max(stressed, key=lambda one: one[0])
            what = f"bending stress of {body.name}, nearest to its limit"
            where = "follows the bend of the hole"
            row = _limit(what, stress_pa, body.stress_pa, numbers.stress, where)
            yield _open(row, self.scan.needs("stress"))

    def bounds(self) -> Iterator[str]:
        """What in the well bounds the depth of the Y-tool."""
        for one in self.scan.bounds:
            side = "below" if one.lowest else "above"
            yield f"{side} {self.numbers.depth(one.top_md_m)}: {one.words}"


def _asked(contact: ContactResult | None) -> str:
    return "not asked" if contact is None else "not known"


def _open(row: Data, needs: Sequence[str]) -> Data:
    """A row that is not checked as long as something is missing, unless its limit is broken."""
    if needs and row["used"]["status"] != "exceeds":
        return row | {"used": row["used"] | {"status": "not checked"}}
    return row


def _limit(what: str, value: float, limit: Limit | None, show: Show, where: str) -> Data:
    return {
        "what": what,
        "value": show(value),
        "where": where,
        "limit": "not stated" if limit is None else show(limit.value),
        "origin": "" if limit is None else limit.origin,
        "used": used(value, None if limit is None else limit.value),
    }
