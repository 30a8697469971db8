"""Which answers need attention: limits that are used up, and facts that stand whatever is run."""

from __future__ import annotations

from collections.abc import Sequence

from abreast.model import Finding

__all__ = ["attention", "by_check"]


def attention(findings: Sequence[Finding]) -> tuple[list[Finding], list[Finding]]:
    """What exceeds a limit or is near it, and apart from that the standing facts.

    Parameters
    ----------
    findings : sequence of Finding
        The findings, tightest first.

    Returns
    -------
    tuple of two lists
        All that exceed a limit, and those near one with a utilisation; then those
        that are marked 'near limit' with nothing to use up, such as a port that
        hangs below the plate.
    """
    limits = [one for one in findings if one.status == "exceeds" or _is_used(one)]
    facts = [one for one in findings if one.status == "near limit" and one.utilisation is None]
    return limits, facts


def _is_used(finding: Finding) -> bool:
    return finding.status == "near limit" and finding.utilisation is not None


def by_check(findings: Sequence[Finding]) -> list[list[Finding]]:
    """The findings of each check together, in the order in which they first come."""
    groups: dict[str, list[Finding]] = {}
    for one in findings:
        groups.setdefault(one.id.partition(":")[0], []).append(one)
    return list(groups.values())
