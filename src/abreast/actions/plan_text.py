"""The summary of a plan: one screen of whole sentences, about 45 lines of 100 signs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from abreast.actions.plan_well import well_topics
from abreast.actions.report import (
    WIDTH,
    columns,
    counted,
    finding_counts,
    first_blocks,
    whole,
)
from abreast.documents import (
    attention,
    blocking_words,
    brief,
    by_check,
    by_reason,
    missing,
    moves_seat,
)
from abreast.mechanics.down_hole import DownHole
from abreast.model import Assembly, FallBack, Finding, Job, LandingState, Plan, seat_range
from abreast.units import Dimension, display_unit, feet_inches, figure

__all__ = ["plan_text"]

_SCREEN = 45
_RUN_LINES, _FALL_BACK_LINES, _REASON_LINES, _LEFT_OUT_LINES = 10, 4, 12, 6
_LEAST_FINDINGS = 4
_WIDEST_CELL = 40


def plan_text(
    job: Job,
    plan: Plan,
    dropped: dict[str, str],
    out: str,
    files: Sequence[str],
    left_out: Mapping[str, str] | None = None,
    well: DownHole | None = None,
) -> str:
    """The summary; nothing in it is cut off, long lists end with their rest counted.

    Parameters
    ----------
    job : Job
        The job.
    plan : Plan
        What came of it.
    dropped : dict
        Why each rack piece that was no candidate was none.
    out, files : str and sequence of str
        Where the pack is, and what is in it.
    left_out : mapping, optional
        Why each file that could not be made was not.
    well : DownHole, optional
        What was worked out of the string in its well.
    """
    head, foot = list(_head(job, plan)), list(_foot(job, out, files, left_out or {}))
    if plan.choice is None or plan.assembly is None:
        body = list(_nothing(plan, dropped))
    else:
        body = _something(job, plan, plan.assembly, well, len(head) + len(foot))
    lines = (part for line in (*head, *body, *foot) for part in _fitted(line))
    return "\n".join(lines)


def _fitted(line: str) -> list[str]:
    """The line; where it is too long, or is none, its words on several."""
    return [line] if len(line) <= WIDTH and "\n" not in line else whole(line, "", "    ")


def _head(job: Job, plan: Plan) -> list[str]:
    state = "DRAFT: not approved" if job.revision.is_draft else "approved"
    verdict = {
        "optimal": "SPACE-OUT FOUND.",
        "stopped": "STOPPED BEFORE THE PROOF.",
        "infeasible": "NO SPACE-OUT.",
        "blocked": "NOT PLANNED.",
    }[plan.status]
    over = sum(one.status == "exceeds" for one in plan.findings)
    limits = "a limit is" if over == 1 else f"{over} limits are"
    stop = [f"DO NOT RUN IT SO: {limits} exceeded, see EXCEEDS below."] if over else []
    return [
        *whole(
            f"{job.name}, revision {job.revision.number}, {state}; fingerprint {plan.fingerprint}"
        ),
        *stop,
        *whole(f"{verdict} {plan.proof}", "", ""),
    ]


# --- a space-out --------------------------------------------------------------------


def _something(
    job: Job, plan: Plan, assembly: Assembly, well: DownHole | None, taken: int
) -> list[str]:
    """The body of a plan with a space-out; its list of findings gets the lines that are left."""
    string, losses = list(_string(job, plan, assembly)), list(_losses(plan))
    told: set[str] = set()
    for topic in well_topics(job, plan.findings, well):
        string += whole(topic.text)
        told |= topic.ids
    room = _SCREEN - taken - len(string) - len(losses)
    return [*string, *_checks(job, plan.findings, told, room), *losses]


def _string(job: Job, plan: Plan, assembly: Assembly) -> Iterator[str]:
    unit = display_unit(Dimension.LENGTH, job.units)
    yield f"Run in this order, bottom up; effective lengths in {unit}:"
    rows = [_fitted(line) for line in _running(job, assembly)]
    yield from first_blocks(rows, _RUN_LINES, "tally.txt")
    yield from _closing(job, assembly)
    for one in plan.findings:
        if one.id == "procedure":
            yield from whole(f"Running procedure: {one.text}")


def _length(job: Job, length_m: float) -> str:
    return figure(length_m, Dimension.LENGTH, job.units)


def _running(job: Job, assembly: Assembly) -> list[str]:
    passed = job.in_well.landings_passed
    rows = [
        _landing(job, assembly, landing, done=number < passed)
        for number, landing in enumerate(assembly.landings)
    ]
    added = {name for landing in assembly.landings for name in landing.added}
    pipe = [p for p in assembly.side("bypass") if p.make_up_loss_m is not None]
    tail = {piece.id for piece in job.tail}
    last = [p.id for p in pipe if p.id not in added | tail]
    if last:
        rows.append(("close", _pieces(job, assembly, last), "after the last landing"))
    return columns(rows, most=_WIDEST_CELL)


def _landing(
    job: Job, assembly: Assembly, landing: LandingState, *, done: bool
) -> tuple[str, str, str]:
    low, high = (_length(job, end) for end in landing.window_m)
    above = _length(job, landing.above_plate_m)
    return (
        f"  {landing.id} {landing.piece}",
        _pieces(job, assembly, landing.added),
        "landing passed" if done else f"then top {above} above plate ({low} to {high})",
    )


def _pieces(job: Job, assembly: Assembly, names: Sequence[str]) -> str:
    """Pieces in order, those of one lift joined by a plus."""
    parts: list[str] = []
    lift = None
    for name in names:
        piece = assembly.piece(name)
        run = " (run)" if name in job.in_well.pieces else ""
        text = f"{name} {_length(job, piece.effective_m)}{run}"
        if parts and lift and piece.lift == lift:
            parts[-1] += f" + {text}"
        else:
            parts.append(text)
        lift = piece.lift
    return ", ".join(parts) or "no pipe"


def _closing(job: Job, assembly: Assembly) -> Iterator[str]:
    unit = display_unit(Dimension.LENGTH, job.units)
    union, seat = assembly.union, "stick-down" if job.is_top_hung else "seat height"
    inches = f" ({feet_inches(assembly.seat_m)})" if unit == "ft" else ""
    at = f"{seat} {_length(job, assembly.seat_m)} {unit}{inches}"
    if union is None:
        yield f"Union not set; {at}"
        return
    face_m = assembly.esp_leg_m - union.bottom_m
    yield (
        f"Union {_length(job, union.length_m)} {unit}; stroke left {_length(job, union.to_close_m)}"
        f" to closed, {_length(job, union.to_open_m)} to open; {at}"
    )
    allowed = seat_range(job)
    if allowed.locked_m is None and abs(assembly.seat_m - allowed.planned_m) > 1e-6:
        yield f"SET ANEW: the job had planned {seat} {_length(job, allowed.planned_m)} {unit}"
    yield (
        f"Tape before the Y-tool goes on: ESP face {_length(job, abs(face_m))} {unit}"
        f" {'above' if face_m >= 0 else 'below'} the bypass top"
    )


# --- checks -------------------------------------------------------------------------


def _checks(job: Job, findings: Sequence[Finding], told: set[str], room: int) -> Iterator[str]:
    """How many of each, then what needs attention and was not told before."""
    counts = [f"{number} {name}" for name, number in finding_counts(findings).items()]
    text = f"Checks: {', '.join(counts)}"
    yield text if " 0 exceeds" in text else text.replace("exceeds", "EXCEED A LIMIT")
    limits, facts = attention(findings)
    rated = [one for one in findings if one.status == "ok" and one.utilisation is not None]
    shown = [_finding(job, one) for one in limits or rated[:1] if one.id not in told]
    shown += [_standing(job, group) for group in by_check(facts)]
    open_ = [one for one in findings if one.status == "not checked"]
    last = list(_open(open_, told))
    most = max(_LEAST_FINDINGS, room - 1 - len(last))
    yield from first_blocks(shown, most, "findings.csv")
    yield from last


def _open(open_: Sequence[Finding], told: set[str]) -> Iterator[str]:
    """How many answers are missing, and the gravest of those that were not told before."""
    new = [one for one in open_ if one.id not in told]
    if open_:
        what = "first" if len(new) == len(open_) else "besides those above"
        rest = f", {what}: {missing(new[0])}" if new else ", told above"
        yield from whole(f"{len(open_)} not checked{rest}", "  ", "    ")


def _finding(job: Job, finding: Finding) -> list[str]:
    used = "" if finding.utilisation is None else f" {finding.utilisation:.1%}"
    mark = "EXCEEDS" if finding.status == "exceeds" else finding.status
    return whole(f"{mark}{used}: {brief(finding, job.units)}", "  ", "    ")


def _standing(job: Job, facts: Sequence[Finding]) -> list[str]:
    """Facts of one check together: there is no limit to compare them by."""
    if len(facts) == 1:
        return _finding(job, facts[0])
    places = ", ".join(one.where for one in facts)
    return whole(f"near limit at {places}: {facts[0].question}", "  ", "    ")


# --- losses -------------------------------------------------------------------------


def _losses(plan: Plan) -> Iterator[str]:
    if plan.irreplaceable:
        yield from whole(f"NOTHING CLOSES WITHOUT: {', '.join(plan.irreplaceable)}")
    elif plan.fall_backs:
        yield "If a piece is rejected (every piece can be replaced):"
    seat_m = plan.choice.seat_m if plan.choice is not None else 0.0
    blocks = [whole(_fall_back(one, seat_m), "  ", "    ") for one in plan.fall_backs]
    yield from first_blocks(blocks, _FALL_BACK_LINES, "fallbacks.txt")


def _fall_back(one: FallBack, seat_m: float) -> str:
    if one.choice is None:
        cures = f"; would help: {'; '.join(one.cures)}" if one.cures else ""
        return f"without {one.rejected}: nothing closes{cures}"
    new = ", ".join(one.changed) or "the same pieces in another order"
    seat = "; MOVES THE SEAT" if moves_seat(one.choice, seat_m) else ""
    return f"without {one.rejected}: run {' '.join(one.choice.items)} (new: {new}{seat})"


def _nothing(plan: Plan, dropped: dict[str, str]) -> Iterator[str]:
    for title, reasons in (
        ("In the way:", blocking_words(plan)),
        ("What would help, each by itself:", plan.cures),
        ("Not used from the rack:", by_reason(dropped)),
    ):
        if reasons:
            yield title
            blocks = [whole(one, "  ", "    ") for one in reasons]
            yield from first_blocks(blocks, _REASON_LINES, "fallbacks.txt")


# --- what stands at the end ---------------------------------------------------------


def _foot(job: Job, out: str, files: Sequence[str], left_out: Mapping[str, str]) -> Iterator[str]:
    accepted = sum(one.accepts for one in job.corrections)
    corrected = len(job.corrections) - accepted
    yield (
        f"Corrections: {counted(corrected, 'cell')} corrected, {accepted} accepted as"
        f" {'it stands' if accepted == 1 else 'they stand'}"
    )
    barred = list(dict.fromkeys(one.piece for one in job.suspicions if one.piece))
    if barred:
        yield from whole(f"Barred by open suspicions, see abreast check: {', '.join(barred)}")
    yield f"Pack: {out} ({counted(len(files), 'file')}, index.txt lists them)"
    yield from first_blocks(_not_written(left_out), _LEFT_OUT_LINES, "index.txt")
    yield "The program advises, people decide: docs/cautions.md"


def _not_written(left_out: Mapping[str, str]) -> list[list[str]]:
    """A sentence for each reason, with the files it cost; the first of them leads."""
    by_why: dict[str, list[str]] = {}
    for name, why in left_out.items():
        by_why.setdefault(why, []).append(name)
    return [whole(f"Not written: {names[0]}{_more(names)}: {why}") for why, names in by_why.items()]


def _more(names: Sequence[str]) -> str:
    return f" and {len(names) - 1} more" if len(names) > 1 else ""
