"""The fingerprint: same job, same mark; any change of the job, another."""

import hashlib
import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.model.jobs import job_1, job_2

from abreast import __version__
from abreast.model import Quantity, canonical_json, digest, fingerprint, is_fingerprint
from abreast.model.fingerprint import short


def test_digest_is_sha_256_of_the_version_and_the_canonical_job():
    job = job_1()
    text = f"abreast {__version__}\n{canonical_json(job)}"
    assert digest(job) == hashlib.sha256(text.encode("utf-8")).hexdigest()
    assert fingerprint(job).replace("-", "")[:8] == digest(job)[:8].upper()
    assert json.loads(canonical_json(job))["name"] == "Quernstone 14"


def test_what_was_typed_and_what_is_suspected_do_not_count():
    job = job_1()
    typed = job.union.model_copy(update={"mass_kg": replace(job.union.mass_kg, typed="78 lb")})
    suspicion = {"file": "rack.csv", "row": 2, "field": "overall", "text": "odd"}
    assert fingerprint(job_1(union=typed, suspicions=[suspicion])) == fingerprint(job)


@pytest.mark.parametrize(
    "changes",
    [
        pytest.param({"note": "x"}, id="a remark"),
        pytest.param({"window": {"low_m": 0.6096, "high_m": 1.7}}, id="a length"),
        pytest.param({"units": "SI"}, id="the units shown"),
    ],
)
def test_any_change_of_the_job_counts(changes):
    assert digest(job_1(**changes)) != digest(job_1())


def test_origin_and_version_count_and_minus_zero_does_not():
    job = job_2()
    sheet = job.union.model_copy(update={"mass_kg": Quantity.of(19.0, "sheet")})
    assert digest(job_2(union=sheet)) != digest(job)
    assert digest(job, "0.0.9") != digest(job)
    zero, minus = (job_1(base=job_1().base.model_dump() | {"seat_min_m": z}) for z in (0.0, -0.0))
    assert digest(zero) == digest(minus)


@given(st.text("0123456789abcdef", min_size=8, max_size=8), st.integers(0, 7), st.data())
def test_a_misread_digit_or_two_swapped_ones_break_the_check_letter(head, place, data):
    shown = short(head)
    assert is_fingerprint(shown)
    assert is_fingerprint(shown.lower().replace("-", " "))
    plain = shown.replace("-", "")
    other = data.draw(st.sampled_from([d for d in "0123456789ABCDEF" if d != plain[place]]))
    assert not is_fingerprint(plain[:place] + other + plain[place + 1 :])
    if place < 7 and plain[place] != plain[place + 1]:
        swapped = plain[:place] + plain[place + 1] + plain[place] + plain[place + 2 :]
        assert not is_fingerprint(swapped)


@pytest.mark.parametrize("text", ["", "3F9A", "3F9A-07C2", "3F9A-07C2-LL", "XXXX-07C2-L"])
def test_what_is_no_fingerprint(text):
    assert not is_fingerprint(text)


def test_a_fingerprint_that_is_kept_is_that_of_its_own_job():
    """Asked in turn and again, and after a job is gone: always as worked out anew."""
    job = job_1()
    for n in range(6):
        one = job.model_copy(update={"name": f"job {n}"})
        for asked in (one, job, one, one):
            assert fingerprint(asked) == short(digest(asked))
        del one
