"""Cautions and stop criteria: one table each, with the place where a line belongs.

Common practice, no source. Every caution leaves the last word to the maker's
manual, the rules of the site, or licensed people.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from abreast.model import floor_actions as fa
from abreast.model.procedure import Due, FloorJoint, Procedure

__all__ = ["CAUTIONS", "STOPS", "Facts", "Line", "electrical"]


@dataclass(frozen=True, slots=True)
class Facts:
    """What the tables look at beside the action itself."""

    procedure: Procedure
    joints: dict[str, FloorJoint]
    kinds: dict[str, str]
    """Kind of each holder."""
    strings: dict[str, str]
    """String of each piece."""
    dues: dict[str, Due]
    there: frozenset[str] = frozenset()
    """Pieces off the rack."""
    mle: bool = False
    """The MLE is connected."""
    locked: bool = False
    """The union is locked."""

    @property
    def twin(self) -> bool:
        """Whether ESP and bypass stand side by side."""
        return {"esp", "bypass"} <= {self.strings.get(one, "") for one in self.there}

    @property
    def pulling(self) -> bool:
        """Whether the string comes out."""
        return self.procedure.purpose == "pull"


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a table.

    ``each``: it stands at every action it applies to; else at the first of each phase.
    """

    key: str
    text: str
    applies: Callable[[Facts, fa.Action], bool]
    each: bool = True


def _is(*kinds: type[fa.Action]) -> Callable[[Facts, fa.Action], bool]:
    return lambda _, do: isinstance(do, kinds)


def _sorts(facts: Facts, do: fa.Action) -> set[str]:
    """Kinds of the joints that an action is about."""
    about = (*getattr(do, "joints", ()), getattr(do, "joint", ""))
    return {facts.joints[one].sort for one in about if one in facts.joints}


def electrical(facts: Facts, do: fa.Action) -> bool:
    """Whether something is confirmed that is measured with voltage."""
    due = facts.dues.get(do.due) if isinstance(do, fa.Confirm) else None
    return due is not None and (due.sort == "reading" or "insulation" in due.text)


def _due(sort: str) -> Callable[[Facts, fa.Action], bool]:
    def applies(facts: Facts, do: fa.Action) -> bool:
        due = facts.dues.get(do.due) if isinstance(do, fa.Confirm) else None
        return due is not None and due.sort == sort

    return applies


def _holder(facts: Facts, do: fa.Action) -> str:
    return facts.kinds.get(getattr(do, "holder", ""), "")


def _lifting_clamp(facts: Facts, do: fa.Action) -> bool:
    return isinstance(do, fa.Fit) and _holder(facts, do) == "lifting clamp"


def _signed(facts: Facts, do: fa.Action) -> bool:
    if not isinstance(do, fa.Stab):
        return False
    return any(facts.joints[one].signed for one in do.joints if one in facts.joints)


def _esp_lift(facts: Facts, do: fa.Action) -> bool:
    return isinstance(do, fa.PickUp) and any(facts.strings.get(p) == "esp" for p in do.pieces)


def _moves(do: fa.Action) -> bool:
    return isinstance(do, fa.Hoist | fa.Lower)


def _hands_between(facts: Facts, do: fa.Action) -> bool:
    hands = fa.Stab | fa.PullApart | fa.FitTwinClamp | fa.RemoveTwinClamp | fa.ConnectMle
    return facts.twin and isinstance(do, hands | fa.DisconnectMle)


def _tools(facts: Facts, do: fa.Action) -> bool:
    if isinstance(do, fa.MakeUp | fa.BreakOut):
        return bool(_sorts(facts, do) & {"flange", "swivel nut", "seat"})
    if isinstance(do, fa.Cover):
        return do.on
    small = fa.FitTwinClamp | fa.RemoveTwinClamp | fa.LockSeat | fa.FreeSeat | fa.LockUnion
    return isinstance(do, small | fa.UnlockUnion)


