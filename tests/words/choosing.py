"""Chance, for saying sentences of the grammar: evenly (rare branches get their turn) or as likely as they are."""

from __future__ import annotations

import random
from collections.abc import Sequence

from handsfree.words.expressions import Choice


def as_likely(seed: int) -> Choice:
    chance = random.Random(seed)
    return lambda weights: chance.choices(range(len(weights)), weights)[0]


def evenly(chance: random.Random) -> Choice:
    def choose(weights: Sequence[float]) -> int:
        return chance.choice([i for i, weight in enumerate(weights) if weight])

    return choose
