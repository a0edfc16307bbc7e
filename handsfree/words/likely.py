"""How likely each value and key is to be said: the weights that make the recogniser prefer what makes sense.

Deliberately wide, and the same for every instrument: what this sitting makes likely is for the judgement to weigh,
which knows it at once. Grammars that leaned towards it brought no reading more (DEVELOPERS.md).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from handsfree.nouns import HIGHEST_KEY, LOWEST_KEY

HIGHEST_VALUE = 200
"""Grams; no number above it is listened for."""

Chance = Callable[[int], float]
"""Whole number -> weight, on any scale."""

ANYTHING = 0.02
"""Share of the values that follow no expectation at all."""


@dataclass(frozen=True, slots=True)
class Spread:
    """Where a value is expected, in grams."""

    centre: float
    scale: float
    """Of a Student t distribution with 4 degrees of freedom: about two thirds lie within +- 1.1 of it."""


ANY_DOWN, ANY_UP = Spread(52.0, 7.0), Spread(26.0, 7.0)
"""What an instrument that nothing is known of makes likely."""
FIRST_IS_DOWN = 0.8
"""Chance that a sentence's first number, unnamed, is a down."""


def around(spread: Spread) -> Chance:
    """Student t (4 degrees of freedom, so that surprises stay possible) over 0..200, mixed with anything."""

    def density(value: int) -> float:
        return float((1 + ((value - spread.centre) / spread.scale) ** 2 / 4) ** -2.5)

    total = sum(map(density, range(HIGHEST_VALUE + 1)))
    return lambda value: (1 - ANYTHING) * density(value) / total + ANYTHING / (HIGHEST_VALUE + 1)


def mixed(share: float, one: Chance, other: Chance) -> Chance:
    return lambda value: share * one(value) + (1 - share) * other(value)


def any_key(key: int) -> float:
    """Every key of the keyboard alike; 0 elsewhere."""
    return 1 / HIGHEST_KEY if LOWEST_KEY <= key <= HIGHEST_KEY else 0.0
