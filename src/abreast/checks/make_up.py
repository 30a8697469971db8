"""Is the make-up torque of every connection known?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from abreast.checks.base import Check, Context, Verdict, not_checked, plural
from abreast.checks.connections import matings
from abreast.model import Quantity, Thread, esp_string

__all__ = ["MAKE_UP"]


@dataclass(frozen=True, slots=True)
class _Torques:
    """Torques that must be known together; a torque that does not apply is none."""

    torques: tuple[Quantity, ...]
    thread: Thread | None = None


def _places(context: Context) -> Iterator[tuple[str, _Torques]]:
    job = context.job
    used = {m.box.thread for m in matings(context) if m.box is not None and m.box.thread}
    threads = {thread.id: thread for thread in job.threads}
    for name in sorted(used & threads.keys()):
        one = threads[name]
        torques = (one.torque_min_nm, one.torque_opt_nm, one.torque_max_nm)
        yield f"thread {name}", _Torques(torques, one)
    joints = [p.upper_joint_torque_nm for p in esp_string(job) if not p.workshop_joint_above]
    yield "ESP joints", _Torques(tuple(joints))
    frame = (
        job.ytool.esp_leg_torque_nm,
        job.ytool.bypass_leg_torque_nm,
        job.union.torque_nm,
        job.union.lock_torque_nm,
    )
    yield "Y-tool and union", _Torques(frame)
    if job.clamps:
        yield "twin clamp bolts", _Torques(tuple(c.bolt_torque_nm for c in job.clamps))
    unnamed = (
        used - threads.keys() - {item.lower_end.thread for item in job.upper if item.lower_end}
    )
    for name in sorted(unnamed):
        yield f"thread {name}", _Torques(())


def _judge(context: Context, row: _Torques) -> Verdict:
    wanted = [one for one in row.torques if one.state != "not applicable"]
    missing = [one.label or "a make-up torque" for one in wanted if not one.is_given]
    if missing or not row.torques:
        return not_checked(*(missing or ["this thread in the table of threads"]))
    if row.thread is not None:
        return _window(context, row.thread)
    given = sorted({one.si for one in wanted})
    text = ", ".join(context.torque(torque) for torque in given)
    return Verdict(status="ok", text=f"{plural(len(wanted), 'torque')} on file: {text}.")


def _window(context: Context, thread: Thread) -> Verdict:
    low, best, high = (
        one.si for one in (thread.torque_min_nm, thread.torque_opt_nm, thread.torque_max_nm)
    )
    text = f"{context.torque(low)} / {context.torque(best)} / {context.torque(high)}"
    if low <= best <= high:
        return Verdict(status="ok", text=f"Least, wanted, greatest: {text}.")
    return Verdict(
        status="exceeds",
        text=f"Least, wanted, greatest are not in order: {text}.",
        action="correct the torques of this thread",
    )


MAKE_UP = Check(
    id="make-up-torque",
    question="Is the make-up torque of every connection known?",
    places=_places,
    judge=_judge,
    basis="torques as stated in the tables",
)
