"""What the tally says beside the figures: damage in a remark, papers that are missing.

Common practice, no source: the words and the shares only decide what is asked
back.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from abreast.jobfile.suspicion import Suspect
from abreast.model import Job, RackItem

__all__ = ["paper_suspects"]

_DAMAGE = re.compile(
    r"(?<!no )(?<!not )(?<!without )\b(?:dent|bent|crack|gall|damag|pitt|corro|reject|scrap|leak"
    r"|laid aside|do not run|not usable|red[- ]tape)\w*",
    re.IGNORECASE,
)
_LEAST_GROUP = 4
_MOST_SHOWN = 60


def paper_suspects(job: Job) -> Iterator[Suspect]:
    """Usable rack pieces whose remark speaks of damage, or that alone lack a paper."""
    for index, item in enumerate(job.rack):
        if item.status == "usable":
            yield from _remark(index, item)
    yield from _certificates(job)
    yield from _serials(job)


def _remark(index: int, item: RackItem) -> Iterator[Suspect]:
    found = _DAMAGE.search(item.note)
    if found is None:
        return
    note = item.note if len(item.note) <= _MOST_SHOWN else f"... {found[0]} ..."
    message = f"is usable, yet its note says {note!r}"
    proposal = "Look at the piece; lay it aside with its status_reason, or accept it as usable"
    yield Suspect("rack", index, "status", "remark", message, proposal, item.id)


def _certificates(job: Job) -> Iterator[Suspect]:
    """A blank certificate where the other usable pieces have one; none at all is no pattern."""
    usable = [(index, item) for index, item in enumerate(job.rack) if item.status == "usable"]
    papers = sum(bool(item.certificate) for _, item in usable)
    if len(usable) < _LEAST_GROUP or 2 * papers < len(usable):
        return
    for index, item in usable:
        if not item.certificate:
            message = f"has no certificate; {papers} of {len(usable)} usable pieces have one"
            proposal = "Find it, write why there is none, or lay the piece aside until cleared"
            yield Suspect(
                "rack", index, "certificate", "no-certificate", message, proposal, item.id
            )


def _serials(job: Job) -> Iterator[Suspect]:
    first: dict[str, str] = {}
    for index, item in enumerate(job.rack):
        if item.serial and item.serial in first:
            message = f"serial {item.serial[:_MOST_SHOWN]!r} stands at {first[item.serial]} too"
            proposal = "Read both serials off the steel and correct the wrong one"
            yield Suspect("rack", index, "serial", "serial-twice", message, proposal, item.id)
        first.setdefault(item.serial, item.id)
