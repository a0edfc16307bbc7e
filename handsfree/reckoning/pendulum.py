"""A hammer let fall and left to swing: a pendulum with dry (Coulomb) friction.

From one turning point a1 to the next a2 the weight's work goes into friction, exactly and at any angle:

    cos a2 - cos a1 = mu (a1 + a2)        mu = friction torque / (weight x distance of the centre of mass)

a2 < 0 means that the pass ended before the lowest point. How many passes there are depends on mu and on the release
angle alone, not on inertia. Angles in radians.
"""

from __future__ import annotations

from functools import lru_cache
from math import cos, pi, radians, sin

MOST_PASSES = 400
"""Counts beyond are not worked out: no hammer swings that often."""


def next_angle(angle: float, mu: float) -> float:
    """The turning angle after `angle` > 0, as seen from the other side; negative: short of the lowest point."""
    rest = cos(angle) + mu * angle
    # Newton from the right of the root, where the relation falls and is concave: no step can overshoot
    guess = min(angle, angle - 2 * mu if angle < pi / 2 else angle)
    for _ in range(60):
        step = (cos(guess) - mu * guess - rest) / (sin(guess) + mu)
        guess += step
        if abs(step) < 1e-15:
            break
    return guess


def turning_angles(release: float, mu: float, most: int = MOST_PASSES) -> list[float]:
    """Turning angles after a release at `release` (0 < release < pi), until the hammer stops or `most`; mu > 0."""
    angles: list[float] = []
    angle = release
    while len(angles) < most and angle > 0 and sin(angle) > mu:
        angle = next_angle(angle, mu)
        angles.append(angle)
    return angles


def passes(release: float, mu: float) -> int:
    """How often the hammer goes through its lowest point."""
    return sum(1 for a in turning_angles(release, mu) if a >= 0)


@lru_cache(maxsize=2048)
def greatest_mu(count: int, release_degrees: float) -> float:
    """The greatest mu with which `count` >= 1 passes happen: the last one just reaches the lowest point.

    `release_degrees` from 1 to 130 (from steeper ones a tight hammer may not even start). Accuracy 1e-12.
    """
    release = radians(release_degrees)
    first = (1.0 - cos(release)) / release
    if count == 1:
        return first
    low, high = 0.0, first
    # for many passes mu n tends to Si(release)/2: a start that is right to a few per cent even for two
    mu = min(_sine_integral(release) / (2 * count), 0.99 * first)
    for _ in range(100):
        angles = turning_angles(release, mu, count)
        enough = len(angles) == count and angles[-1] >= 0
        low, high = (mu, high) if enough else (low, mu)
        # each pass costs about 2 mu of angle, so the last angle tells how far mu is off; halving is the safe way out
        better = mu + angles[-1] / (2 * count) if len(angles) == count else low
        if abs(better - mu) <= 1e-15:
            return better
        mu = better if low < better < high else (low + high) / 2
    return mu


def _sine_integral(angle: float) -> float:
    """Si(angle) by its power series; exact to rounding below pi."""
    total, term = 0.0, angle
    for k in range(1, 40, 2):
        total += term / k
        term *= -angle * angle / ((k + 1) * (k + 2))
    return total
