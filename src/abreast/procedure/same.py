"""Are two states of the floor the same, whatever the order in which they came about?"""

from __future__ import annotations

from dataclasses import fields

from abreast.mechanics.ledger.state import Hold, State

__all__ = ["differences", "same_state", "state_key"]

_WORDS = {
    "joints": "joints",
    "guards": "safety clamps",
    "twin_clamps": "twin clamps",
    "plate": "the plate",
    "covered": "the cover of the hole",
    "locked_seats": "the retainer of the seat",
    "mle": "the MLE",
    "reel": "the reel",
    "spliced": "the splice",
    "union_turns": "turns of the union",
    "union_locked": "the lock of the union",
    "confirmed": "what is confirmed",
}
_COMPARED = ("offsets", "joints", "holds", "guards")
_FLAGS = tuple(one.name for one in fields(State) if one.name not in _COMPARED)
_DIGITS = 6  # micrometres: rounding of sums of heights, and nothing a rule looks at


def state_key(state: State) -> tuple[object, ...]:
    """A state as one hashable value; the order of holds and of clamps does not count.

    Heights are rounded to a micrometre.
    """
    return (
        frozenset((piece, round(at, _DIGITS)) for piece, at in state.offsets.items()),
        frozenset(state.joints.items()),
        _holds(state.holds),
        frozenset((one.holder, one.on, round(one.z_m, _DIGITS)) for one in state.guards),
        *_flags(state),
    )


def same_state(one: State, other: State) -> bool:
    """Whether two states are the same to every rule."""
    if one is other:
        return True
    return (
        _flags(one) == _flags(other)
        and one.joints == other.joints
        and len(one.holds) == len(other.holds)
        and one.offsets.keys() == other.offsets.keys()
        and state_key(one) == state_key(other)
    )


def _holds(holds: tuple[Hold, ...]) -> tuple[object, ...]:
    found = [
        (one.holder, one.on, round(one.z_m, _DIGITS), one.by, one.taut, one.gear, *_bounds(one))
        for one in holds
    ]
    return tuple(sorted(found))


def _bounds(hold: Hold) -> tuple[float, float]:
    least_n = -1.0 if hold.least_n is None else hold.least_n
    return least_n, -1.0 if hold.most_n is None else hold.most_n


def _flags(state: State) -> tuple[object, ...]:
    return tuple(getattr(state, name) for name in _FLAGS)


def differences(one: State, other: State) -> tuple[str, ...]:
    """What is different between two states, in a few words each."""
    found = [words for name, words in _WORDS.items() if getattr(one, name) != getattr(other, name)]
    if _carriers(one) != _carriers(other):
        found.append(f"{_named(_carriers(one))} carrying, not {_named(_carriers(other))}")
    elif _holds(one.holds) != _holds(other.holds):
        found.append("holders on the string")
    if state_key(one)[0] != state_key(other)[0]:
        found.append("heights, or pieces in the hole")
    return tuple(found)


def _carriers(state: State) -> frozenset[str]:
    return frozenset(one.holder for one in state.holds if one.taut)


def _named(ids: frozenset[str]) -> str:
    return " and ".join(sorted(ids)) or "nothing"
