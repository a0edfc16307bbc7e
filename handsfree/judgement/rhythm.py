"""The beat of a count: which swings its numbers were said at. Pure.

A straight line is laid through the numbers over their times (least squares), with half of the slowing that a pendulum
shows when it is let fall from 90 degrees. Where a number is missing, or was said twice, two lines compete: one with
the swings as the numbers say, one with a swing more or less at that place. How much better the one fits than the
other tells whether the count is as good as whole. People are not on the beat by a word's first sound: see OFF.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

SLOWING = 0.18
"""Beats that the first swings of a whole count take longer, in sum: half of what they do from 90 degrees."""
SLOWING_LEFT = 0.6
"""... of which each swing leaves this part to those after it."""
OFF = 0.08
"""Seconds, standard deviation, by which a word's beginning is off the beat: measured on counts spliced from people's
digits, whose attacks were on the beat within 0.03 s (the gaps between beginnings: 0.11 s)."""


@dataclass(frozen=True, slots=True)
class Fit:
    beat: float
    """Seconds between two counts."""
    misfit: float
    """Seconds squared, summed: what the line leaves over."""


def fit(swings: Sequence[int], times: Sequence[float]) -> Fit:
    """The line through at least two different swings (1, 2, 3 ...) at their times."""
    at = [swing - SLOWING * SLOWING_LEFT ** (swing - 1) for swing in swings]
    middle, centre = sum(at) / len(at), sum(times) / len(times)
    spread = sum((x - middle) ** 2 for x in at)
    beat = sum((x - middle) * (t - centre) for x, t in zip(at, times, strict=True)) / spread
    misfit = sum((t - centre - beat * (x - middle)) ** 2 for x, t in zip(at, times, strict=True))
    return Fit(beat, misfit)


def favours(swings: Sequence[int], others: Sequence[int], times: Sequence[float]) -> float:
    """How much likelier the times are if these swings were counted than if those others were, as a natural
    logarithm; 0 = as likely."""
    return clearer(fit(swings, times).misfit, fit(others, times).misfit)


def clearer(misfit: float, other: float) -> float:
    """The same of two misfits."""
    return (other - misfit) / (2 * OFF**2)


def beat_of(numbers: Sequence[int], times: Sequence[float]) -> float | None:
    """Seconds a beat, from the gaps between numbers that follow each other; None where there are none."""
    single = [b[1] - a[1] for a, b in pairwise(zip(numbers, times, strict=True)) if b[0] - a[0] == 1]
    return median(single) if single else None
