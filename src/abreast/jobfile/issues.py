"""What reading a job found: errors, suspicions, notices, and what was read back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from abreast.errors import InputError, Where, plain_sentence
from abreast.model import Job

__all__ = ["Echo", "Issue", "ReadResult", "Severity", "one_for_each_cell"]

Severity = Literal["error", "suspicion", "notice"]
_SAYS_BLANK = {"blank", "blank-row", "no-format"}


@dataclass(frozen=True, slots=True)
class Issue:
    """One thing that is wrong, or looks wrong, in one place.

    Parameters
    ----------
    severity : {"error", "suspicion", "notice"}
        An error leaves no job. A suspicion blocks the piece, or the job when it
        names no piece, until the cell is corrected or accepted. A notice is
        only told.
    code : str
        Short fixed word for programs.
    message : str
        What is wrong or suspected.
    where : Where
        File, row, field and piece.
    proposal : str
        What to do.
    cell : str
        Address of the cell in a workbook, for example ``C5``.
    """

    severity: Severity
    code: str
    message: str
    where: Where
    proposal: str = ""
    cell: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "message", plain_sentence(self.message))
        object.__setattr__(self, "proposal", plain_sentence(self.proposal))

    def __str__(self) -> str:
        place = str(self.where) + (f" (cell {self.cell})" if self.cell else "")
        text = f"{place}: {self.message}" if place else self.message
        return f"{text}. {self.proposal}" if self.proposal else text

    def as_dict(self) -> dict[str, Any]:
        """The issue as plain data for ``--json``."""
        return {
            "severity": self.severity,
            "code": self.code,
            "message": self.message,
            "proposal": self.proposal,
            "file": self.where.file,
            "row": self.where.row,
            "field": self.where.field,
            "piece": self.where.piece,
            "cell": self.cell,
        }


def one_for_each_cell(issues: Sequence[Issue]) -> list[Issue]:
    """The issues without those that call a cell blank which was refused for another reason.

    A refused cell of a workbook is read as blank; the reason why it was refused
    keeps its place and is given the field and the piece.
    """
    refused = {(one.where.file, one.cell) for one in issues if one.cell and not _says_blank(one)}
    rows = {(one.where.file, one.where.row) for one in issues if one.cell and not _says_blank(one)}
    dropped = {
        (one.where.file, one.cell): one.where
        for one in issues
        if _says_blank(one) and one.cell and (one.where.file, one.cell) in refused
    }
    return [
        replace(one, where=dropped.get((one.where.file, one.cell), one.where))
        for one in issues
        if not _says_blank(one) or not _is_refused(one, refused, rows)
    ]


def _says_blank(issue: Issue) -> bool:
    return issue.code in _SAYS_BLANK


def _is_refused(
    issue: Issue, refused: set[tuple[str, str]], rows: set[tuple[str, int | None]]
) -> bool:
    if issue.cell:
        return (issue.where.file, issue.cell) in refused
    return issue.where.row is not None and (issue.where.file, issue.where.row) in rows


@dataclass(frozen=True, slots=True)
class Echo:
    """How a length was understood that was not written in the plain way of its column."""

    where: Where
    typed: str
    read: str

    def __str__(self) -> str:
        return f"{self.where}: {self.typed!r} read as {self.read}"


@dataclass(frozen=True)
class ReadResult:
    """A job as far as it could be read, and everything there is to say about it."""

    job: Job | None
    issues: tuple[Issue, ...] = ()
    echoes: tuple[Echo, ...] = field(default=())

    def of(self, severity: Severity) -> tuple[Issue, ...]:
        """The issues of one severity."""
        return tuple(one for one in self.issues if one.severity == severity)

    @property
    def errors(self) -> tuple[Issue, ...]:
        """What must be mended before there is a job."""
        return self.of("error")

    @property
    def suspicions(self) -> tuple[Issue, ...]:
        """What must be corrected or accepted."""
        return self.of("suspicion")

    @property
    def is_blocked(self) -> bool:
        """Whether the job as a whole may not be used."""
        return self.job is None or any(not one.where.piece for one in self.suspicions)

    def require_job(self) -> Job:
        """The job, if it may be used; single pieces may still be blocked.

        Raises
        ------
        InputError
            With the first thing to mend, and how many there are.
        """
        first = [*self.errors, *(one for one in self.suspicions if not one.where.piece)]
        if self.job is not None and not first:
            return self.job
        more = f" ({len(first) - 1} more)" if len(first) > 1 else ""
        worst = first[0]
        message = worst.message + (f". {worst.proposal}" if worst.proposal else "") + more
        raise InputError(message, code=worst.code, where=worst.where)
