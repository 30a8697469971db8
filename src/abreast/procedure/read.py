"""Procedures as files: JSON in with one sentence for each fault, stable JSON out."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from abreast.errors import InputError, Where, plain_sentence
from abreast.model.procedure import Procedure

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["faults_of_text", "procedure_text", "read_procedure", "write_procedure"]

_MOST_BYTES = 20_000_000
_MOST_ROWS = 5_000
_DEEPEST = 12
_LONGEST_TEXT = 10_000
_LARGEST = 1e12


def read_procedure(source: Path | str, file: str = "") -> Procedure:
    """A procedure from a file, or from JSON text.

    Parameters
    ----------
    source : Path or str
        A ``Path`` is read as UTF-8; a ``str`` is the text itself.
    file : str
        Name of the file, for messages about a text.

    Returns
    -------
    Procedure
        Checked for form and for ids that lead nowhere; it is not proved.

    Raises
    ------
    InputError
        At the first fault: which file, step and field, and what to do; its end
        says how many more there are.
    """
    text = _text_of(source) if isinstance(source, Path) else source
    name = file or (str(source) if isinstance(source, Path) else "")
    found, procedure = _read(text, name)
    if procedure is not None and not found:
        return procedure
    raise _first(found)


def faults_of_text(text: str, file: str = "") -> tuple[InputError, ...]:
    """Every fault of a procedure written as JSON; none when it can be read."""
    return tuple(_read(text, file)[0])


def write_procedure(procedure: Procedure, path: Path) -> None:
    """Write a procedure as JSON: the old file or the new one, never half of each.

    Raises
    ------
    InputError
        If the file can't be written, or a number is not finite.
    """
    from abreast.jobfile.atomic import write_files

    write_files(path.parent, {path.name: procedure_text(procedure).encode()})


def procedure_text(procedure: Procedure) -> str:
    """A procedure as JSON, one line for each piece, holder and step; defaults are left out.

    Raises
    ------
    InputError
        If a number is not finite.
    """
    data = procedure.model_dump(mode="json", exclude_defaults=True)
    data = {"format": procedure.format, **data}
    if procedure.steps:
        data["steps"] = [
            one | {"action": {"do": step.action.do, **one["action"]}}
            for step, one in zip(procedure.steps, data["steps"], strict=True)
        ]
    try:
        parts = [f"{json.dumps(key)}: {_value(value)}" for key, value in data.items()]
    except ValueError:
        message = "a number is not finite; a procedure holds finite numbers only"
        raise InputError(message, code="bad-number") from None
    return "{\n  " + ",\n  ".join(parts) + "\n}\n"


def _value(value: object) -> str:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "[\n    " + ",\n    ".join(_line(one) for one in value) + "\n  ]"
    return _line(value)


def _line(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


# --- reading ----------------------------------------------------------------------------


def _text_of(path: Path) -> str:
    where = Where(file=str(path))
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise InputError(_too_large(), code="too-large", where=where)
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        message = f"byte {fault.start + 1} is not UTF-8; save the file as UTF-8 text"
        raise InputError(message, code="not-utf8", where=where) from None
    except OSError as fault:
        reason = (fault.strerror or "system error").lower()
        message = f"cannot be read ({reason}); check the name and the rights"
        raise InputError(message, code="file", where=where) from None


def _too_large() -> str:
    return f"larger than {_MOST_BYTES // 1_000_000} MB; a procedure is not that long"


def _read(text: str, file: str) -> tuple[list[InputError], Procedure | None]:
    """The faults of a text, and the procedure when it has the form of one."""
    from abreast.procedure.read_content import id_faults
    from abreast.procedure.read_faults import form_faults

    try:
        found, procedure = form_faults(_data(text))
    except InputError as fault:
        found, procedure = [fault], None
    if procedure is not None:
        found = list(id_faults(procedure))
    return [_shown(one, file) for one in found], procedure


def _shown(fault: InputError, file: str) -> InputError:
    """The fault with its file, on one line: names of fields and steps may hold any sign."""
    where = Where(file, field=plain_sentence(fault.where.field))
    return InputError(fault.message, code=fault.code, where=where)


def _first(found: list[InputError]) -> InputError:
    first, more = found[0], len(found) - 1
    if not more:
        return first
    note = f" ({more} more {'fault' if more == 1 else 'faults'} in the file)"
    return InputError(first.message + note, code=first.code, where=first.where)


def _data(text: str) -> dict[str, Any]:
    if len(text) > _MOST_BYTES:
        raise InputError(_too_large(), code="too-large")
    try:
        data = json.loads(
            text.removeprefix("\ufeff"),
            parse_int=_short_int,
            parse_constant=_no_number,
            object_pairs_hook=_unlike_keys,
        )
    except InputError:
        raise
    except (ValueError, RecursionError) as fault:
        reason = "nested too deep" if isinstance(fault, RecursionError) else str(fault)
        message = f"not readable as JSON ({reason}); write one JSON object"
        raise InputError(message, code="bad-json") from None
    if not isinstance(data, dict):
        message = "a procedure is one JSON object with name, site, lines, pieces and steps"
        raise InputError(message, code="bad-procedure")
    bad = next(_unusable(data), None)
    if bad is not None:
        raise bad
    return data


def _no_number(word: str) -> NoReturn:
    message = f"{word} is no number JSON knows; write null for what is not known"
    raise InputError(message, code="bad-number")


def _short_int(word: str) -> int:
    if len(word) > 20:
        message = f"a number of {len(word)} digits; write it in SI units"
        raise InputError(message, code="bad-number")
    return int(word)


def _unlike_keys(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        place = f" of {found['id']!r}" if isinstance(found.get("id"), str) else ""
        message = f"field {twice!r}{place} stands twice in one object; keep one of them"
        raise InputError(message, code="twice")
    return found


def _unusable(data: dict[str, Any]) -> Iterator[InputError]:
    """What no field may hold: depth, endless numbers and texts, halves of signs."""
    for table, rows in data.items():
        if isinstance(rows, list) and len(rows) > _MOST_ROWS:
            message = f"a list of {len(rows)}; a procedure has at most {_MOST_ROWS} of each"
            yield InputError(message, code="too-large", where=Where(field=table))
    ahead: list[tuple[tuple[str | int, ...], Any]] = [((), data)]
    while ahead:
        at, value = ahead.pop()
        message = _complaint(value, len(at))
        if message:
            from abreast.procedure.read_faults import place

            yield InputError(message, code="bad-value", where=place(at, data))
        elif isinstance(value, dict):
            ahead += [((*at, key), one) for key, one in value.items()]
        elif isinstance(value, list):
            ahead += [((*at, index), one) for index, one in enumerate(value)]


def _complaint(value: object, depth: int) -> str:
    if depth > _DEEPEST:
        return "nested deeper than any field of a procedure; see the format"
    if isinstance(value, int | float) and not abs(value) <= _LARGEST:
        return f"a number beyond {_LARGEST:.0e}; write it in SI units"
    if isinstance(value, str) and len(value) > _LONGEST_TEXT:
        return f"a text of {len(value)} signs; at most {_LONGEST_TEXT} are read"
    if isinstance(value, str) and any("\ud800" <= sign <= "\udfff" for sign in value):
        return "holds half of a two-part sign; write the text as UTF-8"
    return ""
