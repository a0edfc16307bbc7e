"""How likely each value is to be said: the weights that make the recogniser prefer what makes sense.

The default is deliberately wide; the sitting narrows it through an `Expectation`. These chances only help to hear;
whether a value can be right is for judgement to say.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True)
class Expectation:
    """What the sitting makes likely next."""

    key: int | None = None
    """1..88: the key that would be named, if one is."""
    down: Spread = Spread(52.0, 7.0)
    up: Spread = Spread(26.0, 7.0)
    first_is_down: float = 0.8
    """Chance that a sentence's first number, unnamed, is a down; small where only the up is missing."""


def around(spread: Spread) -> Chance:
    """Student t (4 degrees of freedom, so that surprises stay possible) over 0..200, mixed with anything."""

    def density(value: int) -> float:
        return float((1 + ((value - spread.centre) / spread.scale) ** 2 / 4) ** -2.5)

    total = sum(map(density, range(HIGHEST_VALUE + 1)))
    return lambda value: (1 - ANYTHING) * density(value) / total + ANYTHING / (HIGHEST_VALUE + 1)


def mixed(share: float, one: Chance, other: Chance) -> Chance:
    return lambda value: share * one(value) + (1 - share) * other(value)


KEY_AS_EXPECTED = 0.5
"""Chance that a named key is the expected one, where one is expected."""


def key_chance(expected: int | None) -> Chance:
    """Over keys 1..88; 0 elsewhere."""
    share = 0.0 if expected is None else KEY_AS_EXPECTED

    def chance(key: int) -> float:
        if not 1 <= key <= 88:
            return 0.0
        return (1 - share) / 88 + (share if key == expected else 0.0)

    return chance
