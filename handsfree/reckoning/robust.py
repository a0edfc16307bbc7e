"""Middle and scale that one wrong reading cannot spoil.

Modified z-score: NIST/SEMATECH e-Handbook 1.3.5.17 (Iglewicz and Hoaglin). Readings in whole grams often have a
median absolute deviation of 0; then the mean absolute deviation takes its place, and when that is 0 too nothing
stands out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

STANDS_OUT = 3.5
"""|score| above which a value is a potential outlier (the handbook's label)."""

_NOTHING = 1e-9
"""Deviations below are rounding of the arithmetic, not of the readings."""


@dataclass(frozen=True, slots=True)
class Scores:
    scores: tuple[float, ...]
    median: float
    rule: str
    """What a score is measured in."""


def modified_z(values: Sequence[float]) -> Scores:
    """0.6745 (x - median)/MAD of each value, with the rule for MAD = 0; no values give no scores."""
    if not values:
        return Scores((), 0.0, "no values")
    middle = median(values)
    deviations = [abs(v - middle) for v in values]
    mad = median(deviations)
    if mad > _NOTHING:
        return Scores(tuple(0.6745 * (v - middle) / mad for v in values), middle, "median absolute deviation")
    mean_deviation = sum(deviations) / len(deviations)
    if mean_deviation > _NOTHING:
        scale = 1.253314 * mean_deviation
        rule = "mean absolute deviation (the median one is 0)"
        return Scores(tuple((v - middle) / scale for v in values), middle, rule)
    return Scores(tuple(0.0 for _ in values), middle, "nothing: all alike")
