"""The running procedure of a planned job: made, told in words, and its proof as a finding."""

from __future__ import annotations

from abreast.errors import AbreastError, MissingInputError
from abreast.model import Assembly, Finding, Job
from abreast.model.procedure import Procedure
from abreast.procedure.prove import Proof, prove

__all__ = ["procedure_files", "procedure_finding", "running_procedure"]

_QUESTION = "Does every step of the running procedure keep the rules of the hold ledger?"
_MOST_NEEDS = 6


def running_procedure(job: Job, assembly: Assembly) -> Procedure:
    """The procedure by the declared load path, with cautions, callers, signatures and records.

    Raises
    ------
    MissingInputError
        If the job lacks something that no procedure can be made without.
    """
    from abreast.procedure.dress import dress
    from abreast.procedure.generate import generate

    return dress(generate(job, assembly))


def procedure_finding(job: Job, assembly: Assembly) -> Finding:
    """The proof of the running procedure as the answer to one question; it never fails."""
    try:
        proof = prove(running_procedure(job, assembly))
    except MissingInputError as fault:
        return _finding("not checked", f"Not checked: needs {fault.needs}.", (fault.needs,))
    except AbreastError as fault:
        return _finding("not checked", f"Not checked: no procedure can be made: {fault.message}.")
    return _judged(job, proof)


def _judged(job: Job, proof: Proof) -> Finding:
    path = f"load path {job.load_path}"
    if proof.fault is not None:
        text = f"Refused at step {proof.fault.step} ({path}): {proof.fault.text}"
        cure = proof.fault.cure or "change the job or the procedure; abreast prove judges it"
        return _finding("exceeds", text, action=cure, where=f"step {proof.fault.step}")
    text = f"All {len(proof.steps)} steps are proved, {path}."
    if not proof.unrated:
        return _finding("ok", text)
    needs = proof.unrated[:_MOST_NEEDS]
    more = len(proof.unrated) - len(needs)
    listed = "; ".join(needs) + (f"; and {more} more" if more else "")
    return _finding("not checked", f"{text} Not checked: needs {listed}.", proof.unrated)


def _finding(
    status: str, text: str, needs: tuple[str, ...] = (), action: str = "", where: str = ""
) -> Finding:
    return Finding.model_validate(
        {
            "id": "procedure",
            "question": _QUESTION,
            "status": status,
            "text": text,
            "where": where,
            "basis": "rules of the hold ledger; ratings as the job states",
            "action": action or ("fill in what is missing, with its origin" if needs else ""),
            "needs": needs,
        }
    )


def procedure_files(job: Job, assembly: Assembly) -> dict[str, bytes | str]:
    """Running and pulling procedure as files; words in place of bytes tell why one is left out."""
    from abreast.procedure.dress import dress
    from abreast.procedure.pull import pull
    from abreast.procedure.read import procedure_text

    files: dict[str, bytes | str] = {}
    try:
        run = running_procedure(job, assembly)
        files["procedure.json"] = procedure_text(run).encode()
        files["pull_procedure.json"] = procedure_text(dress(pull(run))).encode()
    except MissingInputError as fault:
        files.setdefault("procedure.json", f"needs {fault.needs}")
        files.setdefault("pull_procedure.json", f"needs {fault.needs}")
    except AbreastError as fault:
        files.setdefault("procedure.json", fault.message)
        files.setdefault("pull_procedure.json", fault.message)
    return files
