"""The documentation against the program: nothing missing, nothing stale, no dead link."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest

from abreast.cli import main
from abreast.cli.parser import build_parser
from abreast.cli.reference import commands_page

ROOT = Path(__file__).resolve().parents[1]
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
LINK = re.compile(r"\]\(([^)\s]+)\)")
FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def read(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def anchors(text: str) -> set[str]:
    """The anchors that headings make, as the usual renderers spell them."""
    heads = re.findall(r"^#+ (.+)$", FENCE.sub("", text), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


def blocks(text: str, language: str) -> list[str]:
    return [body for kind, body in FENCE.findall(text) if kind == language]


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(ROOT)))
def test_links_lead_somewhere(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    for link in LINK.findall(FENCE.sub("", text)):
        assert "://" not in link, f"{link}: pages are read without a network"
        name, _, anchor = link.partition("#")
        target = page if not name else (page.parent / name).resolve()
        assert target.exists(), f"{link} leads nowhere"
        if anchor:
            assert anchor in anchors(target.read_text(encoding="utf-8")), link


@pytest.mark.parametrize("page", PAGES, ids=lambda p: str(p.relative_to(ROOT)))
def test_every_page_can_be_reached_from_the_readme(page: Path) -> None:
    seen, ahead = set(), [ROOT / "README.md"]
    while ahead:
        here = ahead.pop()
        if here in seen or here.suffix != ".md":
            continue
        seen.add(here)
        links = LINK.findall(FENCE.sub("", here.read_text(encoding="utf-8")))
        ahead += [(here.parent / link.partition("#")[0]).resolve() for link in links]
    assert page in seen or page.name == "CHANGELOG.md"


def test_readme_shows_what_the_demo_prints_and_draws(tmp_path: Path) -> None:
    from scripts import refresh_docs

    shown, drawing = refresh_docs.demo(tmp_path)
    stale = "stale: python scripts/refresh_docs.py"
    assert read("README.md") == refresh_docs.readme_with(shown, read("README.md")), stale
    assert drawing == refresh_docs.DRAWING.read_bytes(), stale


def test_commands_page_is_what_the_program_says() -> None:
    page = read("docs/reference/commands.md")
    assert page.rstrip() == commands_page().rstrip(), "stale: python scripts/refresh_docs.py"


def test_calculators_page_is_what_the_program_says() -> None:
    from abreast.actions import calculators
    from abreast.cli.calculators_page import calculators_page

    page = read("docs/reference/calculators.md")
    assert page.rstrip() == calculators_page().rstrip(), "stale: python scripts/refresh_docs.py"
    assert all(f"\n## {name}\n" in page for name, _ in calculators.names())


def spoken_commands(page: str) -> list[list[str]]:
    """Words of each `abreast` line of the shell blocks of a page."""
    lines = "\n".join(blocks(read(page), "sh")).splitlines()
    found = [shlex.split(line, comments=True) for line in lines]
    starts = [next((i for i, w in enumerate(ws) if w.endswith("abreast")), None) for ws in found]
    return [ws[i + 1 :] for ws, i in zip(found, starts, strict=True) if i is not None]


@pytest.mark.parametrize("page", ["README.md", "docs/reference/commands.md"])
def test_commands_shown_are_commands_that_exist(page: str) -> None:
    shown = spoken_commands(page)
    assert len(shown) >= 6
    for words in shown:
        stop = next((i for i, word in enumerate(words) if word in {"|", ">"}), len(words))
        build_parser().parse_args(words[:stop])  # raises InputError when it does not exist


def test_case_format_names_every_field_and_no_other() -> None:
    """The fields of the page against the types that read a case."""
    from abreast.spaceout import case

    page = read("docs/reference/case_format.md")
    types = (case.Case, case.Clamp, case.Landing, case.Lifts, case.Item, case.Accessory)
    fields = {name for kind in types for name, f in kind.model_fields.items() if not f.exclude}
    for part, kind in (("base", case.Base), ("seat", case.Seat), ("union", case.Union)):
        fields |= {f"{part}.{name}" for name in kind.model_fields}
    spoken = set(re.findall(r"`([a-z_.]+)`", page))
    assert fields - {"base", "seat", "union"} <= spoken
    dotted = {name for name in spoken if re.fullmatch(r"(base|seat|union)\.[a-z]+", name)}
    assert dotted <= fields


def test_case_format_example_has_the_answer_shown(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    question, answer = blocks(read("docs/reference/case_format.md"), "json")
    path = tmp_path / "case.json"
    path.write_text(question)
    assert main(["solve", str(path)]) == 0
    given = json.loads(capsys.readouterr().out)
    shown = json.loads(answer)
    assert given.keys() == shown.keys()
    assert {**given, "elapsed_s": 0} == {**shown, "elapsed_s": 0}


def test_validation_page_names_every_file_of_published_checks() -> None:
    page = read("docs/validation.md")
    files = sorted(path.name for path in (ROOT / "tests" / "published").glob("test_*.py"))
    assert files
    missing = [name for name in files if name not in page]
    assert missing == [], "add a row to docs/validation.md: what, source, how far it agrees"
    named = re.findall(r"tests/published/(\w+\.py)", page)
    assert set(named) <= set(files)
