"""The string in its well, as the pack prints it: numbers as worked out, what is missing, blanks.

Units are held to NIST SP 811: 1 ft = 0.3048 m, 1 lbf = 4.4482216152605 N, 1 psi = 6894.757 Pa.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from tests.documents.test_workpack import HOSTILE, NO_BLANK, close, pages_of
from tests.drawing.strings import CHOICE_1, CHOICE_2

from abreast.checks.base import Context
from abreast.checks.passing_joints import Gripped, judge_clamp_grip
from abreast.documents import WellPart, well_part, workpack
from abreast.examples import example_path
from abreast.jobfile import read_job
from abreast.mechanics.bypass_tools import ToolPassages, tool_passages
from abreast.mechanics.down_hole import DownHole, Missing, down_hole
from abreast.mechanics.hook_forecast import HookForecast, forecast_run
from abreast.mechanics.passing_limits import bent
from abreast.mechanics.running_in import NarrowTrial, RunIn
from abreast.mechanics.setting_places import SettingScan
from abreast.mechanics.twin_beam_sweep import Place
from abreast.mechanics.where_to_set import where_to_set
from abreast.model import Assembly, Choice, Job, Plan, Quantity, fingerprint
from abreast.spaceout.assemble import assemble

FT, LBF, PSI = 0.3048, 4.4482216152605, 6894.757293168361
PAGES = ("setting", "passing", "hook", "tools")
NO = Missing("nothing of it")
NONE = DownHole(NO, NO, NO, NO)


@cache
def planned(name: str) -> tuple[Job, Assembly, Choice]:
    choice = CHOICE_1 if name == "quernstone_14" else CHOICE_2
    job = read_job(example_path(name)).require_job()
    return job, assemble(job, choice), choice


@cache
def both() -> tuple[Job, Assembly, DownHole]:
    """The job in SI with everything worked out, the way down at few depths."""
    job, assembly, _ = planned("skerrow_a09")
    return job, assembly, down_hole(job, assembly, step_m=300)


@cache
def hook_of(name: str) -> HookForecast:
    job, assembly, _ = planned(name)
    return forecast_run(job, assembly)


def run() -> RunIn:
    found = both()[2].running
    assert isinstance(found, RunIn)
    return found


def page(name: str, **parts: Any) -> dict[str, Any]:
    """A page of the job in SI, with parts put in the place of those worked out."""
    job, assembly, found = both()
    part = well_part(job, assembly, replace(found, **parts))
    made: dict[str, Any] = part.data[name]
    return made


@cache
def plan() -> Plan:
    """One without a space-out: what stands round the chapter is then short."""
    job, _, _ = planned("skerrow_a09")
    return Plan(
        job_name=job.name, fingerprint=fingerprint(job), status="infeasible", proved=True, proof="-"
    )


def packed(part: WellPart | None) -> bytes:
    return workpack(both()[0], plan(), {}, (), None, part)


def printed(part: WellPart) -> list[str]:
    return pages_of(packed(part))


@cache
def whole_pack() -> tuple[bytes, tuple[str, ...]]:
    """The pack with everything in it, and the words of its pages."""
    pdf = packed(well_part(*both()))
    return pdf, tuple(pages_of(pdf))


@cache
def whole() -> str:
    """Words of the chapter, blanks left out."""
    text = close(" ".join(whole_pack()[1]))
    return text[text.rindex("Wellpathandsettingdepth") : text.rindex("readbythewirelinecrew") + 40]


def mapped(data: Any, words: Callable[[str, str], str], key: str = "") -> Any:
    """The same data with every text changed, its lists cut short."""
    if isinstance(data, str):
        return words(key, data)
    if isinstance(data, dict):
        return {name: mapped(one, words, name) for name, one in data.items()}
    if isinstance(data, (list, tuple)):
        return [mapped(one, words, key) for one in data[:3]]
    return data


# --- what is missing ------------------------------------------------------------------------


@pytest.mark.parametrize("name", PAGES)
def test_a_part_that_is_missing_leaves_what_it_needs_and_nothing_else(name: str) -> None:
    part = {"setting": "setting", "passing": "running", "hook": "hook", "tools": "tools"}[name]
    made = page(name, **{part: Missing("the length of a straw")})
    assert made.pop("needs") == "the length of a straw"
    assert set(made) <= {"draft"}


def test_four_missing_parts_are_printed_as_four_needs() -> None:
    job, assembly, _ = both()
    parts = [Missing(f"input {number}") for number in range(4)]
    text = close(" ".join(printed(well_part(job, assembly, DownHole(*parts)))))
    for number in range(4):
        assert text.count(f"Notchecked:needsinput{number}.") == 1
    for gone in ("Worstplaces", "Jointbyjoint", "Smallestbore", "Goslow", "Thetenbest"):
        assert gone not in text


def test_without_a_forecast_the_worst_places_stay_and_no_load_is_told() -> None:
    rows = page("passing", hook=NO)["slow"]
    assert rows
    assert {(one["up"], one["down"]) for one in rows} == {("", "")}
    assert all(one["up"] and one["down"] for one in page("passing")["slow"])


# --- the way down ---------------------------------------------------------------------------


def places_of(running: RunIn) -> list[Place]:
    return [*running.down, *running.up, *running.hung]


def greatest(running: RunIn) -> dict[str, tuple[float, float]]:
    """Each part with its greatest moment and its share, taken apart from the code under test."""
    found: dict[str, tuple[float, float]] = {}
    for place in places_of(running):
        for one in bent(both()[0], place):
            limit_nm = one.limit.known
            assert limit_nm is not None
            share = one.moment_nm / limit_nm
            found[one.name] = max(found.get(one.name, (0.0, 0.0)), (one.moment_nm, share))
    return found


def test_the_worst_places_are_the_greatest_moments_nearest_to_their_limit_first() -> None:
    expected = sorted(greatest(run()).items(), key=lambda one: -one[1][1])
    rows = page("passing")["worst"][:8]
    assert [one["what"] for one in rows] == [name for name, _ in expected[:8]]
    for row, (_, (moment_nm, share)) in zip(rows, expected, strict=False):
        assert float(row["value"].removesuffix(" N·m")) == pytest.approx(moment_nm, abs=0.51)
        assert row["used"]["share"] == f"{100 * share:.0f} %"
        assert row["origin"] == "invented"


def pressed(place: Place, name: str, moment_nm: float) -> Place:
    moments = {key: moment_nm if key[0] == name else m for key, m in place.moments_nm.items()}  # type: ignore[union-attr]
    return replace(place, moments_nm=moments)


def test_a_moment_above_its_limit_is_told_with_depth_roll_and_way() -> None:
    running = run()
    worst = pressed(running.up[5], "motor", 9e3)
    up = (*running.up[:5], worst, *running.up[6:])
    row = page("passing", running=replace(running, up=up))["worst"][0]
    assert row["what"] == "body and neck of motor"
    assert row["used"] == {"status": "exceeds", "share": f"{100 * 9e3 / 4400:.0f} %"}
    assert float(row["depth"]) == pytest.approx(worst.md_m, abs=0.051)
    assert row["roll"] == f"{math.degrees(worst.roll_rad):.0f}°"
    assert row["way"] == "picking up"


def test_all_parts_above_their_limit_are_shown_however_many() -> None:
    running = run()
    place = running.down[0]
    assert place.moments_nm is not None
    heavy = replace(place, moments_nm=dict.fromkeys(place.moments_nm, 1e5))
    made = page("passing", running=replace(running, down=(heavy, *running.down[1:])))
    bodies = {name for name, _ in place.moments_nm} & {one.id for one in both()[0].esp}
    above = [
        one["what"] for one in made["worst"] if one["used"] and one["used"]["status"] == "exceeds"
    ]
    assert len(bodies) > 8
    assert {f"body and neck of {name}" for name in bodies} <= set(above)


def test_places_without_numbers_are_counted_and_nothing_is_said_of_them() -> None:
    running = run()
    assert page("passing")["gaps"] == ""
    lost = tuple(
        replace(one, state="does not fit", where="motor", moments_nm=None) for one in running.up
    )
    made = page("passing", running=replace(running, up=lost))
    count = len(places_of(running))
    assert made["gaps"].startswith(f"At {len(lost)} of {count} places no shape was found")
    assert {one["used"]["status"] for one in made["worst"] if one["used"]} == {"not checked"}
    states = {one["state"]: one for one in made["states"]}
    assert states["does not fit"]["count"] == f"{len(lost)} of {count}"
    assert states["does not fit"]["words"].endswith(": motor")
    assert not states["does not fit"]["fine"]
    assert not any(one["way"] == "picking up" for one in made["worst"])


def test_one_open_place_is_told_with_its_own_depth() -> None:
    running = run()
    one = replace(running.up[3], state="not found", moments_nm=None)
    up = (*running.up[:3], one, *running.up[4:])
    states = {
        row["state"]: row for row in page("passing", running=replace(running, up=up))["states"]
    }
    assert states["not found"]["depths"] == f"{one.md_m:.1f} m"


def test_what_only_the_casing_holds_is_marked() -> None:
    running = run()
    leaning = tuple(replace(one, state="leans") for one in running.down)
    made = page("passing", running=replace(running, down=leaning))
    states = {one["state"]: one for one in made["states"]}
    assert states["leans"]["count"] == f"{len(leaning)} of {len(places_of(running))}"
    assert "only the casing holds" in states["leans"]["words"]
    assert not states["leans"]["fine"]
    lowered = [one for one in made["worst"] if one["way"] == "lowering"]
    assert lowered
    assert all(one["leans"] for one in lowered)
    assert not any(one["leans"] for one in page("passing")["worst"])


def test_a_part_without_a_limit_is_not_checked_and_named() -> None:
    job, assembly, found = both()
    none = Quantity.not_measured()
    esp = tuple(
        one.model_copy(update={"moment_nm": replace(none, label=f"moment of {one.id}")})
        for one in job.esp
    )
    bare = well_part(job.model_copy(update={"esp": esp}), assembly, found).data["passing"]
    rows = [one for one in bare["worst"] if one["used"] and one["used"]["status"] == "not checked"]
    assert len(rows) == 3
    assert {one["limit"] for one in rows} == {"not stated"}
    assert all(one["value"] for one in rows)
    bent_there = {name for name, _ in run().down[0].moments_nm or {}} & {one.id for one in esp}
    assert {f"needs moment of {name}" for name in bent_there} <= set(bare["open"])


def clamp_rows(may_slip: str, **more: Any) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """The page, and its rows on clamps, all of which say the same of slipping."""
    job, assembly, found = both()
    changed = {"may_slip": may_slip} | more
    clamps = tuple(one.model_copy(update=changed) for one in job.clamps)
    made = well_part(job.model_copy(update={"clamps": clamps}), assembly, found).data["passing"]
    return made, [one for one in made["worst"] if "on clamp" in one["what"]]


def test_what_bends_ask_of_a_clamp_has_its_own_row_as_in_the_findings() -> None:
    """Drag alone, then drag and bends: the sum that the check of the clamps comes to."""
    job, assembly, found = both()
    _, rows = clamp_rows("yes")
    drag, bends = rows
    assert drag["what"].startswith("drag on clamp")
    name = bends["what"].removeprefix("bends and drag on clamp ").split()[0]
    context = Context(job, assembly, planned("skerrow_a09")[2], found)
    clamp = next(one for one in job.clamps if one.id == name)
    words = judge_clamp_grip(context, Gripped(run(), clamp)).text
    told = re.search(r"asks at most ([\d.]+) kN.* ask up to ([\d.]+) kN more", words)
    assert told is not None
    assert float(bends["value"].split()[0]) == pytest.approx(
        float(told[1]) + float(told[2]), abs=0.011
    )
    assert bends["limit"] == "4.50 kN"  # half of a grip of 9 kN


def test_a_clamp_that_may_slip_breaks_nothing_and_another_is_not_checked() -> None:
    made, rows = clamp_rows("yes")
    assert rows[0]["used"]["status"] == "ok"
    assert rows[1]["used"]["status"] == "near limit"
    assert rows[1]["what"].endswith("its maker lets it slip there")
    assert int(rows[1]["used"]["share"].removesuffix(" %")) > 100
    assert not any("slip" in one for one in made["open"])
    for word in ("no", "not stated"):
        made, rows = clamp_rows(word)
        assert rows[1]["used"]["status"] == "not checked"
        assert any("may slip along the bypass in the bends" in one for one in made["open"])
    strong = Quantity.of(1e6, "invented")
    _, rows = clamp_rows("no", grip_load_n=strong)
    assert rows[1]["used"]["status"] == "ok"


def test_best_and_worst_roll_hold_every_roll_of_their_depth() -> None:
    running, rows = run(), page("passing")["rolls"]
    assert float(rows[-1]["depth"]) == pytest.approx(running.planned_md_m, abs=0.051)
    for row in rows:
        here = [one for one in running.down if abs(one.md_m - float(row["depth"])) < 0.06]
        low, high = (float(one.split()[0]) for one in row["side"])
        assert low == pytest.approx(min(one.side_n for one in here) / 1000, abs=0.0051)
        assert high == pytest.approx(max(one.side_n for one in here) / 1000, abs=0.0051)
        assert row["found"] == f"{len(here)} of {len(here)}"


def test_who_touches_is_counted_over_all_places_while_lowering() -> None:
    down = run().down
    for row in page("passing")["touching"]:
        times = sum(row["name"] in one.touching for one in down)
        assert row["share"] == f"{100 * times / len(down):.0f} %"


def test_narrow_casing_tells_what_is_lost_and_what_is_over() -> None:
    running = run()
    first = running.narrow[0].places[0]
    lost = replace(first, state="does not fit", where="motor", moments_nm=None)
    over = pressed(first, "motor", 5e3)
    leans = replace(first, state="leans")
    trials = (NarrowTrial(0.0, (lost, over, leans)), NarrowTrial(0.5, (first,)))
    rows = page("passing", running=replace(running, narrow=trials))["narrow"]
    assert [one["found"] for one in rows[:2]] == ["2 of 3", "1 of 1"]
    assert rows[0]["else"] == "only the casing holds: 1; does not fit (motor): 1"
    assert rows[0]["used"] == {"status": "exceeds", "share": f"{100 * 5e3 / 4400:.0f} %"}
    assert not rows[0]["fine"]
    assert rows[1]["fine"]
    assert rows[-2]["wall"] == "at its nominal bore"
    assert "sharper by the allowance" in rows[-1]["wall"]
    assert page("passing", running=replace(running, narrow=(), crooked=()))["narrow"] == []


def test_a_run_that_was_stopped_says_so() -> None:
    running = replace(run(), whole=False, down=(), narrow=())
    made = page("passing", running=running)
    assert not made["whole"]
    assert made["rolls"] == []


# --- hook load ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "unit", "load_n", "depth_m"),
    [("quernstone_14", "klbf", 1000 * LBF, FT), ("skerrow_a09", "kN", 1000.0, 1.0)],
)
def test_every_joint_has_its_row_in_the_units_of_the_job(
    name: str, unit: str, load_n: float, depth_m: float
) -> None:
    job, assembly, _ = planned(name)
    hook = hook_of(name)
    made = well_part(job, assembly, replace(NONE, hook=hook)).data["hook"]
    assert made["units"]["load"] == unit
    assert [one["number"] for one in made["rows"]] == [str(n) for n in range(len(hook.rows))]
    for made_row, row in zip(made["rows"], hook.rows, strict=True):
        shown = {key: float(made_row[key].replace(",", "")) for key in SHOWN}
        assert made_row["name"] == row.name
        expected = {
            "length": row.length_m / depth_m,
            "bottom": row.bottom_md_m / depth_m,
            "up": row.up_n / load_n,
            "still": row.still_n / load_n,
            "down": row.down_n / load_n,
            "low": (row.down_n - row.alarm_n) / load_n,
            "high": (row.up_n + row.alarm_n) / load_n,
        }
        assert shown == pytest.approx(expected, abs=0.051)


SHOWN = ("length", "bottom", "up", "still", "down", "low", "high")


def test_a_string_that_does_not_go_down_by_its_weight_stands_out() -> None:
    hook = hook_of("skerrow_a09")
    stuck = replace(hook.rows[50], down_n=-2e3, compressed_md_m=(100.0, 200.0))
    rows = (*hook.rows[:50], stuck, *hook.rows[51:])
    made = page("hook", hook=replace(hook, rows=rows))
    assert made["locked"] == ["50"]
    assert [one["number"] for one in made["rows"] if one["locked"]] == ["50"]
    assert [one["number"] for one in made["rows"] if one["compressed"]] == ["50"]
    assert page("hook", hook=hook)["locked"] == []


def test_block_weight_is_told_or_asked_for() -> None:
    hook = hook_of("quernstone_14")
    job, assembly, _ = planned("quernstone_14")
    facts = dict(well_part(job, assembly, replace(NONE, hook=hook)).data["hook"]["facts"])
    assert hook.block_n is not None
    assert f"{hook.block_n / LBF / 1000:.1f} klbf more" in facts["Block and bails"]
    none = replace(hook, block_n=None)
    asked = dict(well_part(job, assembly, replace(NONE, hook=none)).data["hook"]["facts"])
    assert "needs block mass of the rig" in asked["Block and bails"]


def test_a_limit_of_the_hook_load_that_nobody_stated_is_asked_for() -> None:
    hook = hook_of("skerrow_a09")
    open_ = replace(hook.limits[0], rating_n=None, origin="", needs="a rating")
    row = page("hook", hook=replace(hook, limits=(*hook.limits, open_)))["limits"][-1]
    assert row["used"] == {"status": "not checked", "share": ""}
    assert row["origin"] == "needs a rating"
    for made, limit in zip(page("hook", hook=hook)["limits"], hook.limits, strict=True):
        assert limit.rating_n is not None
        assert made["used"]["share"] == f"{100 * limit.load_n / limit.rating_n:.0f} %"


# --- where to set ---------------------------------------------------------------------------


def test_the_ten_best_and_the_planned_depth_stand_in_order_of_rank() -> None:
    scan = both()[2].setting
    assert isinstance(scan, SettingScan)
    rows = page("setting")["best"]
    assert [int(one["rank"]) for one in rows[:10]] == list(range(1, 11))
    for row, place in zip(rows, scan.places[:10], strict=False):
        assert float(row["depth"]) == pytest.approx(place.top_md_m, abs=0.051)
        bend = math.degrees(place.dogleg_rad_m) * 30
        assert float(row["dogleg"]) == pytest.approx(bend, abs=0.0051)
    assert [one["planned"] for one in rows].count(True) == 1
    assert rows[-1]["planned"]
    assert int(rows[-1]["rank"]) == scan.rank(scan.planned)
    assert rows[-1]["off"] == "0.0"


def test_a_planned_depth_that_is_refused_stands_out() -> None:
    job, assembly, _ = planned("skerrow_a09")
    strict = job.rules.model_copy(
        update={"max_dogleg_set_rad_m": Quantity.of(1e-6, "common practice")}
    )
    scan = where_to_set(job.model_copy(update={"rules": strict}), assembly)
    made = page("setting", setting=scan)
    assert made["refused"]
    assert made["limits"][0]["used"]["status"] == "exceeds"
    assert "common practice" in made["limits"][0]["origin"]
    assert page("setting")["refused"] == []


def test_setting_limits_have_their_origin_or_say_what_they_need() -> None:
    for row in page("setting")["limits"]:
        assert row["origin"]
        assert row["used"]["share"].endswith("%")
    job, assembly, _ = planned("skerrow_a09")
    esp = tuple(
        one.model_copy(update={"set_dogleg_rad_m": Quantity.not_measured()}) for one in job.esp
    )
    none = job.rules.model_copy(update={"max_dogleg_set_rad_m": Quantity.not_measured()})
    made = page(
        "setting",
        setting=where_to_set(job.model_copy(update={"esp": esp, "rules": none}), assembly),
    )
    assert made["limits"][0]["limit"] == "not stated"
    assert made["limits"][0]["used"]["status"] == "not checked"
    assert any("not checked: needs" in one for one in made["open"])


def test_a_limit_that_one_piece_lacks_leaves_the_dogleg_not_checked() -> None:
    job, assembly, _ = planned("skerrow_a09")
    none = Quantity.not_measured()
    first = job.esp[0].model_copy(update={"set_dogleg_rad_m": none, "bending_stress_pa": none})
    bare = job.model_copy(update={"esp": (first, *job.esp[1:])})
    rows = page("setting", setting=where_to_set(bare, assembly))["limits"]
    states = {one["what"]: one["used"]["status"] for one in rows}
    assert states["dogleg where it hangs"] == states["dogleg a joint off"] == "not checked"
    assert [state for what, state in states.items() if "stress" in what] == ["not checked"]
    assert states["inclination of motor"] == "ok"
    assert {one["used"]["status"] for one in page("setting")["limits"]} == {"ok", "near limit"}


# --- tools ----------------------------------------------------------------------------------


def test_the_force_on_a_plug_is_that_of_a_hand_sum() -> None:
    """100 psi on 2.30 in: 100 pi 2.30^2 / 4 = 415 lbf."""
    job, assembly, _ = planned("quernstone_14")
    made = well_part(job, assembly, replace(NONE, tools=tool_passages(job, assembly))).data["tools"]
    row = next(one for one in made["forces"] if one["difference"] == "100 psi")
    assert (row["seal"], row["force"]) == ("2.300 in", "415 lbf")


def test_the_smallest_bore_stands_in_every_zero_of_depth() -> None:
    job = both()[0]
    rows = page("tools")["depths"]
    above = {one.id: one.elevation_m.si for one in job.datums}
    assert len(rows) > 1
    assert [tuple(float(one.removesuffix(" m")) for one in row[1:]) for row in rows] == [
        pytest.approx((top_m, bottom_m), abs=5.1e-4)
        for _, top_m, bottom_m in tools().smallest.depths
    ]
    assert rows[0][1] != rows[0][2]
    base, first_m = rows[0][0], float(rows[0][1].removesuffix(" m"))
    for zero, top, _ in rows:
        expected = first_m + above[zero] - above[base]
        assert float(top.removesuffix(" m")) == pytest.approx(expected, abs=1e-6)


def tools() -> ToolPassages:
    found = both()[2].tools
    assert isinstance(found, ToolPassages)
    return found


def test_a_longest_length_is_never_shown_longer_than_it_is() -> None:
    for row, known in zip(page("tools")["longest"], tools().table, strict=True):
        sure = float(row["sure"].removesuffix(" or more"))
        assert known.length_m - 0.01 < sure <= known.length_m + 1e-9
        assert float(row["hole"]) <= known.hole_m + 1e-9
        assert row["sure"].endswith(" or more") == known.or_more


def test_a_tool_that_must_bend_is_judged_only_by_what_it_may_bear() -> None:
    bends = next(one for one in page("tools")["strings"] if one["name"] == "logging run")
    assert bends["verdict"] == "must bend: not checked"
    assert bends["status"] == "not checked"
    assert "needs its side load" in bends["words"]
    string = next(one for one in tools().strings if one.name == "logging run")
    strong = tuple(replace(one, side_load_n=1e6) for one in string.lengths)
    borne = tuple(
        replace(one, verdict="passes bent") if one.verdict == "not checked" else one
        for one in string.passages
    )
    known = replace(tools(), strings=(replace(string, lengths=strong, passages=borne),))
    (row,) = page("tools", tools=known)["strings"]
    assert (row["verdict"], row["status"]) == ("passes bent", "near limit")


def test_a_string_of_tools_that_lacks_an_input_is_not_checked() -> None:
    string = replace(tools().strings[0], passages=(), needs=("its diameter",))
    (row,) = page("tools", tools=replace(tools(), strings=(string,)))["strings"]
    assert (row["status"], row["words"]) == ("not checked", "needs its diameter")


def test_the_access_sheet_is_a_draft_until_as_run() -> None:
    job, assembly, found = both()
    assert page("tools")["draft"]
    ran = assembly.model_copy(update={"status": "as-run"})
    assert not well_part(job, ran, found).data["tools"]["draft"]


# --- the file -------------------------------------------------------------------------------


ACCESS = [
    "hanger U8",
    "tubing U7",
    "safety valve U6",
    "tubing U5",
    "packer U4",
    "pipe U3 to U1, 3 pieces",
    "S-bend of the Y-tool",
    "plug nipple of the Y-tool",
]


def test_the_access_sheet_has_every_change_of_diameter_in_words() -> None:
    access = page("tools")["access"]
    assert [one["what"] for one in access["way"]][: len(ACCESS)] == ACCESS
    valve = access["way"][2]
    assert (valve["bore"], valve["drift"], valve["top"]) == ("71.4", "71.0", "513.220")
    assert valve["note"] == "flapper: hold it open"
    (smallest,) = [one for one in access["way"] if one["smallest"]]
    assert smallest["note"] == "SMALLEST; seat of the plug" and smallest["drift"] == "–"
    assert [one["what"].partition(" ")[0] for one in access["below"]] == [
        "open",
        "perforations",
        "shoe",
        "end",
    ]
    assert access["below"][1]["note"] == "to 2631.000"
    assert dict(access["facts"])["Greatest inclination"] == "48.9° at 1720.0 m"
    assert "hold its flapper open" in access["valves"][0]
    assert (
        "tree, its valves and the lubricator above the hanger: not in the job"
        in page("tools")["open"]
    )


def test_without_a_way_the_access_table_says_what_it_needs() -> None:
    job, assembly, _ = planned("skerrow_a09")
    bare = job.model_copy(update={"upper": ()})
    made = page("tools", tools=tool_passages(bare, assembly))["access"]
    assert made["way"] == made["below"] == []
    assert any("upper.csv" in need for need in made["needs"])


def test_all_four_pages_are_printed_with_blanks_to_write_on() -> None:
    text = whole()
    for words in (
        "The ten best depths of the Y-tool top, and the planned one",
        "Worst places",
        "Go slow here, and write what was seen",
        "Up read",
        "Down read",
        "HANG-UP",
        "DRAFT until as-run",
        "depth decided, MD of the Y-tool top",
        "indicator with the empty block",
        "in the bore now, seen by: name, time",
        "A drift dummy beforehand?",
    ):
        assert close(words) in text, words


def test_every_row_of_the_forecast_is_printed() -> None:
    text = whole()
    for row in page("hook")["rows"]:
        assert close("".join(row[key] for key in ("number", "name", *SHOWN))) in text


def test_the_access_sheet_is_one_page() -> None:
    pages = whole_pack()[1]
    assert sum("access sheet" in one for one in pages) == 1
    first = next(n for n, one in enumerate(pages) if "access sheet" in one)
    assert "read by the wireline crew" in pages[first]


def test_the_same_part_gives_the_same_bytes() -> None:
    assert packed(well_part(*both())) == whole_pack()[0]
    assert "Inthewell" not in close(" ".join(pages_of(packed(None))))


def test_words_that_look_like_commands_stay_words() -> None:
    kept = {"status", "needs", "share"}
    words = f'{HOSTILE} "quoted" \\" {NO_BLANK}'
    data = well_part(*both()).data
    odd = mapped(data, lambda key, text: text if key in kept or not text else words)
    text = close(" ".join(printed(WellPart(odd))))
    assert text.count(close(words)) > 150


def test_what_stops_a_run_stands_out_in_print() -> None:
    data = well_part(*both()).data
    hook = {"locked": ["3", "4"], "rows": data["hook"]["rows"][:3]}
    bad = data | {
        "setting": data["setting"] | {"refused": ["too crooked"]},
        "passing": data["passing"] | {"whole": False, "gaps": "At 3 of 4 places there are none"},
        "hook": data["hook"] | hook,
        "tools": data["tools"] | {"strings": [], "longest": [], "depths": [], "forces": []},
    }
    text = close(" ".join(printed(WellPart(bad))))
    for words in (
        "NOT AT THE PLANNED DEPTH too crooked.",
        "NOT WHOLE",
        "At 3 of 4 places there are none",
        "Worst places of those found",
        "DOES NOT GO DOWN BY ITS WEIGHT at No. 3 to 4.",
        "None is stated in the job: not checked.",
        "No bore of a nipple is stated: not checked.",
        "Depth of the smallest bore: not known.",
    ):
        assert close(words) in text, words
        assert close(words) not in whole(), words


def test_nothing_is_called_safe() -> None:
    assert not re.search(r"safe(?!tyvalve)|harmless|no risk", whole(), re.IGNORECASE)
