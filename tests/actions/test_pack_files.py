"""What is in a pack when a package is missing: all the rest, and a sentence that says so."""

from __future__ import annotations

import sys

import pytest
from tests.documents.test_workpack import CHOICE_1, plan_of

from abreast.actions import pack_files as packing
from abreast.actions.pack_files import make_pack, pack_files
from abreast.actions.plan_text import plan_text
from abreast.errors import AbreastError
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.model import Job, Plan
from abreast.spaceout.assemble import assemble

NEEDS = "needs the package {} (install abreast with its 'documents' extra)"


@pytest.fixture(scope="module")
def made() -> tuple[Job, Plan]:
    job = read_job(example_path("quernstone_14")).require_job()
    assembly = assemble(job, CHOICE_1)
    return job, plan_of(job, assembly, CHOICE_1)


def test_a_full_pack_leaves_nothing_out_and_leads_with_the_printed_one(
    made: tuple[Job, Plan],
) -> None:
    files, left_out = make_pack(*made, {})
    assert left_out == {}
    assert next(iter(files)) == "workpack.pdf"
    assert files["workpack.pdf"].startswith(b"%PDF-1.7")
    assert files == pack_files(*made, {})


def test_without_the_qr_code_only_the_printed_pack_is_left_out(
    made: tuple[Job, Plan], monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = set(pack_files(*made, {}))
    monkeypatch.setitem(sys.modules, "segno", None)
    files, left_out = make_pack(*made, {})
    assert left_out == {"workpack.pdf": NEEDS.format("segno")}
    assert set(files) == whole - {"workpack.pdf"}
    index = " ".join(files["index.txt"].decode().split())
    assert f"no workpack.pdf {NEEDS.format('segno')}" in index


def test_without_the_typesetter_the_summary_says_what_is_missing_and_how_to_get_it(
    made: tuple[Job, Plan], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    files, left_out = make_pack(*made, {})
    assert "tally.txt" in files
    assert not [name for name in files if name.endswith(".pdf")]
    more = len(left_out) - 1
    text = plan_text(*made, {}, "out", tuple(files), left_out)
    said = f"Not written: workpack.pdf and {more} more: {NEEDS.format('typst')}"
    assert said in " ".join(text.split())
    assert len(text.splitlines()) <= 45


def test_a_pack_that_cannot_be_set_does_not_take_the_plan_with_it(
    made: tuple[Job, Plan], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> bytes:
        message = "the work pack could not be set (x)"
        raise AbreastError(message, code="typesetting")

    monkeypatch.setattr(packing, "workpack", fail)
    files, left_out = make_pack(*made, {})
    assert left_out == {"workpack.pdf": "the work pack could not be set (x)"}
    assert "plan.json" in files
