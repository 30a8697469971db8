"""Calculators on measured lengths: error of the closure, tape, temperature."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from abreast.actions.calculator import (
    Calculator,
    Count,
    Inputs,
    Name,
    NotNegative,
    Number,
    Outputs,
    Positive,
)
from abreast.formulas.measuring import (
    STEEL_EXPANSION_PER_K,
    TAPE_STANDARD_K,
    ErrorTerm,
    closure_error,
    length_at_temperature,
    tape_corrected_length,
    thermal_expansion,
)

__all__ = ["CALCULATORS"]


class Term(Inputs):
    """One source of error."""

    name: Name = Field("", description="what it is")
    spread_m: NotNegative = Field(description="half-width of the error of one piece [m]")
    count: Count = Field(1, description="pieces that have it")
    common: bool = Field(False, strict=True, description="the same error on each piece")


class BudgetInputs(Inputs):
    """All sources of error of a closure."""

    terms: Annotated[tuple[Term, ...], Field(min_length=1, max_length=200)] = Field(
        description="sources of error, both strings"
    )
    half_stroke_m: Positive | None = Field(
        None, description="union travel from mid to the nearer usable end [m]"
    )


class TermShare(Outputs):
    """What one source adds."""

    name: str = Field(description="what it is")
    likely_m: float = Field(description="its part of the quadrature sum [m]")
    worst_m: float = Field(description="the largest error it can make [m]")


class BudgetOutputs(Outputs):
    """Error of the closure."""

    quadrature_m: float = Field(description="independent errors, root of the sum of squares [m]")
    worst_m: float = Field(description="all errors at the same end of their spread [m]")
    terms: tuple[TermShare, ...] = Field(description="the part of each source")
    stroke_ratio: float | None = Field(
        None,
        description="half stroke over quadrature error; 3 or more is common practice, no source",
    )
    covers_worst: bool | None = Field(None, description="half stroke is at least the worst case")


def _budget(given: BudgetInputs) -> BudgetOutputs:
    terms = [ErrorTerm(term.spread_m, term.count, term.common) for term in given.terms]
    error = closure_error(terms)
    half = given.half_stroke_m
    shares = tuple(
        TermShare(name=row.name, likely_m=term.likely_m, worst_m=term.worst_m)
        for row, term in zip(given.terms, terms, strict=True)
    )
    return BudgetOutputs(
        quadrature_m=error.quadrature_m,
        worst_m=error.worst_m,
        terms=shares,
        stroke_ratio=half / error.quadrature_m if half and error.quadrature_m else None,
        covers_worst=None if half is None else half >= error.worst_m,
    )


class TapeInputs(Inputs):
    """A reading, and how warm the tape and the pipe were."""

    reading_m: Positive = Field(description="what the tape reads [m]")
    tape_k: Positive = Field(description="temperature of the tape [K]")
    standard_k: Positive = Field(TAPE_STANDARD_K, description="where the tape is right [K]")
    tape_expansion_per_k: NotNegative = Field(
        STEEL_EXPANSION_PER_K, description="of the tape [1/K]"
    )
    pipe_k: Positive | None = Field(None, description="temperature of the pipe when measured [K]")
    wanted_k: Positive | None = Field(None, description="temperature the length is wanted at [K]")
    pipe_expansion_per_k: NotNegative = Field(
        STEEL_EXPANSION_PER_K, description="of the pipe [1/K]"
    )


class TapeOutputs(Outputs):
    """The length behind the reading."""

    true_m: float = Field(description="length of the pipe as warm as it was [m]")
    correction_m: float = Field(description="true length less reading [m]")
    at_wanted_m: float | None = Field(
        None, description="length at the wanted temperature; needs pipe_k and wanted_k [m]"
    )


def _tape(given: TapeInputs) -> TapeOutputs:
    true = tape_corrected_length(
        given.reading_m, given.tape_k, given.standard_k, given.tape_expansion_per_k
    )
    wanted = None
    if given.pipe_k is not None and given.wanted_k is not None:
        wanted = length_at_temperature(
            true, given.pipe_k, given.wanted_k, given.pipe_expansion_per_k
        )
    return TapeOutputs(true_m=true, correction_m=true - given.reading_m, at_wanted_m=wanted)


class GrowthInputs(Inputs):
    """A free length that changes its temperature."""

    length_m: NotNegative = Field(description="length before [m]")
    rise_dk: Number = Field(description="change of temperature [K]")
    expansion_per_k: NotNegative = Field(STEEL_EXPANSION_PER_K, description="of the steel [1/K]")


class GrowthOutputs(Outputs):
    """What it grows."""

    growth_m: float = Field(description="growth; negative when it cools [m]")


def _growth(given: GrowthInputs) -> GrowthOutputs:
    growth = thermal_expansion(given.length_m, given.rise_dk, given.expansion_per_k)
    return GrowthOutputs(growth_m=growth)


CALCULATORS = (
    Calculator(
        name="error-budget",
        summary="error of the closure from the spreads of all pieces",
        formula="root of sum of n s^2, a common error counted as (n s)^2; worst: sum of n s",
        source="JCGM 100:2008 (GUM) section 5; spreads are the user's own",
        inputs=BudgetInputs,
        outputs=BudgetOutputs,
        function=_budget,
        example={
            "terms": [
                {"name": "flanged sections", "spread_m": 0.0015, "count": 9},
                {"name": "bypass joints", "spread_m": 0.0013, "count": 6},
                {"name": "tape offset", "spread_m": 0.0064},
            ],
            "half_stroke_m": 0.122,
        },
    ),
    Calculator(
        name="tape-temperature",
        summary="true length behind a tape reading, and at another temperature",
        formula="L (1 + alpha (T - T0))",
        source="temperature correction of plane surveying; alpha of steel: Lubinski et al. 1962",
        inputs=TapeInputs,
        outputs=TapeOutputs,
        function=_tape,
        example={"reading_m": 31.42, "tape_k": 313.15, "pipe_k": 318.15, "wanted_k": 293.15},
    ),
    Calculator(
        name="thermal-expansion",
        summary="growth of a free length that warms",
        formula="dL = alpha L dT",
        source="elementary; alpha of steel: Lubinski et al. 1962 (from memory)",
        inputs=GrowthInputs,
        outputs=GrowthOutputs,
        function=_growth,
        example={"length_m": 32.0, "rise_dk": 22.2},
    ),
)
