"""What the sitting makes likely to be said next: the key that would be named, and where its values lie.

For the ear alone: it helps to keep an expected sentence among what may have been heard. The judgement weighs what was
heard by the sheet itself (weighing.py), never by this.
"""

from __future__ import annotations

from dataclasses import dataclass

from handsfree.judgement.expectation import SAME_KEY_SCALE, predict
from handsfree.judgement.limits import Limits
from handsfree.judgement.this_pass import in_pass
from handsfree.nouns import Pass, Quantity, Sheet

FINENESS = 0.5
"""Grams to which centre and scale are rounded: a grammar serves as long as nothing changes by more."""
DOWN_NEXT, UP_NEXT = 0.9, 0.1
"""Chance that a bare first number is the down, where it is missing, and where only the up is."""


@dataclass(frozen=True, slots=True)
class Near:
    """Where a value is expected, grams: Student t of four degrees of freedom."""

    centre: float
    scale: float


@dataclass(frozen=True, slots=True)
class Prospect:
    key: int | None
    """1..88: the one that would be named; None: no plan tells."""
    down: Near
    up: Near
    first_is_down: float
    """Chance that a sentence's first number, unnamed, is a down."""


def prospect(sheet: Sheet, limits: Limits) -> Prospect | None:
    """`sheet`: the whole one. None where nothing is known of what comes (no place, no touch pass, standing
    by), or nobody wants to know."""
    if limits.lean <= 0 or sheet.doing is not Pass.TOUCH or sheet.standing_by:
        return None
    seen, limits = in_pass(sheet, limits)
    asked = seen.asking.question.proposals if seen.asking else ()
    at = asked[0].key if asked else seen.place
    if at is None:
        return None
    if asked:
        first = UP_NEXT if all(p.quantity is Quantity.UP for p in asked) else DOWN_NEXT
    else:
        up_missing = (at, Quantity.DOWN) in seen.standing and (at, Quantity.UP) not in seen.standing
        first = UP_NEXT if up_missing and Quantity.UP in limits.wanted else DOWN_NEXT
    planned = at if asked or seen.plan.keys else None
    return Prospect(planned, _near(at, Quantity.DOWN, seen), _near(at, Quantity.UP, seen), first)


def _near(key: int, quantity: Quantity, sheet: Sheet) -> Near:
    earlier = sheet.standing.get((key, quantity))
    if earlier is not None and earlier.value is not None:
        return Near(_rounded(float(earlier.value)), SAME_KEY_SCALE)
    around = predict(key, quantity, sheet)
    return Near(_rounded(around.centre), max(FINENESS, _rounded(around.scale)))


def _rounded(grams: float) -> float:
    return round(grams / FINENESS) * FINENESS
