"""How values are held against limits, and how findings are made and ordered."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.checks.twins import choice_1, choice_2, found, job_1, job_2

from abreast.checks import CHECKS, run_checks, tightest_first
from abreast.checks.base import NEAR, Check, Context, Verdict, answer, at_least, at_most, inside
from abreast.checks.listing import GRAVEST_FIRST
from abreast.errors import InputError, MissingInputError
from abreast.model import Finding
from abreast.spaceout.assemble import assemble

POSITIVE = st.floats(1e-3, 1e6)
VALUE = st.floats(-1e6, 1e6)


@given(st.floats(0, 1e6), POSITIVE)
def test_at_most_exceeds_just_above_the_limit(value, limit):
    judged = at_most(value, limit)
    assert judged.utilisation == pytest.approx(value / limit)
    assert (judged.status == "exceeds") == (value / limit > 1 + 1e-9)
    assert judged.limit == limit


@given(VALUE, POSITIVE)
def test_at_least_exceeds_just_below_the_limit(value, limit):
    judged = at_least(value, limit)
    assert (judged.status == "exceeds") == (value <= 0 or limit / value > 1 + 1e-9)
    assert judged.utilisation == (pytest.approx(limit / value) if value > 0 else None)


@given(VALUE, VALUE, POSITIVE)
def test_inside_exceeds_outside_its_window_only(value, low, width):
    high = low + width
    judged = inside(value, low, high)
    slack = 1e-9 * width + 1e-6
    if low + slack < value < high - slack:
        assert judged.status != "exceeds"
    if value < low - slack or value > high + slack:
        assert judged.status == "exceeds"
    assert judged.limit in (low, high)
    assert abs(value - judged.limit) <= min(abs(value - low), abs(value - high)) + slack


@pytest.mark.parametrize(
    ("judged", "status"),
    [
        (at_most(NEAR * 10, 10), "near limit"),
        (at_most(8.9, 10), "ok"),
        (at_most(10, 10), "near limit"),
        (at_most(0.0, 0.0), "ok"),
        (at_most(0.1, 0.0), "exceeds"),
        (at_least(10, 10), "near limit"),
        (at_least(12, 10), "ok"),
        (at_least(0.0, 0.0), "ok"),
        (at_least(-1.0, 0.0), "exceeds"),
        (inside(5.0, 5.0, 5.0), "ok"),
        (inside(5.1, 5.0, 5.0), "exceeds"),
        (inside(5.0, 6.0, 4.0), "exceeds"),
    ],
)
def test_limits_at_their_edges(judged, status):
    assert judged.status == status


def context():
    return Context(job_1(), assemble(job_1(), choice_1()), choice_1())


def ask(judge, places=(("here", 1),), needs=""):
    check = Check(
        id="probe", question="Is it so?", places=lambda _c: places, judge=judge, needs=needs
    )
    return list(answer(check, context()))


def test_an_answer_carries_its_question_and_place():
    (finding,) = ask(lambda _c, _s: Verdict(status="ok", text="It is."))
    assert (finding.id, finding.where) == ("probe:here", "here")
    assert finding.question == "Is it so?"


def missing(_context, _subject):
    raise MissingInputError(needs="the moon")


def unusable(_context, _subject):
    message = "the tide is upside down"
    raise InputError(message)


def test_what_can_t_be_answered_is_not_checked():
    (finding,) = ask(missing)
    assert (finding.status, finding.needs) == ("not checked", ("the moon",))
    assert finding.text == "Not checked: needs the moon."
    (finding,) = ask(unusable)
    assert finding.status == "not checked"
    assert "the tide is upside down" in finding.text


def test_no_place_to_ask_is_no_pass():
    (finding,) = ask(missing, places=(), needs="the table of moons")
    assert (finding.id, finding.status) == ("probe", "not checked")
    assert ask(missing, places=()) == []


def test_each_question_stands_once_and_its_ids_are_unique():
    assert len({check.id for check in CHECKS}) == len(CHECKS)
    for job, choice in ((job_1(), choice_1()), (job_2(), choice_2())):
        ids = [f.id for f in run_checks(job, assemble(job, choice), choice)]
        assert len(set(ids)) == len(ids)
    assert all(check.question.endswith("?") for check in CHECKS)


def test_findings_come_in_the_order_of_the_list():
    order = [check.id for check in CHECKS]
    ids = [f.id.split(":")[0] for f in run_checks(job_1(), context().assembly, choice_1())]
    assert [order.index(i) for i in ids] == sorted(order.index(i) for i in ids)


def test_findings_are_plain_data():
    for finding in found(job_1(), choice_1()).values():
        assert Finding.model_validate_json(finding.model_dump_json()) == finding
        json.loads(finding.model_dump_json())


def finding(name, status, used=None):
    return Finding(id=name, question="?", status=status, text="", utilisation=used)


def test_tightest_first():
    mixed = (
        finding("a", "ok", 0.2),
        finding("b", "ok", 0.8),
        finding("c", "not checked"),
        finding("d", "near limit", 0.95),
        finding("e", "exceeds", 1.1),
        finding("f", "exceeds", 3.0),
        finding("g", "ok"),
        finding("h", "exceeds"),
    )
    assert [f.id for f in tightest_first(mixed)] == list("fehdcbag")
    assert tightest_first(()) == ()


@given(st.permutations(list(found(job_1(), choice_1()).values())))
def test_tightest_first_loses_and_invents_nothing(findings):
    ranked = tightest_first(findings)
    assert sorted(f.id for f in ranked) == sorted(f.id for f in findings)
    rank = {"exceeds": 0, "near limit": 1, "not checked": 2, "ok": 3}
    assert [rank[f.status] for f in ranked] == sorted(rank[f.status] for f in findings)


def test_every_check_has_its_place_among_the_gravest():
    assert sorted(GRAVEST_FIRST) == sorted(one.id for one in CHECKS)


def test_of_what_was_not_checked_lifting_pressure_and_passage_come_before_paper():
    names = ("measured-twice", "fit-along", "passage-narrow", "bop-view", "hanging-load")
    missing = [finding(name, "not checked") for name in names]
    assert [one.id for one in tightest_first(missing)] == list(reversed(names))
