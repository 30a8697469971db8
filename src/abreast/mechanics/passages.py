"""The bores that an assembly passes on its way down: rig, casing, narrow places."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

from abreast.errors import MissingInputError
from abreast.formulas.tubulars import drift_mandrel_length
from abreast.mechanics.needs import needs_of
from abreast.model import CasingString, Job, Opening, Quantity, convert_depth_m

__all__ = ["Kind", "Passage", "passages", "uncovered_m"]

Kind = Literal["rig", "casing", "opening"]
Span = tuple[float, float]
_SAME_M = 1e-6
_LEAST_OD_M, _MOST_OD_M = 4.5 * 0.0254, 20.0 * 0.0254
"""The sizes of casing that the standard knows; beyond them the nearest class is taken."""


@dataclass(frozen=True, slots=True)
class Passage:
    """One bore on the way down.

    Parameters
    ----------
    kind : {"rig", "casing", "opening"}
        An opening of the rig, a casing or liner, a narrow place in it.
    name : str
        What it is.
    top_md_m : float or None
        Depth below which nothing has passed it yet [m], from the job's datum.
        None: everything passes it.
    bore_m : float or None
        Inner diameter [m].
    drift_m : float or None
        Diameter that is known to pass: drift, or a special drift that was
        proved; of a plain opening its bore [m].
    straight_m : float
        Length of the straight body that is known to pass with that diameter:
        the drift mandrel of the casing; of a place that is shorter its own
        length; of an opening of the rig nothing [m].
    special : bool
        Whether that is a special drift.
    behind : str
        What stands before it all the way down, so that nothing passes it.
    needs : tuple of str
        Inputs that are missing.
    """

    kind: Kind
    name: str
    top_md_m: float | None = None
    bore_m: float | None = None
    drift_m: float | None = None
    straight_m: float = 0.0
    special: bool = False
    behind: str = ""
    needs: tuple[str, ...] = ()

    def passed_at(self, md_m: float | None) -> bool:
        """Whether what lands at a depth has passed it; unknown depths count as passed."""
        return self.top_md_m is None or md_m is None or md_m > self.top_md_m + _SAME_M


def passages(job: Job, deepest_md_m: float | None) -> tuple[Passage, ...]:
    """Every bore between the rig floor and a depth, from the top.

    Parameters
    ----------
    job : Job
        Rig, casing and openings.
    deepest_md_m : float or None
        How deep the assembly goes, from the job's datum [m]; None: not known,
        then everything is passed.

    Returns
    -------
    tuple of Passage
        Openings of the rig and of the blow-out preventer; casings that begin
        above that depth, a casing only from where no narrower one stands in it;
        narrow places that are in place. What is missing is in ``needs``.
    """
    ways = [*_rig(job), *_casing(job, deepest_md_m), *_openings(job)]
    return tuple(one for one in ways if one.passed_at(deepest_md_m))


def _rig(job: Job) -> Iterator[Passage]:
    rig = job.rig
    yield _hole("false rotary", rig.false_rotary_opening_m)
    yield _hole("rotary table", rig.rotary_opening_m)
    for element in job.bop:
        yield _hole(element.id, element.bore_m)


def _hole(name: str, bore: Quantity) -> Passage:
    """A plain opening: what is smaller passes it."""
    return Passage("rig", name, bore_m=bore.known, drift_m=bore.known, needs=needs_of(bore))


def _openings(job: Job) -> Iterator[Passage]:
    for place in job.openings:
        if place.in_place:
            yield Passage(
                "opening",
                place.name,
                _depth_m(job, place, place.md_m),
                place.bore_m.known,
                place.drift_m.known,
                min(place.length_m.or_else(_mandrel_m(None)), _mandrel_m(None)),
                needs=needs_of(place.md_m, place.bore_m, place.drift_m),
            )


def _casing(job: Job, deepest_md_m: float | None) -> Iterator[Passage]:
    for casing in job.casing:
        special = casing.special_drift_m.known
        drift = casing.drift_m
        wanted = [casing.top_md_m, casing.shoe_md_m, casing.bore_m]
        if special is None:
            wanted.append(drift)
        sizes = [size for size in (special, drift.known) if size is not None]
        one = Passage(
            "casing",
            casing.name,
            _depth_m(job, casing, casing.top_md_m),
            casing.bore_m.known,
            max(sizes, default=None),
            _mandrel_m(casing.od_m.known),
            special=special is not None and special == max(sizes),
            needs=needs_of(*wanted),
        )
        yield _bared(job, casing, one, deepest_md_m)


def _mandrel_m(od_m: float | None) -> float:
    """Length of the drift mandrel of a casing [m]; of an unknown size the longest there is."""
    if od_m is None:
        return drift_mandrel_length(_MOST_OD_M, "casing")
    return drift_mandrel_length(min(max(od_m, _LEAST_OD_M), _MOST_OD_M), "casing")


def _bared(job: Job, casing: CasingString, one: Passage, deepest_md_m: float | None) -> Passage:
    """The passage from where no narrower casing stands in it."""
    span = _span_m(job, casing)
    if span is None or one.bore_m is None:
        return one
    end_m = span[1] if deepest_md_m is None else min(span[1], deepest_md_m)
    inner = [
        (other.name, within)
        for other in job.casing
        if other is not casing and (other.bore_m.known or one.bore_m) < one.bore_m
        for within in [_span_m(job, other)]
        if within is not None and within[0] < end_m and within[1] > span[0]
    ]
    bare = _less((span[0], end_m), [within for _, within in inner])
    if bare:
        return replace(one, top_md_m=bare[0][0])
    return replace(one, behind=", ".join(name for name, _ in inner))


def _span_m(job: Job, casing: CasingString) -> Span | None:
    top_m = _depth_m(job, casing, casing.top_md_m)
    shoe_m = _depth_m(job, casing, casing.shoe_md_m)
    return None if top_m is None or shoe_m is None else (top_m, shoe_m)


def _less(span: Span, others: Iterable[Span]) -> list[Span]:
    """What is left of a span without the others, from the top."""
    left, start = [], span[0]
    for low, high in sorted(others):
        if low > start + _SAME_M:
            left.append((start, min(low, span[1])))
        start = max(start, high)
        if start >= span[1] - _SAME_M:
            break
    if start < span[1] - _SAME_M:
        left.append((start, span[1]))
    return [(low, high) for low, high in left if high > low + _SAME_M]


def uncovered_m(job: Job, deepest_md_m: float) -> tuple[Span, ...]:
    """Depths below the shallowest casing top, down to a depth, where there is no casing [m]."""
    spans = [span for span in (_span_m(job, casing) for casing in job.casing) if span is not None]
    if not spans or len(spans) < len(job.casing):
        return ()  # an open depth is asked for by its own passage
    top_m = min(span[0] for span in spans)
    return tuple(_less((top_m, deepest_md_m), spans)) if deepest_md_m > top_m else ()


def _depth_m(job: Job, place: CasingString | Opening, md: Quantity) -> float | None:
    """A depth from the job's datum; None when depth or datum is not known."""
    if md.known is None:
        return None
    try:
        return convert_depth_m(job, md.known, place.datum or job.depth_datum)
    except MissingInputError:
        return None