def _opened(facts: Facts, do: fa.Action) -> bool:
    """A holder that could be thought empty and is not."""
    if isinstance(do, fa.Remove):
        return _holder(facts, do) != "lifting sub"
    return isinstance(do, fa.PullSlips | fa.Unlatch)


CAUTIONS: tuple[Line, ...] = (
    Line(
        "suspended load",
        "Suspended load: nobody under it or between it and the string; tag lines, no hands on the"
        " load, one signaller, as the site's lift plan says.",
        _is(fa.PickUp, fa.LayDown, fa.PullApart),
    ),
    Line(
        "wind",
        "Lifts stop at the limits of wind, sea and light that the local rules set.",
        _is(fa.PickUp, fa.LayDown),
        each=False,
    ),
    Line(
        "esp handling",
        "Never lift or steady the ESP by its cable; its lower end is tailed in, and it is held"
        " where the maker's manual allows.",
        _esp_lift,
    ),
    Line(
        "clamp match",
        "A lifting clamp holds one neck only: match insert and neck on the piece itself; bolts and"
        " pin as the maker's manual says, certificate in date.",
        _lifting_clamp,
    ),
    Line(
        "stand-by clamp",
        "The ESP only stands on its seat: the clamp is a stand-by and is never loaded, unless the"
        " maker's manual allows it.",
        lambda facts, do: facts.procedure.load_path == "bypass-held" and _lifting_clamp(facts, do),
    ),
    Line(
        "pinch point",
        "Pinch point between the strings: no hand in the gap before both are held, the brake is"
        " set and the caller says so, as the site's rules ask.",
        _hands_between,
    ),
    Line(
        "moving strings",
        "Pinch point: hands and cable clear of the gap between the strings while they move; either"
        " watcher may stop the job under the site's rules.",
        lambda facts, do: facts.twin and _moves(do),
        each=False,
    ),
    Line(
        "tongs",
        "Tongs and wrenches swing: stand clear of the arc, back-up on, as the tool maker's manual"
        " says.",
        lambda facts, do: (
            isinstance(do, fa.MakeUp | fa.BreakOut)
            and bool(_sorts(facts, do) & {"thread", "swivel nut"})
        ),
        each=False,
    ),
    Line(
        "whole weight",
        "One string takes the weight of both only if clamp, sub, thread and gear are rated for the"
        " whole; the certificates of the site count, not this page.",
        lambda facts, do: isinstance(do, fa.Take) and facts.twin,
    ),
    Line(
        "opening a holder",
        "Nothing is opened before indicator and eyes both say that it is empty and something else"
        " holds; where they differ, stop and follow the site's rules.",
        _opened,
    ),
    Line(
        "slips",
        "Slips alone do not hold flush or short pipe: safety clamp on before the elevator is"
        " opened; the limits in the slips maker's manual apply.",
        _is(fa.SetSlips),
    ),
    Line(
        "two lines",
        "How two lines share the load is not known until it is measured; a load cell or the check"
        " that the site's lift plan names decides.",
        lambda _, do: isinstance(do, fa.StateTension) or getattr(do, "lines", ())[1:] != (),
        each=False,
    ),
    Line(
        "open hole",
        "Open hole at the floor: cover or guard it as the site's rules ask; nobody steps over it.",
        _is(fa.SetPlate),
    ),
    Line(
        "dropped objects",
        "Dropped objects: hole covered, tools on lanyards, bolts counted out and in; local rules"
        " for work over an open hole apply.",
        _tools,
        each=False,
    ),
    Line(
        "open flange",
        "No open flange or pothead in rain, sand or spray, or beyond the motion limit of the"
        " vessel; caps stay on until the maker's manual asks for them off.",
        lambda facts, do: (
            (isinstance(do, fa.Stab | fa.PullApart) and "flange" in _sorts(facts, do))
            or isinstance(do, fa.ConnectMle)
        ),
        each=False,
    ),
    Line(
        "trapped pressure",
        "Trapped pressure: gas, oil and fluid may be shut in behind plugs, caps and seals; vent as"
        " the maker's manual says and stand aside before it is loosened.",
        _is(fa.BreakOut, fa.ConnectMle, fa.DisconnectMle),
        each=False,
    ),
    Line(
        "recovered parts",
        "Recovered parts may carry oil, gas, acid or scale: gas test and gloves, and the checks"
        " that local rules ask for.",
        lambda facts, do: facts.pulling and isinstance(do, fa.BreakOut | fa.LayDown),
        each=False,
    ),
    Line(
        "live cable",
        "Treat the cable as live: a pump that turns makes voltage. Isolated, locked out and proved"
        " dead by licensed people.",
        _is(fa.ConnectMle, fa.DisconnectMle, fa.Splice),
    ),
    Line(
        "high voltage",
        "High voltage: permit, barrier and gas test first; other conductors earthed; discharge"
        " after the test and leave earthed. Licensed people only, within the maker's limits.",
        electrical,
    ),
    Line(
        "gauge",
        "An insulation test can destroy a gauge on the motor or be spoilt by it: test only as the"
        " gauge maker's manual allows.",
        electrical,
    ),
    Line(
        "union",
        "Part of a turn of the union moves a large load: count from the snug mark only, and follow"
        " the maker's manual.",
        _is(fa.TurnUnion, fa.UnlockUnion),
    ),
    Line(
        "rams",
        "Rams do not seal on two strings with a cable: crossover, valve and everybody's task stand"
        " ready as the site's well-control plan says.",
        lambda facts, do: facts.twin and _moves(do),
        each=False,
    ),
)
"""What is read out before an action."""

