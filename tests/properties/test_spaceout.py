"""What must hold of the best plan whatever the case: it does not depend on where zero is, and more
freedom never makes it worse."""

from __future__ import annotations

from itertools import accumulate
from typing import Any

from benchmarks.spaceout.tiny import generate_tiny
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from abreast.errors import InputError
from abreast.spaceout.case import Answer, Case, parse_case
from abreast.spaceout.checker import check_answer
from abreast.spaceout.solve import solve

Data = dict[str, Any]
NONE = (99, 0, 0, 0)
many = settings(max_examples=150, deadline=None)
tiny = st.integers(0, 10_000).map(generate_tiny)
# With no more rules than these, most cases close.
LOOSE: Data = {"clamps": [], "landings": [], "lifts": None, "landings_passed": None}
easy = tiny.map(lambda data: data | LOOSE)


def best(data: Data | Case) -> tuple[int, int, int, int]:
    """Objective of the best plan, which passes the checker; none counts as worse than any."""
    case = data if isinstance(data, Case) else parse_case(data)
    answer = solve(case)
    assert check_answer(case, answer) == []
    return answer.objective or NONE


def plan(answer: Answer) -> tuple[Any, ...]:
    return answer.objective, answer.items, answer.seat, answer.lifts, answer.clamp_shifts


# --- the same question asked another way --------------------------------------------------


def raised(data: Data, by: int) -> Data:
    """The whole well moved up: every height, and no length."""
    lifts = data.get("lifts")
    if lifts and lifts["pre_run_height"] is not None:
        lifts = lifts | {"pre_run_height": lifts["pre_run_height"] + by}
    return data | {
        "base": data["base"] | {"height": data["base"]["height"] + by},
        "gap": data["gap"] + by,
        "clamps": [clamp | {"height": clamp["height"] + by} for clamp in data["clamps"]],
        "landings": [one | {"table": one["table"] + by} for one in data["landings"]],
        "accessories": [
            one | {"window": [end + by for end in one["window"]]} for one in data["accessories"]
        ],
        "lifts": lifts,
    }


@many
@given(tiny, st.integers(-5000, 5000))
def test_height_of_the_zero_does_not_matter(data: Data, by: int) -> None:
    assert plan(solve(parse_case(raised(data, by)))) == plan(solve(parse_case(data)))


NOT_LENGTHS = {"tick_mm", "max_pieces", "max_items", "landings_passed"}


