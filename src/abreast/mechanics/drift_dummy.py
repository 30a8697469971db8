"""A drift dummy that stands for the real assembly, and what a given dummy proves."""

from __future__ import annotations

from dataclasses import dataclass

from abreast.formulas.guard import below, not_negative, positive, require
from abreast.formulas.rigid_tool import bend_side_force

__all__ = ["Body", "Proof", "equivalent_stiffness", "judge_dummy"]

_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Body:
    """A stiff body: length, largest diameter [m] and bending stiffness EI [N m2]."""

    length_m: float
    od_m: float
    ei_nm2: float

    def __post_init__(self) -> None:
        positive("length_m", self.length_m)
        positive("od_m", self.od_m)
        positive("ei_nm2", self.ei_nm2)


@dataclass(frozen=True, slots=True)
class Proof:
    """What a run of a dummy says of the real body.

    Parameters
    ----------
    real_n, dummy_n : float
        Side force of each in the sharpest bend [N].
    proves, does_not_prove : tuple of str
        In words.
    """

    real_n: float
    dummy_n: float
    proves: tuple[str, ...]
    does_not_prove: tuple[str, ...]


def _force(body: Body, bore_m: float, curvature_rad_m: float) -> float:
    below("od_m", body.od_m, positive("bore_m", bore_m), "the bore")
    return bend_side_force(body.ei_nm2, body.length_m, bore_m - body.od_m, curvature_rad_m)


def equivalent_stiffness(
    real: Body, length_m: float, od_m: float, bore_m: float, curvature_rad_m: float
) -> float:
    """Stiffness EI of a dummy that pushes on the bend as hard as the real body [N m2].

    Parameters
    ----------
    real : Body
        What is to be run.
    length_m, od_m : float
        Of the dummy [m].
    bore_m : float
        Drift of the casing [m].
    curvature_rad_m : float
        Sharpest bend [rad/m].

    Raises
    ------
    InputError
        ``out-of-range``: a body is not smaller than the bore, or one of the two
        lies in the bend unbent, where no stiffness makes the forces equal.

    Notes
    -----
    Forces of :func:`abreast.formulas.rigid_tool.bent_rod` set equal; both go with EI.

    Examples
    --------
    >>> real = Body(8.36, 0.2149, 2e6)
    >>> round(equivalent_stiffness(real, 8.36, 0.2149, 0.2165, 1.76e-3))
    2000000
    """
    wanted_n = _force(real, bore_m, curvature_rad_m)
    unit_n = _force(Body(length_m, od_m, 1.0), bore_m, curvature_rad_m)
    require(
        wanted_n > 0, "length_m", "the real body passes unbent; a rigid dummy of its size will do"
    )
    message = "a dummy so short or thin lies unbent and pushes nowhere; make it longer or thicker"
    require(unit_n > 0, "length_m", message)
    return wanted_n / unit_n


def judge_dummy(real: Body, dummy: Body, bore_m: float, curvature_rad_m: float) -> Proof:
    """What a dummy that went through proves of the real body, and what it does not.

    Parameters
    ----------
    real, dummy : Body
        What is to be run, and what was run.
    bore_m : float
        Drift of the casing [m].
    curvature_rad_m : float
        Sharpest bend of the way, not below 0 [rad/m].

    Raises
    ------
    InputError
        ``out-of-range``: a body is not smaller than the bore.
    """
    not_negative("curvature_rad_m", curvature_rad_m)
    real_n = _force(real, bore_m, curvature_rad_m)
    dummy_n = _force(dummy, bore_m, curvature_rad_m)
    proves: list[str] = []
    lacks: list[str] = []
    if dummy.od_m >= real.od_m - _SAME:
        proves.append("round narrow places: it is at least as thick")
    else:
        lacks.append("narrow places: it is thinner than the real body")
    as_large = dummy.length_m >= real.length_m - _SAME and dummy.od_m >= real.od_m - _SAME
    if as_large and dummy.ei_nm2 >= real.ei_nm2 * (1 - _SAME):
        proves.append("bends between stations as well: it is at least as long, thick and stiff")
    else:
        lacks.append("bends that the survey does not see: it is shorter, thinner or softer")
    proven, words = _known_bend(real_n, dummy_n, as_large, curvature_rad_m)
    (proves if proven else lacks).append(words)
    if dummy_n > 2 * real_n:
        lacks.append("anything if it stops: it is stiffer than the real body, which may still pass")
    lacks.append("cable, flanges and clamps that stand out to one side; debris left after the run")
    return Proof(real_n, dummy_n, tuple(proves), tuple(lacks))


def _known_bend(
    real_n: float, dummy_n: float, as_large: bool, curvature_rad_m: float
) -> tuple[bool, str]:
    """Whether a dummy proves the known bend, and why; one that lies unbent proves only room."""
    if curvature_rad_m <= 0:
        return False, "a bend: none is given"
    if dummy_n > 0 and dummy_n >= real_n * (1 - _SAME):
        return True, "the known bend: it pushes on it at least as hard"
    if dummy_n > 0:
        return False, "the known bend: it pushes on it less than the real body will"
    if real_n > 0:
        return False, "the known bend: it lies in it unbent, and the real body must bend"
    if as_large:
        return True, "the known bend: as long and thick as the real body, it lies in it unbent"
    return False, "the known bend: shorter or thinner than the real body, it lies in it unbent"
