"""How likely each value is to be said: the weights that make the recogniser prefer what makes sense.

The default is deliberately wide; the sitting narrows it through an `Expectation`. These chances only help to hear:
an expected sentence is kept among the alternatives where noise would have lost it. Whether a value can be right is
for judgement to say, and what the sitting added here is taken out of the scores again before it does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp

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


@dataclass(frozen=True, slots=True)
class Expectation:
    """What the sitting makes likely next."""

    key: int | None = None
    """1..88: the key that would be named, if one is."""
    down: Spread = ANY_DOWN
    up: Spread = ANY_UP
    first_is_down: float = 0.8
    """Chance that a sentence's first number, unnamed, is a down; small where only the up is missing."""
    lean: float = 0.5
    """Chance that a value or a named key follows the sitting."""


def around(spread: Spread) -> Chance:
    """Student t (4 degrees of freedom, so that surprises stay possible) over 0..200, mixed with anything."""

    def density(value: int) -> float:
        return float((1 + ((value - spread.centre) / spread.scale) ** 2 / 4) ** -2.5)

    total = sum(map(density, range(HIGHEST_VALUE + 1)))
    return lambda value: (1 - ANYTHING) * density(value) / total + ANYTHING / (HIGHEST_VALUE + 1)


def mixed(share: float, one: Chance, other: Chance) -> Chance:
    return lambda value: share * one(value) + (1 - share) * other(value)


MOST = 3.0
"""Nats by which an expectation may at most favour a value or a key; any other keeps 1 - lean of its own chance. Clear
speech is heard by tens of nats."""


def narrowed(anything: Chance, expected: Chance, lean: float) -> Chance:
    """`expected` as far as it may be trusted to help hearing; bounded both ways (see MOST)."""
    follows = mixed(lean, expected, anything)
    return lambda value: min(follows(value), exp(MOST) * anything(value))


def value_chance(spread: Spread, usual: Spread, lean: float) -> Chance:
    """Over whole grams; `usual`: what is expected where nothing is known."""
    return around(usual) if spread == usual else narrowed(around(usual), around(spread), lean)


def key_chance(expected: int | None, lean: float = 0.0) -> Chance:
    """Over keys 1..88; 0 elsewhere."""

    def any_key(key: int) -> float:
        return 1 / 88 if 1 <= key <= 88 else 0.0

    return any_key if expected is None else narrowed(any_key, lambda key: float(key == expected), lean)
