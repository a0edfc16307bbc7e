"""How fast a piano's hammer swings: the period of a physical pendulum at large amplitude.

T = 2 pi sqrt(l / g) x 1 / AGM(1, cos(a / 2)) for a release at the angle a, with l the length of the simple pendulum
that swings as fast. A hammer is a light shank with a heavy head: l lies between 2/3 of its length (a rod alone) and
the whole length (the head alone). Friction takes swings away but hardly changes their time.
"""

from __future__ import annotations

from math import cos, pi, radians, sqrt

GRAVITY = 9.80665
"""m/s2 (standard gravity)."""
SHORTEST, LONGEST = 0.09, 0.15
"""Metres from the flange's centre to the head's: an assumption with room on both sides; about 0.13 is common
practice, no source."""


def stretch(release_degrees: float) -> float:
    """Period at this amplitude over that of very small swings, for 0 <= angle < 180: 1/AGM(1, cos(a/2))."""
    a, b = 1.0, cos(radians(release_degrees) / 2)
    while abs(a - b) > 1e-15 * a:
        a, b = (a + b) / 2, sqrt(a * b)
    return 1 / a


def small_period(length: float) -> float:
    """Seconds to and fro of a simple pendulum of `length` metres, for very small swings."""
    return 2 * pi * sqrt(length / GRAVITY)


def shortest_count() -> float:
    """Seconds between two counts at the fastest: each pass of the shortest hammer, nearly at rest."""
    return small_period(SHORTEST * 2 / 3) / 2


def longest_count(release_degrees: float = 90.0) -> float:
    """Seconds between two counts at the slowest: to and fro, the longest hammer, just let fall."""
    return small_period(LONGEST) * stretch(release_degrees)
