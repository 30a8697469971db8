"""Write anew every page that is made from the program, and the demo shown in README.md.

Run from anywhere: ``.venv/bin/python scripts/refresh_docs.py``. Tests fail when one is stale.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shutil
import tempfile
from pathlib import Path

from abreast.cli import main
from abreast.cli.calculators_page import calculators_page
from abreast.cli.reference import commands_page
from abreast.jobfile.reference import reference_text

ROOT = Path(__file__).resolve().parents[1]
DRAWING = ROOT / "docs" / "images" / "demo_spaceout.svg"
BLOCK = re.compile(r"(?<=<!-- demo output: begin -->\n).*?(?=<!-- demo output: end -->)", re.DOTALL)


def demo(folder: Path) -> tuple[str, bytes]:
    """What ``abreast demo`` prints when started in an empty folder, and the drawing it writes."""
    before, shown = Path.cwd(), io.StringIO()
    os.chdir(folder)
    try:
        with contextlib.redirect_stdout(shown):
            main(["demo"])
        return shown.getvalue(), Path("demo_out/pack/spaceout_stretched.svg").read_bytes()
    finally:
        os.chdir(before)


def readme_with(shown: str, readme: str) -> str:
    """README text with the demo's output in its place."""
    block = f"```text\n{shown.rstrip()}\n```\n"
    return BLOCK.sub(lambda _: block, readme)


def refresh() -> None:
    """Write all of them."""
    reference = ROOT / "docs" / "reference"
    pages = {
        "commands.md": commands_page(),
        "calculators.md": calculators_page(),
        "job_folder.md": reference_text(),
    }
    for name, text in pages.items():
        (reference / name).write_text(text.rstrip() + "\n", encoding="utf-8")
    folder = Path(tempfile.mkdtemp())
    try:
        shown, drawing = demo(folder)
    finally:
        shutil.rmtree(folder)
    DRAWING.parent.mkdir(exist_ok=True)
    DRAWING.write_bytes(drawing)
    readme = ROOT / "README.md"
    readme.write_text(readme_with(shown, readme.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    refresh()
