"""The fit of the assembly that is being checked, worked out once for all checks that ask."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from abreast.checks.base import Context
from abreast.mechanics.fit import Fit, fit
from abreast.model import Assembly, Job

__all__ = ["fit_of"]


@dataclass(frozen=True, slots=True, eq=False)
class _Pair:
    """A job and an assembly, the same only if both are the very same objects."""

    job: Job
    assembly: Assembly

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Pair) and self.job is other.job and self.assembly is other.assembly
        )

    def __hash__(self) -> int:
        return hash((id(self.job), id(self.assembly)))


def fit_of(context: Context) -> Fit:
    """The fit of the job and assembly of a context.

    Both are immutable, so the last few are kept; a changed assembly is another
    object and is worked out anew.
    """
    return _fit(_Pair(context.job, context.assembly))


@lru_cache(maxsize=2)
def _fit(pair: _Pair) -> Fit:
    return fit(pair.job, pair.assembly)
