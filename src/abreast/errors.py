"""What can go wrong for a user, as one small tree.

Every error carries one clear sentence (what is wrong and what to do), a short
code, and where it is: file, row, field, piece. The command line, the web page
and the log print the same facts from the same fields.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

__all__ = ["AbreastError", "InputError", "MissingInputError", "Where", "plain_sentence"]

_LONGEST_SENTENCE = 300
_LONGEST_WORD = 64
_ENDLESS = re.compile(rf"[^\s/]{{{_LONGEST_WORD + 1},}}")  # a slash: paths are shown whole


def plain_sentence(text: str) -> str:
    r"""A message as one line that can be read, whatever a file had in it.

    Signs that no screen shows are written as escapes; endless words and
    endless texts are cut, with an ellipsis where something is left out.

    Examples
    --------
    >>> plain_sentence("column 'a\x1bb' is not known")
    "column 'a\\x1bb' is not known"
    """
    shown = " ".join(text.split()) if "\n" in text or "\r" in text else text
    if not shown.isprintable():
        shown = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in shown)
    if len(shown) > _LONGEST_WORD:
        shown = _ENDLESS.sub(lambda found: f"{found[0][:40]}…{found[0][-12:]}", shown)
    if len(shown) > _LONGEST_SENTENCE:
        shown = shown[: _LONGEST_SENTENCE - 1].rstrip() + "…"
    return shown


@dataclass(frozen=True, slots=True)
class Where:
    """A place in the user's own files; rows count as a spreadsheet counts them, from 1."""

    file: str = ""
    row: int | None = None
    field: str = ""
    piece: str = ""

    def __str__(self) -> str:
        row = f"row {self.row}" if self.row is not None else ""
        return ", ".join(part for part in (self.file, row, self.field, self.piece) if part)


class AbreastError(Exception):
    """A fault a user can act on; the base of every error this program raises on purpose.

    Parameters
    ----------
    message : str
        One sentence: what is wrong and what to do about it.
    code : str
        Short fixed word for programs to test, for example ``bad-unit``.
    where : Where
        The file, row, field and piece, as far as they are known.
    """

    exit_status = 2

    def __init__(self, message: str, *, code: str = "error", where: Where | None = None) -> None:
        plain = plain_sentence(message)
        super().__init__(plain)
        self.message = plain
        self.code = code
        self.where = where or Where()

    def __str__(self) -> str:
        place = str(self.where)
        return f"{place}: {self.message}" if place else self.message

    def at(self, **where: object) -> AbreastError:
        """The same error with more of the place filled in; what is known already is kept."""
        known = {k: v for k, v in where.items() if not getattr(self.where, k)}
        self.where = replace(self.where, **known)  # type: ignore[arg-type]
        return self

    def as_dict(self) -> dict[str, object]:
        """The error as plain data for ``--json``."""
        return {
            "code": self.code,
            "message": self.message,
            "file": self.where.file,
            "row": self.where.row,
            "field": self.where.field,
            "piece": self.where.piece,
        }


class InputError(AbreastError):
    """Input that could not be used as it stands."""


class MissingInputError(AbreastError):
    """A computation needs a value that nobody has given: the check is then 'not checked'.

    Parameters
    ----------
    needs : str
        What is missing, in the user's words, for example ``rack.csv: drift of B04``.
    """

    def __init__(self, needs: str) -> None:
        super().__init__(f"not checked: needs {needs}", code="missing-input")
        self.needs = needs
