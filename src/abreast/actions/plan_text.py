"""The summary of a plan: one screen, at most 40 lines of 100 signs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from abreast.actions.report import clip, columns, counted, finding_counts, first_lines, wrap
from abreast.documents import attention, blocking_words, by_check, by_reason, moves_seat
from abreast.model import Assembly, FallBack, Finding, Job, LandingState, Plan, seat_range
from abreast.units import Dimension, display_unit, feet_inches, figure

__all__ = ["plan_text"]

_RUN_LINES, _FINDING_LINES, _FALL_BACK_LINES, _REASON_LINES = 10, 6, 4, 9
_LEFT_OUT_LINES = 4
# Checks of each topic, by the beginning of their names, and the answer that is shown; blank: the
# one nearest to its limit.
_IN_THE_WELL = {
    "Way down": (("passage", "dogleg", "rigid-passage"), ""),
    "Set there": (("setting-depth",), "setting-depth:other depths"),
    "Hook load": (("hook-load",), "hook-load:picking up"),
    "Tools": (("tool-passage", "smallest-bore"), "smallest-bore"),
}


def plan_text(
    job: Job,
    plan: Plan,
    dropped: dict[str, str],
    out: str,
    files: Sequence[str],
    left_out: Mapping[str, str] | None = None,
) -> str:
    """The summary.

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
    """
    body = (
        _nothing(plan, dropped)
        if plan.choice is None or plan.assembly is None
        else _something(job, plan, plan.assembly)
    )
    lines = [*_head(job, plan), *body, *_foot(job, out, files, left_out or {})]
    return "\n".join(clip(line) for line in lines)


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
        clip(f"{job.name}, revision {job.revision.number}, {state}", 70)
        + f"; fingerprint {plan.fingerprint}",
        *stop,
        *wrap(f"{verdict} {plan.proof}", 3),
    ]


# --- a space-out --------------------------------------------------------------------


def _something(job: Job, plan: Plan, assembly: Assembly) -> Iterator[str]:
    unit = display_unit(Dimension.LENGTH, job.units)
    yield f"Run in this order, bottom up; effective lengths in {unit}:"
    yield from first_lines(_running(job, assembly), _RUN_LINES, "tally.txt")
    yield from _closing(job, assembly)
    yield from _procedure(plan.findings)
    yield from _in_the_well(plan.findings)
    yield from _checks(plan.findings)
    yield from _losses(plan)


def _procedure(findings: Sequence[Finding]) -> Iterator[str]:
    for one in findings:
        if one.id == "procedure":
            yield from wrap(f"Running procedure: {one.text}", 2, "", "  ")


def _in_the_well(findings: Sequence[Finding]) -> Iterator[str]:
    """One line for each topic: what came of its questions, and the words of one of them."""
    for topic, (checks, told) in _IN_THE_WELL.items():
        asked = [one for one in findings if one.id.split(":")[0].startswith(checks)]
        if not asked:
            continue
        shown = [one for one in asked if told and one.id.startswith(told)]
        over = [one for one in asked if one.status == "exceeds"]
        first = next(iter((*over, *shown)), None) or max(
            asked, key=lambda one: one.utilisation or 0.0
        )
        counts = finding_counts(asked)
        states = ", ".join(f"{counts[one]} {one}" for one in counts if counts[one])
        yield clip(f"{topic} ({states}): {first.text}")


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
    return columns(rows)


def _landing(
    job: Job, assembly: Assembly, landing: LandingState, *, done: bool
) -> tuple[str, str, str]:
    low, high = (_length(job, end) for end in landing.window_m)
    above = _length(job, landing.above_plate_m)
    return (
        clip(f"  {landing.id} {landing.piece}", 20),
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
    return clip(", ".join(parts) or "no pipe", 40)


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


def _checks(findings: Sequence[Finding]) -> Iterator[str]:
    counts = [f"{number} {name}" for name, number in finding_counts(findings).items()]
    text = f"Checks: {', '.join(counts)}"
    yield text if " 0 exceeds" in text else text.replace("exceeds", "EXCEED A LIMIT")
    limits, facts = attention(findings)
    rated = [one for one in findings if one.status == "ok" and one.utilisation is not None]
    shown = [_finding(one) for one in limits or rated[:1]]
    shown += [_standing(group) for group in by_check(facts)]
    yield from first_lines(shown, _FINDING_LINES, "findings.csv")
    missing = [one for one in findings if one.status == "not checked"]
    if missing:
        text = f"{len(missing)} not checked, first: {_missing(missing[0])}"
        yield from wrap(text, 2, "  ", "    ")


def _finding(finding: Finding) -> str:
    used = "" if finding.utilisation is None else f" {finding.utilisation:.1%}"
    mark = "EXCEEDS" if finding.status == "exceeds" else finding.status
    return f"  {mark}{used}: {finding.text}"


def _standing(facts: Sequence[Finding]) -> str:
    """Facts of one check in a line: there is no limit to compare them by."""
    if len(facts) == 1:
        return _finding(facts[0])
    places = ", ".join(one.where for one in facts)
    return f"  near limit at {places}: {facts[0].question}"


def _missing(finding: Finding) -> str:
    where = f"{finding.where}: " if finding.where else ""
    return f"{where}needs {'; '.join(finding.needs)}" if finding.needs else finding.text


# --- losses -------------------------------------------------------------------------


def _losses(plan: Plan) -> Iterator[str]:
    if plan.irreplaceable:
        yield clip(f"NOTHING CLOSES WITHOUT: {', '.join(plan.irreplaceable)}")
    elif plan.fall_backs:
        yield "If a piece is rejected (every piece can be replaced):"
    seat_m = plan.choice.seat_m if plan.choice is not None else 0.0
    lines = [_fall_back(one, seat_m) for one in plan.fall_backs]
    yield from first_lines(lines, _FALL_BACK_LINES, "fallbacks.txt")


def _fall_back(one: FallBack, seat_m: float) -> str:
    if one.choice is None:
        cures = f"; would help: {'; '.join(one.cures)}" if one.cures else ""
        return f"  without {one.rejected}: nothing closes{cures}"
    new = ", ".join(one.changed) or "the same pieces in another order"
    seat = "; MOVES THE SEAT" if moves_seat(one.choice, seat_m) else ""
    return f"  without {one.rejected}: run {' '.join(one.choice.items)} (new: {new}{seat})"


def _nothing(plan: Plan, dropped: dict[str, str]) -> Iterator[str]:
    for title, reasons in (
        ("In the way:", blocking_words(plan)),
        ("What would help, each by itself:", plan.cures),
        ("Not used from the rack:", by_reason(dropped)),
    ):
        if reasons:
            yield title
            yield from first_lines([f"  {one}" for one in reasons], _REASON_LINES, "fallbacks.txt")


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
        yield f"Barred by open suspicions, see abreast check: {', '.join(barred)}"
    yield f"Pack: {out} ({counted(len(files), 'file')}, index.txt lists them)"
    yield from first_lines(_not_written(left_out), _LEFT_OUT_LINES, "index.txt")
    yield "The program advises, people decide: docs/cautions.md"


def _not_written(left_out: Mapping[str, str]) -> list[str]:
    """A sentence for each reason, with the files it cost; the first of them leads."""
    by_why: dict[str, list[str]] = {}
    for name, why in left_out.items():
        by_why.setdefault(why, []).append(name)
    lines = []
    for why, names in by_why.items():
        more = f" and {len(names) - 1} more" if len(names) > 1 else ""
        lines += wrap(f"Not written: {names[0]}{more}: {why}", 2, "", "  ")
    return lines
