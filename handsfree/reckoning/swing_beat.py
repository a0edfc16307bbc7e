"""Whether the beat of counting fits what is said to be one swing: each pass of the hammer, or to and fro.

A hammer's pass takes 0.25 to 0.46 s, to and fro twice that (hammer_period.py), so the seconds between two counts tell
which of the two was counted; the factor of two in the friction that goes with it is the largest doubt of all. The
limits are wide: nobody counts like a clock, and a beat between the two says nothing.
"""

from __future__ import annotations

from collections.abc import Collection
from statistics import median

from handsfree.reckoning.hammer_period import LONGEST, SHORTEST, small_period, stretch
from handsfree.reckoning.readings import SwingDefinition

ROOM = 0.15
"""Part by which a beat may lie outside: hands, tongues and the times of words."""
ENOUGH = 3
"""Counts aloud from which on the sitting's beat is told."""
_SHORTEST = 2 / 3 * SHORTEST
"""Metres: the simple pendulum as fast as a rod alone of the shortest hammer's length."""


def beats_of(definition: SwingDefinition, release_degrees: float = 90.0) -> tuple[float, float]:
    """Seconds between two counts, at the least (shortest hammer, nearly at rest) and at the most (longest, just let
    fall from `release_degrees`, 0 <= angle < 180)."""
    parts = 0.5 if definition is SwingDefinition.PASS else 1.0
    return parts * small_period(_SHORTEST), parts * small_period(LONGEST) * stretch(release_degrees)


def fits(beat: float, definition: SwingDefinition, release_degrees: float = 90.0) -> bool:
    """Whether counts `beat` seconds apart can be swings of this definition."""
    least, most = beats_of(definition, release_degrees)
    return least * (1 - ROOM) <= beat <= most * (1 + ROOM)


def doubt(beats: Collection[float], definition: SwingDefinition, release_degrees: float = 90.0) -> str:
    """What to tell of a sitting whose counts came at another beat than its definition of a swing has; "" = they fit,
    or too few were counted aloud. `beats`: seconds, one a key."""
    if len(beats) < ENOUGH:
        return ""
    usual = median(beats)
    if fits(usual, definition, release_degrees):
        return ""
    other = SwingDefinition.TO_AND_FRO if definition is SwingDefinition.PASS else SwingDefinition.PASS
    told = f"counts came every {usual:.2f} s, which is no hammer's {_NAMES[definition]}"
    return f"{told}, but its {_NAMES[other]}" if fits(usual, other, release_degrees) else told


_NAMES = {SwingDefinition.PASS: "single pass", SwingDefinition.TO_AND_FRO: "to and fro"}