def scaled(value: Any, by: int) -> Any:
    """Every whole number of a case times ``by``; counts, names and flags stay."""
    if isinstance(value, dict):
        return {k: v if k in NOT_LENGTHS else scaled(v, by) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [scaled(one, by) for one in value]
    return value * by if isinstance(value, int) and not isinstance(value, bool) else value


@many
@given(tiny, st.integers(2, 700))
def test_size_of_the_tick_does_not_matter(data: Data, by: int) -> None:
    coarse = solve(parse_case(data))
    fine = solve(parse_case(scaled(data, by) | {"tick_mm": data["tick_mm"] / by}))
    assert (fine.items, fine.lifts) == (coarse.items, coarse.lifts)
    if coarse.objective is None:
        assert fine.objective is None
        return
    n, bucket, pups, deviation = coarse.objective
    assert fine.objective == (n, bucket, pups, deviation * by)
    assert (fine.seat, fine.union) == (scaled(coarse.seat, by), scaled(coarse.union, by))


@many
@given(tiny, st.integers(1, 40), st.sampled_from(["P", "pup ", "7-"]))
def test_names_do_not_matter_but_for_their_order(data: Data, step: int, word: str) -> None:
    """S0, S1, ... become P8, P11, P14, ...: natural order is kept, that of the text is not."""
    renamed = {item["id"]: f"{word}{8 + step * k}" for k, item in enumerate(data["stock"])}
    case = data | {
        "stock": [item | {"id": renamed[item["id"]]} for item in data["stock"]],
        "locked": [renamed[i] for i in data["locked"]],
        "excluded": [renamed[i] for i in data["excluded"]],
    }
    before, after = solve(parse_case(data)), solve(parse_case(case))
    assert after.objective == before.objective
    assert after.items == tuple(renamed[i] for i in before.items)
    assert after.seat == before.seat


@many
@given(tiny, st.randoms(use_true_random=False))
def test_order_of_the_lists_does_not_matter(data: Data, rng: Any) -> None:
    shuffled = dict(data)
    for name in ("stock", "clamps", "accessories", "excluded"):
        shuffled[name] = rng.sample(data[name], len(data[name]))
    assert plan(solve(parse_case(shuffled))) == plan(solve(parse_case(data)))


# --- more freedom never makes it worse ----------------------------------------------------


@st.composite
def pieces(draw: st.DrawFn) -> Data:
    length = draw(st.integers(1, 12))
    return {
        "id": draw(st.sampled_from(["A", "S00", "Z", "S3b"])),
        "kind": draw(st.sampled_from(["joint", "pup", "crossover", "nipple", "mule shoe"])),
        "overall": length + draw(st.integers(0, 2)),
        "effective": length,
        "coupling": draw(st.integers(0, 1)),
        "upset": draw(st.integers(0, 1)),
        "pin": draw(st.sampled_from(["SF", "EU"])),
        "box": draw(st.sampled_from(["SF", "EU"])),
        "drift_ok": draw(st.booleans()),
        "profile": draw(st.none() | st.integers(0, length)),
    }


@many
@given(tiny, pieces(), st.integers(0, 8))
def test_one_more_piece_never_hurts(data: Data, piece: Data, place: int) -> None:
    more = [*data["stock"][:place], piece, *data["stock"][place:]]
    assert best(data | {"stock": more}) <= best(data)


@many
@given(tiny, pieces(), st.sampled_from(["drift", "kind", "length", "thread", "excluded"]))
def test_a_useless_piece_changes_nothing(data: Data, piece: Data, why: str) -> None:
    useless = {
        "drift": {"drift_ok": False},
        "kind": {"kind": "mule shoe"},
        "length": {"overall": data["max_overall"] + 1},
        "thread": {"pin": "unknown"},
        "excluded": {},
    }[why]
    more = data | {"stock": [*data["stock"], piece | useless]}
    if why == "excluded":
        more["excluded"] = [*data["excluded"], piece["id"]]
    assert plan(solve(parse_case(more))) == plan(solve(parse_case(data)))


@many
@given(tiny, st.sampled_from(["min", "max"]), st.integers(1, 4))
def test_a_longer_stroke_never_hurts(data: Data, end: str, by: int) -> None:
    union = data["union"]
    wider = union | {end: union[end] + (by if end == "max" else -by)}
    assert best(data | {"union": wider}) <= best(data)


@many
@given(tiny, st.integers(0, 4), st.integers(0, 4))
def test_wider_windows_of_landings_never_hurt(data: Data, down: int, up: int) -> None:
    landings = [
        one | {"window": [one["window"][0] - down, one["window"][1] + up]}
        for one in data["landings"]
    ]
    assert best(data | {"landings": landings}) <= best(data)


@many
@given(tiny, st.integers(0, 2), st.integers(0, 2))
def test_more_shift_of_a_clamp_never_hurts(data: Data, down: int, up: int) -> None:
    assume(data["clamps"])
    first, *others = data["clamps"]
    freer = first | {
        "shift_down": first["shift_down"] + down,
        "shift_up": first["shift_up"] + up,
    }
    try:
        case = parse_case(data | {"clamps": [freer, *others]})
    except InputError as fault:
        assert "overlap" in fault.message
        return
    assert best(case) <= best(data)


@many
@given(tiny, st.integers(0, 5), st.integers(0, 5))
def test_a_wider_window_of_an_accessory_never_hurts(data: Data, down: int, up: int) -> None:
    accessories = [
        one | {"window": [one["window"][0] - down, one["window"][1] + up]}
        for one in data["accessories"]
    ]
    assert best(data | {"accessories": accessories}) <= best(data)


@many
@given(tiny)
def test_larger_lifts_and_more_items_never_hurt(data: Data) -> None:
    more = data | {"max_items": data["max_items"] + 1, "reserve": [*data["reserve"], 1]}
    assert best(more) <= best(data)
    if data.get("lifts"):
        lifts = data["lifts"] | {
            "max_pieces": data["lifts"]["max_pieces"] + 1,
            "max_length": data["lifts"]["max_length"] + 3,
        }
        assert best(data | {"lifts": lifts}) <= best(data)


@many
@given(tiny, st.integers(0, 2), st.integers(0, 2))
def test_infeasible_stays_infeasible_when_a_window_shrinks(data: Data, low: int, high: int) -> None:
    union = data["union"]
    assume(union["min"] + low <= union["max"] - high)
    narrow = data | {"union": union | {"min": union["min"] + low, "max": union["max"] - high}}
    if best(data) == NONE:
        assert solve(parse_case(narrow)).status == "infeasible"
    else:
        assert best(narrow) >= best(data)


# --- what the plan itself says about its case ---------------------------------------------


@many
@given(tiny, st.data())
def test_a_piece_that_is_not_run_may_be_excluded(data: Data, draw: st.DataObject) -> None:
    answer = solve(parse_case(data))
    idle = [item["id"] for item in data["stock"] if item["id"] not in answer.items]
    idle = [i for i in idle if i not in data["excluded"] and i not in data["locked"]]
    gone = draw.draw(st.lists(st.sampled_from(idle), unique=True)) if idle else []
    fewer = parse_case(data | {"excluded": [*data["excluded"], *gone]})
    assert best(fewer) == (answer.objective or NONE)


@many
@given(st.one_of(tiny, easy), st.data())
def test_what_is_run_of_the_plan_keeps_its_objective(data: Data, draw: st.DataObject) -> None:
    """The rest of the best plan is still the best rest, the seat fixed or not.

    With lifts it may be bettered: those of pieces in the well are not judged any more.
    """
    if data.get("lifts"):
        data = data | {"landings_passed": None}
    answer = solve(parse_case(data))
    if answer.objective is None:
        return
    cuts = list(range(len(data["locked"]), len(answer.items) + 1))
    if answer.lifts is not None:
        sizes = [len(data["locked"]), *map(len, answer.lifts)]
        cuts = list(accumulate(sizes))
    run = list(answer.items[: draw.draw(st.sampled_from(cuts))])
    fixed = data["seat"] | {"locked": answer.seat}
    for state in (data | {"locked": run}, data | {"locked": run, "seat": fixed}):
        assert best(state) <= answer.objective
        if answer.lifts is None:
            assert best(state) == answer.objective
