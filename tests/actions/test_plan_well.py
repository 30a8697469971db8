"""The topics of the first screen tell what the well's own numbers say."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import chain

import pytest
from tests.actions.wells import NO_WELL
from tests.drawing.runs import run_2

from abreast.actions.plan_well import well_topics
from abreast.mechanics.down_hole import DownHole
from abreast.mechanics.hook_forecast import forecast_run
from abreast.mechanics.where_to_set import where_to_set
from abreast.model import Finding, Quantity

JOB, STRING, RUN = run_2()
SCAN, HOOK = where_to_set(JOB, STRING), forecast_run(JOB, STRING)


def finding(name: str, status: str = "ok", use: float | None = 0.5, **more: object) -> Finding:
    own = {"id": name, "question": "q", "status": status, "text": f"{name}.", "utilisation": use}
    return Finding.model_validate(own | more)


def told(well: DownHole | None, *findings: Finding) -> dict[str, str]:
    topics = well_topics(JOB, findings, well)
    return {one.text.partition(":")[0]: one.text.partition(": ")[2] for one in topics}


def test_bending_is_told_with_the_place_where_it_is_greatest() -> None:
    """The greatest share of a moment, looked for among all places by hand."""
    limits = {one.id: one.upper_joint_moment_nm.known for one in JOB.esp}
    bodies = {one.id: one.moment_nm.known for one in JOB.esp}
    blocks = {"Y-tool": JOB.ytool.moment_nm.known, "union": JOB.union.moment_nm.known}
    uses = []
    for place in chain(RUN.down, RUN.up, RUN.hung, RUN.crooked):
        for name, moment_nm in (place.joints_nm or {}).items():
            if limits.get(name):
                uses.append((moment_nm / limits[name], place))
        for (name, _), moment_nm in (place.moments_nm or {}).items():
            most = bodies.get(name) or blocks.get(name)
            if most:
                uses.append((moment_nm / most, place))
    use, place = max(uses, key=lambda one: one[0])
    found = told(replace(NO_WELL, running=RUN), finding("passage-moment:x"))["Way down"]
    shown = re.search(r"Bending, (\d+) %: .*Y-tool top at (\d+) m, roll (\d+)°", found)
    assert shown is not None
    assert abs(int(shown[1]) - 100 * use) <= 0.5
    assert abs(int(shown[2]) - place.md_m) <= 0.5
    assert "50 % used at most" in found


def test_where_it_leans_or_has_no_shape_is_counted() -> None:
    places = (*RUN.down, *RUN.up, *RUN.hung)
    lost = tuple(replace(one, state="buckled", moments_nm=None) for one in RUN.down[:3])
    leant = tuple(replace(one, state="leans") for one in RUN.down[3:5])
    run = replace(RUN, down=(*lost, *leant, *RUN.down[5:]))
    stood = [one for one in places[5:] if one.state == "leans"]
    found = told(replace(NO_WELL, running=run), finding("passage:lowering"))["Way down"]
    assert f"at {2 + len(stood)} of {len(places)} places" in found
    assert re.search(r"no shape was found at \d+ of", found, re.IGNORECASE)


def test_setting_depth_and_hook_load_in_figures() -> None:
    well = replace(NO_WELL, setting=SCAN, hook=HOOK)
    found = told(
        well,
        finding("setting-depth:dogleg", where="dogleg"),
        finding("hook-load:picking up", use=0.6),
    )
    assert found["Set there"] == (
        "every limit that was checked is kept, 50 % used at most. Nearest: dogleg. Y-tool top at"
        f" 2150.0 m breaks no limit that was given; rank {SCAN.rank(SCAN.planned)} of"
        f" {len(SCAN.places)} depths, {sum(not one.is_refused for one in SCAN.places)} of which"
        " break none."
    )
    most_kn = max(one.up_n for one in HOOK.rows) / 1000
    assert f"Picking up at most {most_kn:.2f} kN" in found["Hook load"]
    assert "60 % used at most" in found["Hook load"]
    least = min(HOOK.rows, key=lambda one: one.down_n / one.still_n)
    assert (
        f"Least left slacking off, {100 * least.down_n / least.still_n:.0f} %:"
        f" {least.down_n / 1000:.2f} kN of {least.still_n / 1000:.2f} kN hanging, at {least.name}"
        f" (no. {least.number}), Y-tool top at {least.ytool_md_m:.0f} m."
    ) in found["Hook load"]


def test_narrower_casing_that_is_not_known_to_pass_is_told_with_its_numbers() -> None:
    assert RUN.narrow
    open_ = finding("passage-narrow:worst depths", "not checked", None, needs=("a caliper",))
    text = told(replace(NO_WELL, running=RUN), open_)["Way down"]
    assert "PROVE FIRST, narrower casing, at its drift (" in text
    assert text.count("of a moment limit") == len([one for one in RUN.narrow if one.places])
    kept = finding("passage-narrow:worst depths")
    assert "PROVE FIRST" not in told(replace(NO_WELL, running=RUN), kept)["Way down"]


def test_a_planned_depth_that_is_refused_is_told_with_the_nearest_help() -> None:
    """The intake dry at 2,150 m: by 0.5 m, so that a half joint of 4.8 m helps; then everywhere."""
    intake = next(one for one in STRING.pieces if one.kind == "intake")
    wet_m = 2150.0 + STRING.top_m - intake.top_m

    def of(level_m: float) -> str:
        level = Quantity.of(level_m, "invented")
        fluids = JOB.fluids.model_copy(update={"fluid_level_md_m": level})
        scan = where_to_set(JOB.model_copy(update={"fluids": fluids}), STRING)
        over = finding("setting-depth:in the well", "exceeds", None, where="in the well")
        return told(replace(NO_WELL, setting=scan), over)["Set there"]

    assert of(wet_m + 0.5) == (
        "1 LIMIT EXCEEDED, see EXCEEDS below. Y-tool top at 2150.0 m breaks a limit; the nearest"
        " help is 2154.8 m, see findings.csv."
    )
    # The level at 5,000 m, the top perforation at 2,588 m: no depth lies between.
    found = of(5000.0)
    assert "No depth can do" in found and "rank" not in found
    down_to, needed = (float(one) for one in re.findall(r"(?:to|needs) ([\d.]+) m", found))
    assert needed == pytest.approx(5000.0 - (STRING.top_m - intake.top_m), abs=6)
    lacking = re.search(r"([\d.]+) m is missing", found)
    assert lacking is not None
    assert float(lacking[1]) == pytest.approx(needed - down_to, abs=0.11)


def test_tool_strings_that_pass_are_named_and_the_rest_counted() -> None:
    found = told(
        NO_WELL,
        finding("tool-passage:plug", where="plug"),
        finding("tool-passage:log", "not checked", None, where="log", needs=("a, b",)),
        finding("smallest-bore:bypass path", use=None, text="47 mm: nipple. Above it 50 mm, x."),
    )["Tools"]
    assert found == (
        "every limit that was checked is kept, 50 % used at most. Of 2 tool strings 1 pass: plug."
        " Smallest bore of the bypass 47 mm: nipple. 1 NOT CHECKED, first: log: needs a, b."
    )


def test_without_the_well_a_topic_says_what_is_missing() -> None:
    gap = finding("passage", "not checked", None, needs=("a survey of two stations or more",))
    for well in (None, NO_WELL):
        assert told(well, gap)["Way down"] == (
            "no limit was checked. 1 NOT CHECKED, first: needs a survey of two stations or more."
        )
    assert told(None) == {}
