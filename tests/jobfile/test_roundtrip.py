"""Any job that can be held can be written and read back, as folder and as workbook."""

from __future__ import annotations

import tempfile
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, reject, settings
from hypothesis import strategies as st
from pydantic import ValidationError
from tests.model.jobs import job_1, job_2

from abreast.jobfile import read_job, write_folder, write_workbook
from abreast.jobfile.layout import Column, columns_of, sections, tables
from abreast.model import Job, Origin, Quantity, Signature
from abreast.model.quantity import ORIGIN_KINDS
from abreast.units import Dimension

# What other rows or rules hang on keeps the value of the sound job.
TIED = {
    "id", "rack", "kind", "lower_end", "upper_end", "piece", "pieces", "holder", "spare_of",
    "datum", "esp", "bypass", "upper", "drift", "status", "overall_m", "overall_2_m",
    "make_up_loss_m", "landings_passed", "height_m", "window_low_m", "window_high_m",
    "grip_low_m", "grip_high_m", "low_m", "high_m", "closed_m", "open_m", "top_md_m", "shoe_md_m",
    "origin", "neck_below_top_m",
}  # fmt: skip
TIED_STARTS = ("seat_", "stick_down_")
WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cn"]) | st.just("\n"), max_size=30
).map(str.strip)
REASONS = WORDS.map(lambda text: " ".join(text.split())).filter(bool)
NAMES = REASONS.filter(lambda text: ";" not in text)  # a semicolon parts the names of a list
NUMBERS = st.one_of(
    st.integers(0, 10**6).map(float),
    st.floats(1e-9, 1e9),
    st.decimals(0, 10_000, places=3).map(float),
)
ORIGINS = st.builds(Origin, st.sampled_from(ORIGIN_KINDS), REASONS | st.just(""))


def quantities(column: Column) -> st.SearchStrategy[Quantity]:
    cls = column.quantity
    signed = NUMBERS
    if column.dimension in (Dimension.LENGTH, Dimension.ANGLE):
        signed = st.builds(lambda x, minus: -x if minus else x, NUMBERS, st.booleans())
    return st.one_of(
        st.builds(cls.of, signed, ORIGINS),
        st.builds(cls.not_measured, REASONS),
        st.builds(cls.not_applicable, REASONS),
        st.just(cls.not_measured()),
    )


def values(column: Column) -> st.SearchStrategy[Any]:
    days = st.dates(date(1900, 1, 1), date(2199, 12, 31))
    names = REASONS.map(lambda text: text.replace(",", " ").strip() or "A. Pell")
    kinds: dict[str, st.SearchStrategy[Any]] = {
        "choice": st.sampled_from(column.choices or ("",)),
        "flag": st.booleans(),
        "integer": st.integers(0, 1000),
        "text": NAMES if column.required else WORDS,
        "date": days,
        "signature": st.builds(Signature, names, days) | st.none(),
    }
    return quantities(column) if column.kind == "quantity" else kinds[column.kind]


def free(column: Column) -> bool:
    tied = column.field in TIED or column.field.startswith(TIED_STARTS)
    return not tied and column.kind not in ("end", "names")


BASES = {"bottom-supported": job_1(), "top-hung": job_2()}
Change = tuple[str, int, str, Any]


@st.composite
def changes(draw: st.DrawFn, name: str) -> list[Change]:
    """A few cells of a sound job: table or section, row, field, and anything it may hold."""
    job = BASES[name]
    parts = [one for one in (*sections(), *tables()) if getattr(job, one.field)]
    chosen = draw(st.lists(st.sampled_from(parts), min_size=1, max_size=6))
    found = []
    for table in chosen:
        columns = [column for column in columns_of(table.row) if free(column)]
        if columns:
            held = getattr(job, table.field)
            row = draw(st.integers(0, len(held) - 1)) if isinstance(held, tuple) else -1
            column = draw(st.sampled_from(columns))
            found.append((table.field, row, column.field, draw(values(column))))
    return found


CASES = st.sampled_from(sorted(BASES)).flatmap(
    lambda name: st.tuples(
        st.just(name),
        changes(name),
        st.sampled_from(["oilfield", "SI"]),
        st.just("") | ORIGINS.map(str),
    )
)


def made(case: tuple[str, list[Change], str, str]) -> Job:
    """The job that a case describes; what no job can be is not tried."""
    name, cells, units, origin = case
    data: dict[str, Any] = BASES[name].model_dump(exclude={"suspicions"})
    data |= {"units": units, "default_origin": origin}
    for field, row, column, value in cells:
        (data[field] if row < 0 else data[field][row])[column] = value
    try:
        return Job.model_validate(data)
    except ValidationError:
        reject()


def bare(job: Job | None) -> Job | None:
    """The job without the suspicions that reading found in odd values."""
    return None if job is None else job.model_copy(update={"suspicions": ()})


# Explaining a failure takes minutes here, and says little that the failure does not.
QUICK = settings(
    max_examples=15,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink],
)


@QUICK
@given(CASES)
def test_any_job_goes_through_a_folder(case):
    job = made(case)
    with tempfile.TemporaryDirectory() as name:
        first, second = Path(name) / "a", Path(name) / "b"
        write_folder(job, first)
        result = read_job(first)
        assert bare(result.job) == job, [str(one) for one in result.errors]
        write_folder(result.job, second)
        for file in first.iterdir():
            assert file.read_bytes() == (second / file.name).read_bytes()
        # typed texts are kept from here on, and read as the very same numbers
        again = read_job(second)
        assert again.job == result.job


@settings(QUICK, max_examples=8)
@given(CASES)
def test_any_job_goes_through_a_workbook(case):
    job = made(case)
    with tempfile.TemporaryDirectory() as name:
        first, second = Path(name) / "a.xlsx", Path(name) / "b.xlsx"
        write_workbook(job, first)
        result = read_job(first)
        assert bare(result.job) == job, [str(one) for one in result.errors]
        write_workbook(result.job, second)
        assert first.read_bytes() == second.read_bytes()


@pytest.mark.parametrize("units", ["oilfield", "SI"])
@pytest.mark.parametrize("name", sorted(BASES))
def test_the_units_shown_change_no_value(tmp_path, name, units):
    job = BASES[name].model_copy(update={"units": units})
    write_folder(job, tmp_path)
    assert read_job(tmp_path).job == job
