"""Jobs derived from the two invented ones: pieces left out, other gear, other rules."""

from __future__ import annotations

from tests.checks.twins import amend

from abreast.model import Job, Quantity


def without(job: Job, *gone: str) -> Job:
    """The job without some ESP pieces and their landings, clamps and ports."""
    return job.model_copy(
        update={
            "esp": tuple(one for one in job.esp if one.id not in gone and one.spare_of not in gone),
            "landings": tuple(one for one in job.landings if one.piece not in gone),
            "clamps": tuple(one for one in job.clamps if one.piece not in gone),
            "ports": tuple(one for one in job.ports if one.piece not in gone),
        }
    )


def undeclared(job: Job) -> Job:
    """The job with no lifting clamp declared for any landing."""
    landings = tuple(one.model_copy(update={"holder": ""}) for one in job.landings)
    return job.model_copy(update={"landings": landings})


def no_mle(job: Job) -> Job:
    """The job without cable beside the string."""
    return job.model_copy(update={"mle": None, "cable": None, "ports": ()})


def no_table(job: Job, table: str) -> Job:
    """The job with one table empty."""
    return job.model_copy(update={table: ()})


def no_holder(job: Job, kind: str) -> Job:
    """The job without holders of one type."""
    return job.model_copy(update={"holders": tuple(h for h in job.holders if h.type != kind)})


def two_lines(job: Job, lines: str = "two lines") -> Job:
    """The job with a second line, and a holding clamp for the bypass."""
    like = next(one for one in job.holders if one.type == "safety clamp")
    rated = Quantity.of(3.5e5, "assumed: invented for a test")
    clamp = like.model_copy(update={"id": "HC", "type": "holding clamp", "rating_n": rated})
    hoisting = job.hoisting.model_copy(update={"lines": lines})
    return job.model_copy(update={"holders": (*job.holders, clamp), "hoisting": hoisting})


def not_retained(job: Job) -> Job:
    """The job whose ESP only stands on its seat."""
    assert job.base is not None, "no seat without a base support"
    none = Quantity.not_applicable("the guide is only seated")
    return job.model_copy(update={"base": job.base.model_copy(update={"retainer_load_n": none})})


def lifts_of(job: Job, most: int) -> Job:
    """The job with at most so many pieces in a lift."""
    return job.model_copy(
        update={"rules": amend(job.rules).model_copy(update={"max_lift_pieces": most})}
    )


def fewer(job: Job, gone: frozenset[str]) -> Job:
    """The job with some rack pieces away."""
    return job.model_copy(update={"rack": tuple(p for p in job.rack if p.id not in gone)})


def tandem(job: Job, pothead_m: float) -> Job:
    """Two motors, the pothead on the upper one at a height above its lower face."""
    motor = next(one for one in job.esp if one.id == "motor")
    upper = motor.model_copy(update={"id": "motor-2"})
    esp = [two for one in job.esp for two in ((one, upper) if one is motor else (one,))]
    first = job.landings[0]
    second = first.model_copy(update={"id": "L1b", "piece": "motor-2"})
    ports = tuple(
        amend(one, height_m=pothead_m).model_copy(update={"piece": "motor-2"})
        if one.kind == "pothead"
        else one
        for one in job.ports
    )
    holders = tuple(
        one.model_copy(update={"count": 2}) if one.type == "lifting clamp" else one
        for one in job.holders
    )
    return undeclared(
        job.model_copy(
            update={
                "esp": tuple(esp),
                "landings": (first, second, *job.landings[1:]),
                "ports": ports,
                "holders": holders,
                "hoisting": amend(job.hoisting, sling_margin_m=0.0),
            }
        )
    )
