"""Does it fit: the circle round every cross-section, and the bores it has to pass.

A function of the assembly: a bypass connection stands elsewhere after each
change of the space-out, so the fit is found anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from abreast.errors import MissingInputError
from abreast.formulas.enclosing import Disc, Enclosing, enclosing_circle
from abreast.formulas.flat_cable import FlatCable, Window, angle_windows, common_windows
from abreast.mechanics.cable import CableCourse, cable_course
from abreast.mechanics.needs import needs_of
from abreast.mechanics.outlines import Outline, axial_spread_m, outlines
from abreast.mechanics.passages import Passage, passages, uncovered_m
from abreast.mechanics.section import Slice, slices
from abreast.model import Assembly, Job, convert_depth_m

__all__ = ["Clearance", "Fit", "FitSection", "fit"]


@dataclass(frozen=True, slots=True)
class FitSection:
    """One cross-section, with the circle it needs.

    Parameters
    ----------
    cut : Slice
        Heights and shapes.
    circle : Enclosing or None
        The smallest circle round all shapes whose size is known [m]; None: none is.
    deciding : tuple of str
        The names of the shapes that decide it.
    deepest_md_m : float or None
        How deep its lower end may come [m], tolerance of the setting depth included.
    limit_m : float or None
        Smallest drift it passes [m]; None: not known.
    windows : tuple of Window or None
        Where the cable fits, on one side [rad]; None: no cable, or not known.
    """

    cut: Slice
    circle: Enclosing | None
    deciding: tuple[str, ...]
    deepest_md_m: float | None
    limit_m: float | None
    windows: tuple[Window, ...] | None

    @property
    def bottom_m(self) -> float:
        """Height of its lower end [m]."""
        return self.cut.bottom_m

    @property
    def top_m(self) -> float:
        """Height of its upper end [m]."""
        return self.cut.top_m

    @property
    def shapes(self) -> tuple[Outline, ...]:
        """What stands there, with the discs that draw it."""
        return self.cut.shapes

    @property
    def diameter_m(self) -> float:
        """Diameter of the circle [m]; 0 when no size is known."""
        return 0.0 if self.circle is None else self.circle.diameter_m

    @property
    def clearance_m(self) -> float | None:
        """Room to the smallest drift it passes, in diameter, negative: too large [m]."""
        return None if self.limit_m is None else self.limit_m - self.diameter_m

    @property
    def deciders(self) -> frozenset[str]:
        """The ids of the pieces that decide the circle."""
        return frozenset(shape.piece for shape in self.shapes if shape.name in self.deciding)

    def has(self, piece: str) -> bool:
        """Whether a piece stands there."""
        return any(shape.piece == piece for shape in self.shapes)


@dataclass(frozen=True, slots=True)
class Clearance:
    """The tightest section of all that pass one bore.

    ``section`` is None when nothing passes it. ``needs`` are sizes that are
    missing in any section that passes: the true one may then be tighter.
    """

    passage: Passage
    section: FitSection | None
    needs: tuple[str, ...] = ()

    @property
    def envelope_m(self) -> float:
        """Diameter of the largest circle that passes [m]."""
        return 0.0 if self.section is None else self.section.diameter_m

    @property
    def to_drift_m(self) -> float | None:
        """Drift less that diameter, signed [m]; None: no drift is known."""
        drift_m = self.passage.drift_m
        return None if drift_m is None else drift_m - self.envelope_m

    @property
    def to_bore_m(self) -> float | None:
        """Inner diameter less that diameter, signed [m]; None: it is not known."""
        bore_m = self.passage.bore_m
        return None if bore_m is None else bore_m - self.envelope_m


@dataclass(frozen=True, slots=True)
class Fit:
    """How an assembly fits its way into the well.

    Parameters
    ----------
    sections : tuple of FitSection
        Bottom to top.
    clearances : tuple of Clearance
        For each bore on the way, rig floor first.
    cable : CableCourse
        Where the cable lies.
    at_pothead, whole_run : tuple of Window or None
        Where it fits, at the pothead and from there to the Y-tool [rad]; None:
        not known.
    run_needs : tuple of str
        What the windows lack.
    uncovered_m : tuple of (top, bottom)
        Depths on the way for which no bore is stated [m].
    spread_m : float
        How far bypass connections were taken to stand from their places [m].
    depth_needs, way_needs : tuple of str
        What the depths lack, and what the smallest drift on the way lacks.
    """

    sections: tuple[FitSection, ...]
    clearances: tuple[Clearance, ...]
    cable: CableCourse
    at_pothead: tuple[Window, ...] | None
    whole_run: tuple[Window, ...] | None
    run_needs: tuple[str, ...]
    uncovered_m: tuple[tuple[float, float], ...]
    spread_m: float
    depth_needs: tuple[str, ...]
    way_needs: tuple[str, ...]

    def at(self, height_m: float) -> FitSection | None:
        """The section at a height; None: nothing stands there."""
        return next((s for s in self.sections if s.bottom_m <= height_m <= s.top_m), None)

    def of(self, piece: str) -> tuple[FitSection, ...]:
        """The sections in which a piece stands, bottom to top."""
        return tuple(section for section in self.sections if section.has(piece))

    @property
    def tightest(self) -> FitSection:
        """The section with the largest circle."""
        return max(self.sections, key=lambda section: section.diameter_m)


def fit(job: Job, assembly: Assembly, *, spread_m: float | None = None) -> Fit:
    """Whether an assembly fits the rig, the casing and every narrow place it passes.

    Parameters
    ----------
    job : Job
        Diameters, casing, openings, rules.
    assembly : Assembly
        Planned or as run; to be asked again after each change of it.
    spread_m : float, optional
        How far a bypass connection may stand from its place beside the ESP [m];
        usually the reserve of the closure by the rules of the job.

    Returns
    -------
    Fit
        Every section with its circle, each bore with the section that is
        tightest in it, the windows of the cable. Each part passes what lies
        above its landed depth, the tail too. Clearances are diametral, signed.

    Raises
    ------
    MissingInputError
        If the axis spacing, the length of a twin clamp or a spread is missing.
        Other missing sizes are in the ``needs`` of what they concern.

    Notes
    -----
    Smallest enclosing circles, :func:`abreast.formulas.enclosing.enclosing_circle`.
    The spacing of the axes is taken as held all along; between twin clamps the
    strings may in truth move.
    """
    spread = axial_spread_m(job, assembly) if spread_m is None else spread_m
    course = cable_course(job, assembly, spread)
    shapes = (*outlines(job, assembly, spread), *course.outlines())
    return _Fitter(job, assembly, course, slices(shapes)).result(spread)


class _Fitter:
    """Circles, depths and windows of one assembly, each distinct section worked out once."""

    def __init__(
        self, job: Job, assembly: Assembly, course: CableCourse, cuts: Sequence[Slice]
    ) -> None:
        self.job, self.assembly, self.course, self.cuts = job, assembly, course, cuts
        self.depth_m, self.depth_needs = _depths(job, assembly)
        self.deepest_m = None if not cuts else self.depth_m(cuts[0].bottom_m)
        self.ways = passages(job, self.deepest_m)
        self.bare = () if self.deepest_m is None else uncovered_m(job, self.deepest_m)
        self.circles: dict[tuple[Disc, ...], Enclosing] = {}
        self.windows: dict[object, tuple[Window, ...]] = {}

    def result(self, spread_m: float) -> Fit:
        sections = tuple(self._section(cut) for cut in self.cuts)
        along = [s for s in sections if self._beside_cable(s)]
        known = bool(along) and all(section.windows is not None for section in along)
        return Fit(
            sections=sections,
            clearances=tuple(_clearance(way, sections) for way in self.ways),
            cable=self.course,
            at_pothead=along[0].windows if known else None,
            whole_run=_all(section.windows for section in along) if known else None,
            run_needs=() if known else self._run_needs(along),
            uncovered_m=self.bare,
            spread_m=spread_m,
            depth_needs=self.depth_needs,
            way_needs=self._way_needs(),
        )

    def _section(self, cut: Slice) -> FitSection:
        discs = cut.discs
        circle = self._circle(discs) if discs else None
        owners = [shape.name for shape in cut.shapes for _ in shape.discs]
        names = () if circle is None else [owners[place] for place in circle.deciding]
        deepest_m = self.depth_m(cut.bottom_m)
        limit_m = self._limit_m(deepest_m)
        return FitSection(
            cut,
            circle,
            tuple(dict.fromkeys(names)),
            deepest_m,
            limit_m,
            self._windows(cut, limit_m),
        )

    def _circle(self, discs: tuple[Disc, ...]) -> Enclosing:
        if discs not in self.circles:
            self.circles[discs] = enclosing_circle(discs)
        return self.circles[discs]

    def _passed(self, deepest_m: float | None) -> list[Passage]:
        return [way for way in self.ways if not way.behind and way.passed_at(deepest_m)]

    def _limit_m(self, deepest_m: float | None) -> float | None:
        """The smallest drift on the way to a depth; None unless all of the way is known."""
        if deepest_m is None or any(deepest_m > top_m for top_m, _ in self.bare):
            return None
        passed = self._passed(deepest_m)
        if not self._is_cased or any(_lacking(way) for way in passed):
            return None
        return min(way.drift_m for way in passed if way.drift_m is not None)

    @property
    def _is_cased(self) -> bool:
        return any(way.kind == "casing" for way in self.ways)

    def _way_needs(self) -> tuple[str, ...]:
        needs = [*self.depth_needs]
        needs += [] if self._is_cased else ["the table of casing"]
        needs += ["the bore of the hole where there is no casing"] if self.bare else []
        for way in self.ways:
            needs += _lacking(way)
        return tuple(dict.fromkeys(needs))

    def _windows(self, cut: Slice, limit_m: float | None) -> tuple[Window, ...] | None:
        cable = self.course.at((cut.bottom_m + cut.top_m) / 2)
        if cable is None or limit_m is None or cut.solid_needs:
            return None
        fixed = tuple(disc for shape in cut.shapes if shape.side != "cable" for disc in shape.discs)
        beside = tuple(disc for shape in cut.side("bypass") for disc in shape.discs)
        return self._window(cable, fixed, beside, limit_m)

    def _window(
        self, cable: FlatCable, fixed: tuple[Disc, ...], beside: tuple[Disc, ...], limit_m: float
    ) -> tuple[Window, ...]:
        key = cable, fixed, limit_m
        if key not in self.windows:
            self.windows[key] = angle_windows(cable, fixed, beside, limit_m)
        return self.windows[key]

    def _beside_cable(self, section: FitSection) -> bool:
        middle_m = (section.bottom_m + section.top_m) / 2
        return self.course.bottom_m <= middle_m <= self.course.top_m

    def _run_needs(self, along: Sequence[FitSection]) -> tuple[str, ...]:
        """What the windows lack."""
        needs = [*self.course.needs, *self._way_needs()]
        for section in along:
            needs += section.cut.solid_needs
        return tuple(dict.fromkeys(needs or ["an ESP piece above the pothead"]))


def _lacking(way: Passage) -> tuple[str, ...]:
    """What a bore lacks to be a limit; of a casing also where it stands."""
    return way.needs if way.drift_m is None or way.kind == "casing" else ()


def _clearance(way: Passage, sections: Sequence[FitSection]) -> Clearance:
    if way.behind:
        return Clearance(way, None)
    passing = [section for section in sections if way.passed_at(section.deepest_md_m)]
    widest = max(passing, key=lambda section: section.diameter_m, default=None)
    needs = dict.fromkeys(need for section in passing for need in section.cut.needs)
    return Clearance(way, widest, tuple(needs))


def _all(windows: Iterable[tuple[Window, ...] | None]) -> tuple[Window, ...]:
    found: tuple[Window, ...] | None = None
    for one in windows:
        here = one or ()
        found = here if found is None else common_windows(found, here)
    return found or ()


def _depths(
    job: Job, assembly: Assembly
) -> tuple[Callable[[float], float | None], tuple[str, ...]]:
    """How deep a height may come, tolerance included; and what is missing for it."""
    setting = job.setting
    missing = needs_of(setting.ytool_top_md_m)
    if missing:
        return lambda _: None, missing
    try:
        datum = setting.datum or job.depth_datum
        top_md_m = convert_depth_m(job, setting.ytool_top_md_m.si, datum)
    except MissingInputError as fault:
        return lambda _: None, (fault.needs,)
    lowest_m = top_md_m + setting.tolerance_m.or_else(0.0)
    return lambda height_m: lowest_m + assembly.top_m - height_m, ()
