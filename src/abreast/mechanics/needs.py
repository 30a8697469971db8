"""Names of the inputs that are missing."""

from __future__ import annotations

from abreast.errors import MissingInputError
from abreast.model import Quantity

__all__ = ["needs_of"]


def needs_of(*values: Quantity) -> tuple[str, ...]:
    """What a message asks for, of each value that is not given."""
    return tuple(_asked(value) for value in values if not value.is_given)


def _asked(value: Quantity) -> str:
    try:
        return str(value.si)
    except MissingInputError as fault:
        return fault.needs
