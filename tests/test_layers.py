"""The packages and who may import whom, held for every import, also those inside functions.

The order is that of docs/architecture.md: a package imports only from those above it.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src" / "abreast"

ORDER = (
    "errors",
    "units",
    "formulas",
    "standards",
    "examples",
    "model",
    "jobfile",
    "examples",
    "spaceout",
    "mechanics",
    "checks",
    "procedure",
    "record",
    "drawing",
    "documents",
    "studies",
    "actions",
)
THIN = ("cli", "web")  # beside one another: only actions, errors and themselves
MAX_LINES = 800
FILES = sorted(SOURCE.rglob("*.py"))


def room(path: Path) -> str:
    """The package a source file belongs to: 'errors' for errors.py, '' for the root itself."""
    first = path.relative_to(SOURCE).parts[0].removesuffix(".py")
    return "" if first in {"__init__", "__main__"} else first


def modules_in(tree: ast.AST, path: Path) -> Iterator[tuple[int, str]]:
    """Line and full name of every module of ours that a file imports, wherever it stands."""
    package = ("abreast", *path.relative_to(SOURCE).parent.parts)
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            name = ".".join((*base, *([node.module] if node.module else [])))
            for alias in node.names:
                yield node.lineno, f"{name}.{alias.name}"


def imported_rooms(path: Path) -> Iterator[tuple[int, str]]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for line, name in modules_in(tree, path):
        parts = name.split(".")
        if parts[0] == "abreast" and len(parts) > 1:
            yield line, parts[1]


def may_import(here: str, there: str) -> bool:
    if here == there or there.startswith("__"):  # its own room, or __version__
        return True
    if here in THIN:
        return there in {"actions", "errors"}
    if here == "":  # __init__ and __main__
        return there == "cli"
    return there in ORDER and ORDER.index(there) < ORDER.index(here)


def complaints(path: Path) -> list[str]:
    here = room(path)
    return [
        f"{path.relative_to(ROOT)}:{line}: {here or 'the root'} must not import {there}"
        for line, there in imported_rooms(path)
        if not may_import(here, there)
    ]


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(SOURCE)))
def test_imports_keep_the_order(path: Path) -> None:
    assert complaints(path) == []


def test_every_package_has_its_place_in_the_order() -> None:
    assert {room(path) for path in FILES} - {""} <= {*ORDER, *THIN}


def test_architecture_page_shows_the_same_order() -> None:
    page = (ROOT / "docs" / "architecture.md").read_text(encoding="utf-8")
    shown = re.findall(r"^\| `(\w+)/?` \|", page, re.MULTILINE)
    assert tuple(shown) == (*ORDER, *THIN)


@pytest.mark.parametrize(
    ("here", "code", "bad"),
    [
        ("formulas/beams.py", "import abreast.model.job", True),
        ("formulas/beams.py", "def f():\n    from abreast import jobfile", True),
        ("formulas/beams.py", "from ..model import job", True),
        ("formulas/beams.py", "from . import buckling", False),
        ("formulas/beams.py", "from abreast.units import parse", False),
        ("cli/plan.py", "from abreast.model import job", True),
        ("cli/plan.py", "from abreast.web import app", True),
        ("cli/plan.py", "from abreast.actions.plan import plan", False),
        ("actions/plan.py", "from abreast.cli import main", True),
    ],
)
def test_the_rule_sees_what_it_must(
    here: str, code: str, bad: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The check itself: each forbidden form is found, each allowed one is let pass."""
    path = tmp_path / here
    path.parent.mkdir()
    path.write_text(code)
    monkeypatch.setitem(globals(), "SOURCE", tmp_path)
    monkeypatch.setitem(globals(), "ROOT", tmp_path)
    assert bool(complaints(path)) is bad


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(SOURCE)))
def test_files_stay_short(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MAX_LINES


def public_functions(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.ClassDef]:
    """Public classes and functions of a module, and the public methods of those classes."""
    for node in tree.body:
        if not isinstance(node, ast.FunctionDef | ast.ClassDef) or node.name.startswith("_"):
            continue
        yield node
        if isinstance(node, ast.ClassDef):
            inner = (n for n in node.body if isinstance(n, ast.FunctionDef))
            yield from (n for n in inner if not n.name.startswith("_"))


def is_typed(function: ast.FunctionDef) -> bool:
    given = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
    given += [a for a in (function.args.vararg, function.args.kwarg) if a]
    named = [a for a in given if a.arg not in {"self", "cls"}]
    return function.returns is not None and all(a.annotation for a in named)


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(SOURCE)))
def test_what_is_public_is_typed_and_documented(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    bare = [] if ast.get_docstring(tree) else ["the module has no docstring"]
    for node in public_functions(tree):
        if not ast.get_docstring(node):
            bare.append(f"line {node.lineno}: {node.name} has no docstring")
        if isinstance(node, ast.FunctionDef) and not is_typed(node):
            bare.append(f"line {node.lineno}: {node.name} is not fully typed")
    assert bare == []
