"""Prove a procedure: from a file, from text, or made from a job; with mutants and repairs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from abreast.actions.prove_text import proof_text, state_lines
from abreast.actions.running import running_procedure
from abreast.errors import InputError, Where
from abreast.mechanics.ledger import RULES, Ledger, State
from abreast.model.procedure import Procedure
from abreast.procedure.mutants import Mutant, mutants
from abreast.procedure.prove import Proof, prove
from abreast.procedure.read import read_procedure, write_procedure
from abreast.procedure.repair import Repair, repairs

__all__ = ["ProofReport", "is_job", "prove_job", "prove_text"]

Progress = Callable[[str], None]


@dataclass(frozen=True)
class ProofReport:
    """A proof with what was found besides; it knows its words, its data and its exit status."""

    source: str
    procedure: Procedure
    proof: Proof
    repairs: tuple[Repair, ...] = ()
    mutants: tuple[Mutant, ...] | None = None

    @property
    def exit_status(self) -> int:
        """0 proved, also with something unrated; 1 refused."""
        return int(self.proof.fault is not None)

    @property
    def not_checked(self) -> int:
        """How many things that carry have no rating, or numbers that are missing."""
        return len(self.proof.unrated)

    def text(self) -> str:
        """The proof in words: the counterexample first, if there is one."""
        return proof_text(self.source, self.procedure, self.proof, self.repairs, self.mutants)

    def repaired(self) -> Procedure:
        """The procedure with all repairs; as it was when it needs none."""
        return self.repairs[-1].procedure if self.repairs else self.procedure

    def as_dict(self) -> dict[str, object]:
        """The report as plain data; loads in newtons, heights in metres."""
        proof = self.proof
        return {
            "source": self.source,
            "name": self.procedure.name,
            "outcome": proof.outcome,
            "steps": len(self.procedure.steps),
            "passed": len(proof.steps),
            "rests_on": list(proof.rests_on),
            "unrated": list(proof.unrated),
            "fault": self._fault(),
            "repairs": [
                {
                    "kind": one.kind,
                    "text": one.text,
                    "proved": one.whole,
                    "next_fault": one.next_fault,
                }
                for one in self.repairs
            ],
            "mutants": self._mutants(),
            "not_checked": self.not_checked,
            "exit_status": self.exit_status,
        }

    def _fault(self) -> dict[str, object] | None:
        fault = self.proof.fault
        if fault is None:
            return None
        return {
            "step": fault.step,
            "index": fault.index,
            "rule": fault.rule,
            "rule_text": RULES.get(fault.rule, ""),
            "text": fault.text,
            "cure": fault.cure,
            "before": state_lines(self.procedure, fault.before),
            "holds": _holds(self.procedure, fault.before),
        }

    def _mutants(self) -> dict[str, object] | None:
        if self.mutants is None:
            return None
        return {
            "counts": dict(Counter(one.result for one in self.mutants)),
            "list": [
                {
                    "kind": one.kind,
                    "step": one.step,
                    "before": one.before,
                    "result": one.result,
                    "at": one.at,
                    "rule": one.rule,
                    "text": one.text,
                }
                for one in self.mutants
            ],
        }


def _holds(procedure: Procedure, state: State) -> list[dict[str, object]]:
    if not state.holds:
        return []
    numbers = Ledger(procedure).numbers(state, state)
    return [
        {
            "holder": one.holder,
            "on": one.on,
            "by": one.by,
            "taut": one.taut,
            "least_n": one.low_n,
            "most_n": one.high_n,
            "rating_n": one.rating_n,
        }
        for one in numbers.holds
    ]


def is_job(source: str) -> bool:
    """Whether a name is that of a job: a folder or a workbook."""
    return source != "-" and (Path(source).is_dir() or source.lower().endswith(".xlsx"))


def prove_text(
    text: str,
    file: str = "",
    *,
    with_mutants: bool = False,
    pulling: bool = False,
    out: Path | None = None,
    progress: Progress | None = None,
) -> ProofReport:
    """Prove a procedure written as JSON.

    Parameters
    ----------
    text : str
        The procedure.
    file : str
        Its name, for messages.
    with_mutants : bool
        Run the mutants too, when it is proved.
    pulling : bool
        Make the pulling procedure of this run, and prove that instead.
    out : Path, optional
        Write the procedure there; with its repairs, when it was refused.
    progress : callable, optional
        Told in a few words what is being done.

    Raises
    ------
    InputError
        If the text is no procedure, or ``out`` can't be written.
    """
    _must_be_new(out)
    procedure = _wanted(read_procedure(text, file), pulling)
    return _report(file, procedure, with_mutants, out, progress)


def prove_job(
    job_path: Path,
    *,
    limit_s: float | None = None,
    with_mutants: bool = False,
    pulling: bool = False,
    out: Path | None = None,
    progress: Progress | None = None,
) -> ProofReport:
    """Space out a job, make its running procedure, and prove that.

    Parameters
    ----------
    job_path : Path
        Job folder or workbook.
    limit_s : float, optional
        Time for the space-out.
    with_mutants, pulling, out, progress
        As for :func:`prove_text`.

    Raises
    ------
    InputError
        If the job can't be used or has no space-out, or ``out`` can't be written.
    MissingInputError
        If the job lacks something that a procedure needs.
    """
    from abreast.jobfile import read_job
    from abreast.spaceout.assemble import assemble
    from abreast.spaceout.choose import choose

    _must_be_new(out)
    tell = progress or _nobody
    tell("reading the job")
    read = read_job(job_path)
    job = read.require_job()
    if read.is_blocked:
        message = "a cell that concerns the whole job looks wrong; `abreast check` names it"
        raise InputError(message, code="blocked", where=Where(file=str(job_path)))
    found = choose(job, limit_s=limit_s, progress=tell)
    if found.choice is None:
        message = "the job has no space-out, so it has no procedure; `abreast plan` tells why"
        raise InputError(message, code="no-space-out", where=Where(file=str(job_path)))
    tell("making the procedure")
    procedure = _wanted(running_procedure(job, assemble(job, found.choice)), pulling)
    return _report(str(job_path), procedure, with_mutants, out, progress)


def _wanted(procedure: Procedure, pulling: bool) -> Procedure:
    """The run, or the pull that takes it out again."""
    if not pulling:
        return procedure
    from abreast.procedure.dress import dress
    from abreast.procedure.pull import pull

    return dress(pull(procedure))


def _report(
    source: str,
    procedure: Procedure,
    with_mutants: bool,
    out: Path | None,
    progress: Progress | None,
) -> ProofReport:
    tell = progress or _nobody
    tell(f"proving {len(procedure.steps)} steps")
    proof = prove(procedure)
    mended: tuple[Repair, ...] = ()
    if proof.fault is not None:
        tell(f"refused at step {proof.fault.step}; looking for a repair")
        mended = repairs(procedure, proof)
    wants = with_mutants and proof.fault is None
    found = mutants(procedure, progress) if wants else None
    report = ProofReport(source, procedure, proof, mended, found)
    if out is not None:
        write_procedure(report.repaired(), out)
    return report


def _must_be_new(out: Path | None) -> None:
    if out is not None and out.exists():
        message = "is there already; give a new name"
        raise InputError(message, code="target", where=Where(file=str(out)))


def _nobody(_words: str) -> None:
    return
