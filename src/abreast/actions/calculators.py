"""Every public computation by its name: what there is, what it needs, what it gives.

A module that brings calculators has a tuple ``CALCULATORS`` and stands in
``_MODULES``. They call the functions of the packages below; nothing is
computed twice.
"""

from __future__ import annotations

import difflib
from functools import cache
from importlib import import_module
from typing import Any

from abreast.actions.calculator import Calculator
from abreast.errors import InputError

__all__ = ["example", "names", "run", "schema"]

_MODULES = (
    "abreast.actions.pipe_calculators",
    "abreast.actions.makeup_calculators",
    "abreast.actions.measuring_calculators",
    "abreast.actions.survey_calculators",
    "abreast.actions.lifting_calculators",
    "abreast.actions.fit_calculators",
    "abreast.actions.hook_calculators",
    "abreast.actions.friction_calculators",
    "abreast.actions.load_calculators",
    "abreast.actions.passing_calculators",
    "abreast.actions.unit_calculators",
    "abreast.actions.well_calculators",
    "abreast.actions.dummy_calculators",
)


@cache
def _registry() -> dict[str, Calculator]:
    found = [one for module in _MODULES for one in import_module(module).CALCULATORS]
    return {one.name: one for one in sorted(found, key=lambda one: str(one.name))}


def _named(name: str) -> Calculator:
    registry = _registry()
    if name in registry:
        return registry[name]
    near = difflib.get_close_matches(name, list(registry), 1, 0.5)
    hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(registry)}"
    message = f"no calculator is called {name!r:.60}; {hint}"
    raise InputError(message, code="unknown-calculator")


def names() -> list[tuple[str, str]]:
    """Name and one-line summary of every calculator, by name."""
    return [(one.name, one.summary) for one in _registry().values()]


def schema(name: str) -> dict[str, Any]:
    """JSON Schema of a calculator's input.

    Beside the schema proper it holds an example and, under ``x-formula``,
    ``x-source`` and ``x-output``, the formula, where it comes from and the
    schema of the result.

    Raises
    ------
    InputError
        ``unknown-calculator``.
    """
    return _named(name).schema()


def example(name: str) -> dict[str, Any]:
    """An input that works.

    Raises
    ------
    InputError
        ``unknown-calculator``.
    """
    return dict(_named(name).example)


def run(name: str, data: object) -> dict[str, Any]:
    """The result of a calculator for plain data.

    Parameters
    ----------
    name : str
        Its name, for example ``drift``.
    data : dict
        Field names carry SI units (``od_m``); nothing else is understood.

    Returns
    -------
    dict
        Plain data; field names carry SI units.

    Raises
    ------
    InputError
        ``unknown-calculator``, ``bad-input`` with the field, or the code of
        the computation that refused the figures.

    Examples
    --------
    >>> run("effective-length", {"overall_m": 9.577, "make_up_loss_m": 0.062})
    {'effective_m': 9.515}
    """
    return _named(name).run(data)
