"""Stand-ins for actions, so that the command line is tested apart from what it calls."""

from __future__ import annotations

import sys
import types
from collections.abc import Callable
from pathlib import Path

import pytest

import abreast.actions

StandIn = Callable[..., None]


@pytest.fixture(autouse=True)
def own_state_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Logs of faults go to the test's folder, not to that of whoever runs the tests."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


@pytest.fixture
def stand_in(monkeypatch: pytest.MonkeyPatch) -> StandIn:
    """Put functions in the place of an action module: ``stand_in("solve", solve_text=f)``."""

    def put(name: str, **functions: object) -> None:
        module = types.ModuleType(f"abreast.actions.{name}")
        for key, value in functions.items():
            setattr(module, key, value)
        monkeypatch.setitem(sys.modules, module.__name__, module)
        monkeypatch.setattr(abreast.actions, name, module, raising=False)

    return put
