"""The mean of paired differences, with its confidence interval: the same key before and after.

Pairs take out what differs from key to key; comparing the two means as if they were of different keys would bury a
real change (Student 1908; his sleep data are in the tests).
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from math import sqrt

from handsfree.reckoning.results import PairedDifference, PairedQuantity
from handsfree.reckoning.student import mean_and_sd, t_quantile, two_sided_p

_NOTHING = 1e-9
"""A standard deviation below is rounding of the arithmetic, not of the readings."""


def paired_difference(
    quantity: PairedQuantity,
    pairs: Sequence[tuple[Decimal, Decimal]],
    confidence: Decimal = Decimal("0.95"),
    step_sd: float = 0.0,
) -> PairedDifference:
    """Second minus first over (first, second) pairs.

    `step_sd`: what the weight steps alone leave open in one difference (grams); used where all differences are alike,
    since readings in whole steps cannot show less.
    """
    n = len(pairs)
    if n == 0:
        return _none(quantity, "no key has it in both")
    differences = [float(b - a) for a, b in pairs]
    first = sum(float(a) for a, _ in pairs) / n
    second = sum(float(b) for _, b in pairs) / n
    if n == 1:
        reason = "one key only: no interval"
        return PairedDifference(
            quantity, 1, first, second, differences[0], None, None, None, None, None, False, reason
        )
    mean, sd = mean_and_sd(differences)
    t = p = None
    reason = ""
    if sd > _NOTHING:
        t = mean / (sd / sqrt(n))
        p = two_sided_p(t, n - 1)
        wide = sd
    else:
        reason = "all differences are alike: the interval is what the weight steps leave open"
        wide, sd = step_sd, 0.0
    half = t_quantile((1.0 + float(confidence)) / 2, n - 1) * wide / sqrt(n)
    low, high = mean - half, mean + half
    changed = low > _NOTHING or high < -_NOTHING
    return PairedDifference(quantity, n, first, second, mean, sd, t, p, low, high, changed, reason)


def _none(quantity: PairedQuantity, reason: str) -> PairedDifference:
    return PairedDifference(quantity, 0, None, None, None, None, None, None, None, None, False, reason)