STOPS: tuple[Line, ...] = (
    Line(
        "list",
        "id, serial or length read off the piece is not that of the list",
        lambda facts, do: isinstance(do, fa.PickUp) and not facts.pulling,
    ),
    Line("insert", "insert and neck do not match", _lifting_clamp),
    Line(
        "indicator",
        "the indicator differs from the computed load by more than the job allows",
        lambda _, do: isinstance(do, fa.Take | fa.SlackOff) or _moves(do),
    ),
    Line(
        "not empty",
        "anything says that it still carries",
        _opened,
    ),
    Line(
        "gap",
        "the gap between the strings closes, or anything touches",
        lambda facts, do: facts.twin and (_moves(do) or isinstance(do, fa.Stab)),
    ),
    Line(
        "cable", "the cable is pulled, or the reel lags", lambda facts, do: facts.mle and _moves(do)
    ),
    Line("mark", "the marks are not in line", _signed),
    Line(
        "torque",
        "torque is outside its window, or its shape or turns are not as usual",
        lambda facts, do: (
            isinstance(do, fa.MakeUp)
            and bool(_sorts(facts, do) & {"thread", "swivel nut", "flange"})
        ),
    ),
    Line("stuck", "it does not come loose at its usual torque", _is(fa.BreakOut)),
    Line("flat", "it does not stand flat all round", _is(fa.Land)),
    Line("slips", "the slips sit uneven, or the pipe creeps", _is(fa.SetSlips)),
    Line(
        "seat", "the seat is not tight all round, or its retainer does not lock", _is(fa.LockSeat)
    ),
    Line("tension", "a line is slack, or its load cannot be stated", _is(fa.StateTension)),
    Line(
        "reading",
        "a reading falls against the one before, or the phases differ by more than the job allows",
        electrical,
    ),
    Line(
        "measured",
        "measured and computed differ by more than the job allows: find the wrong number first",
        _due("measurement"),
    ),
    Line("count", "counts out and in differ", _due("count")),
    Line(
        "union",
        "the union comes to the end of its stroke, or its mark moves",
        _is(fa.SnugUnion, fa.TurnUnion, fa.LockUnion),
    ),
)
"""When to stop."""
