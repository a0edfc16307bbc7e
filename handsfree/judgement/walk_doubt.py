"""What of a finding is in doubt, where the rest of it was surely heard: then only that is asked about. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from handsfree.judgement.walk_meanings import Meant
from handsfree.nouns import Finding

Slot = Literal["", "part", "finding", "place", "grade"]
SLOTS: tuple[Slot, ...] = ("grade", "place", "finding", "part")
"""The least first: where two would do, the lesser is asked about."""


def doubtful(finding: Finding, weighed: Sequence[Meant], take: float) -> Slot:
    """The one thing of the finding that is not sure, where all else of it has `take` or more; "" = there is none."""
    return next((slot for slot in SLOTS if agreeing(finding, weighed, slot) >= take), "")


def agreeing(finding: Finding, weighed: Sequence[Meant], slot: Slot) -> float:
    """How sure all of the finding is but `slot`: what the meanings with the same rest have together."""
    rest = without(finding, slot)
    return sum(m.share for m in weighed if m.finding is not None and without(m.finding, slot) == rest)


def rivals(finding: Finding, weighed: Sequence[Meant], slot: Slot) -> list[tuple[Finding, float]]:
    """What else was heard of the slot, with its share, likeliest first; for "" whatever else was heard."""
    rest = without(finding, slot)
    others = ((m.finding, m.share) for m in weighed if m.finding is not None and m.finding != finding)
    return [(other, share) for other, share in others if not slot or without(other, slot) == rest]


def without(finding: Finding, slot: Slot) -> Finding:
    """The finding with the slot left open; another finding may come with another grade ("good" means 1)."""
    match slot:
        case "part":
            return replace(finding, part="")
        case "finding":
            return replace(finding, finding="", grade=None)
        case "place":
            return replace(finding, place="")
        case "grade":
            return replace(finding, grade=None)
        case _:
            return finding
