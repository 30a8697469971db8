"""The two elastic lines of a job: lengths and weights as assembled, stiffness as stated."""

from __future__ import annotations

from collections.abc import Iterator

from abreast.errors import MissingInputError
from abreast.formulas.tubulars import inside_diameter, steel_area
from abreast.mechanics.load_share import Bar, Hold, Pair
from abreast.model import (
    Assembly,
    BaseSupport,
    EspPiece,
    Job,
    PlacedPiece,
    Quantity,
    esp_string,
    rack_item,
)
from abreast.spaceout.assemble import BASE_ID, GUIDE_ID, UNION_ID, YTOOL_ID
from abreast.units.constants import GRAVITY_M_S2

__all__ = ["axial_stiffness", "plate_hold", "read_pair"]


def axial_stiffness(
    ea_n: Quantity, od_m: Quantity, bore_m: Quantity, wall_m: Quantity, youngs_pa: Quantity
) -> float:
    """EA as stated, else Young's modulus times the steel area of its sizes [N].

    Raises
    ------
    MissingInputError
        Asking for EA when it doesn't follow from diameter, bore or wall, and
        Young's modulus.
    """
    if ea_n.is_given:
        return ea_n.si
    sizes = od_m.is_given and (bore_m.is_given or wall_m.is_given)
    if not sizes or not youngs_pa.is_given:
        also = "its body od with bore or wall, and youngs of bypass pipe"
        raise MissingInputError(needs=f"{ea_n.label or 'axial stiffness EA'}, or {also}")
    inner_m = bore_m.si if bore_m.is_given else inside_diameter(od_m.si, wall_m.si)
    return youngs_pa.si * steel_area(od_m.si, inner_m)


def read_pair(job: Job, assembly: Assembly) -> Pair:
    """Both lines of a twin string whose union is set.

    Parameters
    ----------
    job : Job
        Stiffness of the pieces, masses of the twin clamps.
    assembly : Assembly
        Pieces, lengths and masses.

    Returns
    -------
    Pair
        Both lines begin at the ESP's seat: the passage of the base support
        above it belongs to the bypass. Weights in air; each twin clamp weighs
        on the ESP piece beside it. Top-hung, the ESP line begins at the motor
        base and the bypass at its lower end.

    Raises
    ------
    MissingInputError
        If the union is not set, or a mass or stiffness is missing.
    """
    if assembly.union is None:
        raise MissingInputError(needs="the union as set")
    esp = tuple(_esp_bars(job, assembly))
    bypass = tuple(_bypass_bars(job, assembly))
    below_n = sum(_weight_n(piece) for piece in _foot(assembly))
    return Pair(esp, bypass, below_n, _weight_n(assembly.piece(YTOOL_ID)))


def plate_hold(job: Job, assembly: Assembly) -> Hold:
    """What holds the frame on the plate while the union is set, by the declared load path.

    Raises
    ------
    MissingInputError
        If there is no landing, or two holders share in a way that is not known.
    """
    if not assembly.landings:
        raise MissingInputError(needs="landings that the bypass reaches")
    if job.load_path == "both-held":
        raise MissingInputError(needs="which of the two holders carries while the union is set")
    plate_m = assembly.landings[-1].neck_m
    if job.load_path != "bypass-held":
        return Hold("esp", plate_m)
    start_m = min(0.0, _foot(assembly)[-1].bottom_m + _foot(assembly)[-1].effective_m)
    return Hold("bypass", plate_m - start_m)


def _weight_n(piece: PlacedPiece) -> float:
    if piece.mass_kg is None:
        raise MissingInputError(needs=f"mass of {piece.id}")
    return piece.mass_kg * GRAVITY_M_S2


def _foot(assembly: Assembly) -> tuple[PlacedPiece, ...]:
    """Tail and base support; of a top-hung bypass the entry guide, which hangs below."""
    pieces = assembly.side("bypass", "both")
    last = next(i for i, piece in enumerate(pieces) if piece.id in (BASE_ID, GUIDE_ID))
    return pieces[: last + 1]


def _esp_bars(job: Job, assembly: Assembly) -> Iterator[Bar]:
    part = {piece.id: piece for piece in esp_string(job)}
    clamp_kg = {clamp.id: clamp.mass_kg for clamp in job.clamps}
    placed = assembly.side("esp")
    for piece in placed:
        on = [c for c in assembly.clamps if _beside(c.height_m, piece, placed[-1])]
        clamps_n = sum(clamp_kg[c.id].si for c in on) * GRAVITY_M_S2
        ea_n = _esp_stiffness(job, part[piece.id])
        yield Bar(piece.id, piece.effective_m, ea_n, _weight_n(piece) + clamps_n)


def _beside(height_m: float, piece: PlacedPiece, last: PlacedPiece) -> bool:
    """Whether a height lies on the piece; what is above the last one weighs on that."""
    return piece.bottom_m <= height_m and (height_m < piece.top_m or piece is last)


def _esp_stiffness(job: Job, piece: EspPiece) -> float:
    youngs_pa = job.pipe.youngs_pa
    return axial_stiffness(piece.ea_n, piece.body_od_m, piece.bore_m, piece.wall_m, youngs_pa)


def _bypass_bars(job: Job, assembly: Assembly) -> Iterator[Bar]:
    pieces = assembly.side("bypass")
    foot = _foot(assembly)
    above = [p for p in pieces if p not in foot]
    passage_m = above[0].bottom_m
    if job.base is not None and passage_m > 0:
        yield Bar(BASE_ID, passage_m, _base_stiffness(job, job.base), 0.0)
    for piece in above:
        yield Bar(piece.id, piece.effective_m, _stiffness(job, piece.id), _weight_n(piece))


def _base_stiffness(job: Job, base: BaseSupport) -> float:
    """EA of the passage: its bore and two walls, for the largest diameter is that of the block."""
    bore_m, wall_m = base.bore_m, base.wall_m
    od_m = Quantity.not_measured()
    if bore_m.is_given and wall_m.is_given:
        od_m = Quantity.of(bore_m.si + 2 * wall_m.si)
    return axial_stiffness(base.ea_n, od_m, bore_m, wall_m, job.pipe.youngs_pa)


def _stiffness(job: Job, name: str) -> float:
    """EA of the union or of a rack piece; one with sizes of its own is not the pipe's [N]."""
    if name == UNION_ID:
        return job.union.ea_n.si
    item, pipe = rack_item(job, name), job.pipe
    own = (item.body_od_m, item.bore_m, item.wall_m)
    if not any(size.is_given for size in own):
        return axial_stiffness(pipe.ea_n, pipe.body_od_m, pipe.bore_m, pipe.wall_m, pipe.youngs_pa)
    label = f"axial stiffness EA of {name}"
    od_m = item.body_od_m if item.body_od_m.is_given else pipe.body_od_m
    sized = item.bore_m.is_given or item.wall_m.is_given
    bore_m, wall_m = (item.bore_m, item.wall_m) if sized else (pipe.bore_m, pipe.wall_m)
    none = Quantity.not_measured().labelled(label)
    return axial_stiffness(none, od_m, bore_m, wall_m, pipe.youngs_pa)
