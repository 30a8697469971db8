"""Two invented jobs, each as it was received and as it was corrected.

They are job folders like a user's own. ``as_received`` still holds what is
wrong with the tallies; ``corrected`` holds the same files and a table of
corrections. Nothing in them is real.
"""

from __future__ import annotations

import difflib
from importlib.resources import files
from pathlib import Path

from abreast.errors import InputError

__all__ = ["example_path", "names"]

_HERE = Path(str(files(__name__)))
_FORMS = ("as_received", "corrected")


def names() -> tuple[str, ...]:
    """Names of the bundled jobs, such as ``quernstone_14/corrected``."""
    jobs = sorted(path.name for path in _HERE.iterdir() if (path / _FORMS[0]).is_dir())
    return tuple(f"{job}/{form}" for job in jobs for form in _FORMS)


def example_path(name: str) -> Path:
    """Folder of a bundled job.

    Parameters
    ----------
    name : str
        One of :func:`names`; the job alone means its corrected form.

    Returns
    -------
    Path
        The job folder.

    Raises
    ------
    InputError
        If no bundled job has that name.

    Examples
    --------
    >>> example_path("skerrow_a09").name
    'corrected'
    """
    full = name if "/" in name else f"{name}/{_FORMS[1]}"
    if full not in names():
        near = difflib.get_close_matches(full, names(), 1, 0.4)
        hint = f"; did you mean {near[0]!r}?" if near else ""
        message = f"there is no example {name[:80]!r}; there are {', '.join(names())}{hint}"
        raise InputError(message, code="no-example")
    return _HERE.joinpath(*full.split("/"))
