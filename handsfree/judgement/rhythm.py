"""The beat of a count: which swings its numbers were said at. Pure.

A straight line is laid through the numbers over their times (least squares), with half of the slowing that a pendulum
shows when it is let fall from 90 degrees. How far the numbers are off that line tells how likely they came so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log, pi, sqrt
from statistics import median

SLOWING = 0.18
"""Beats that the first swings of a whole count take longer, in sum: half of what they do from 90 degrees."""
SLOWING_LEFT = 0.6
"""... of which each swing leaves this part to those after it."""
OFF = 0.06
"""Seconds, standard deviation, by which a number is off the beat. Of 460 numbers spliced from people's digits, put on
the beat within 0.03 s, the recogniser's beginnings of the words were off by 0.04 s; people may be less steady."""
ON_BEAT = -log(OFF * sqrt(2 * pi))
"""What speaks for a word (natural logarithm) that comes just when its swing does, against one that may come at any
moment within a second."""


@dataclass(frozen=True, slots=True)
class Fit:
    beat: float
    """Seconds between two counts."""
    misfit: float
    """Seconds squared, summed: what the line leaves over."""
    start: float
    """Seconds at which the line begins, before the first swing."""

    def at(self, swing: int) -> float:
        """Seconds at which a swing is to be counted."""
        return self.start + self.beat * _place(swing)


def fit(swings: Sequence[int], times: Sequence[float]) -> Fit:
    """The line through at least two different swings (1, 2, 3 ...) at their times."""
    at = [_place(swing) for swing in swings]
    middle, centre = sum(at) / len(at), sum(times) / len(times)
    spread = sum((x - middle) ** 2 for x in at)
    beat = sum((x - middle) * (t - centre) for x, t in zip(at, times, strict=True)) / spread
    misfit = sum((t - centre - beat * (x - middle)) ** 2 for x, t in zip(at, times, strict=True))
    return Fit(beat, misfit, centre - beat * middle)


def _place(swing: int) -> float:
    """When a swing comes, in beats."""
    return swing - SLOWING * SLOWING_LEFT ** (swing - 1)


def speeds_up(numbers: Sequence[int], times: Sequence[float], to: float) -> bool:
    """Whether the last third of the beats is shorter than `to` times the first third."""
    beats = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(zip(numbers, times, strict=True)) if b[0] > a[0]]
    third = len(beats) // 3
    return third > 1 and median(beats[-third:]) < to * median(beats[:third])
