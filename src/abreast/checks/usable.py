"""May every piece be run where it is planned?"""

from __future__ import annotations

from collections.abc import Iterator

from abreast.checks.base import Check, Context, Verdict, not_checked, plural
from abreast.model import PremadeLift, RackItem, rack_item, tail_items

__all__ = ["USABLE"]

_Row = tuple[tuple[RackItem, str], ...]


def _places(context: Context) -> Iterator[tuple[str, _Row | PremadeLift | tuple[str, ...]]]:
    every = tuple(_used(context))
    bad = tuple(one for one in every if _faults(*one) or one[0].drift == "not done")
    for one in bad:
        yield one[0].id, (one,)
    good = tuple(one for one in every if one not in bad)
    if good:
        yield "all pieces" if not bad else "other pieces", good
    made_up = {lift.pieces: lift for lift in context.job.lifts}
    for pieces in context.choice.lifts or ():
        if len(pieces) > 1:
            name = "+".join(pieces)
            lift = made_up.get(pieces)
            yield f"lift {lift.id if lift else name}", lift if lift else pieces


def _used(context: Context) -> Iterator[tuple[RackItem, str]]:
    for piece in tail_items(context.job):
        if isinstance(piece, RackItem):
            yield piece, "tail"
    for name in context.choice.items:
        yield rack_item(context.job, name), "bypass"


def _faults(item: RackItem, part: str) -> list[str]:
    faults = []
    if item.status not in ("usable", "spare"):
        faults.append(f"is {item.status}: {item.status_reason}")
    if item.drift == "stopped":
        faults.append("stopped the drift")
    if item.usable_for not in (part, "both"):
        faults.append(f"is kept for the {item.usable_for}")
    return faults


def _judge(context: Context, row: _Row | PremadeLift | tuple[str, ...]) -> Verdict:
    if isinstance(row, PremadeLift):
        return _drifted(row)
    if isinstance(row[0], str):
        return not_checked(f"a row for {'+'.join(str(p) for p in row)} in the table of lifts")
    return _pieces(row)


def _pieces(row: _Row) -> Verdict:
    if len(row) == 1:
        item, part = row[0]
        faults = _faults(item, part)
        if faults:
            text = f"{item.id} {' and '.join(faults)}."
            return Verdict(status="exceeds", text=text, action="run another piece")
        if item.drift == "not done":
            return not_checked(f"the drift of {item.id} (not done: {item.drift_reason})")
    return Verdict(status="ok", text=f"{plural(len(row), 'piece')} usable, drift passed.")


def _drifted(lift: PremadeLift) -> Verdict:
    if lift.drift == "not done":
        return not_checked(f"the drift of lift {lift.id} after it was made up")
    passed = lift.drift == "passed"
    return Verdict(
        status="ok" if passed else "exceeds",
        text=f"Lift {lift.id}: drift {lift.drift} after make-up.",
        action="" if passed else "break it out and run other pieces",
    )


USABLE = Check(
    id="usable",
    question="May every piece be run where it is planned, drifted in running condition?",
    places=_places,
    judge=_judge,
    basis="status and drift in the rack table",
)
