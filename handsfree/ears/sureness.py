"""From the recognisers' scores to probabilities: how sure one may be of one way of hearing against the others.

Scores are natural logarithms of likelihoods; they count every frame (30 ms, the second ear's 20 ms) as independent
evidence, and two recognisers agree in what misleads both. Scaled and normalised they are as sure as they should be.
The scales are those with the least log loss on development speakers in quiet and noise, never on test speakers
(`models/training/evaluate.py --split dev`, "best scale").
"""

from __future__ import annotations

import math
from collections.abc import Sequence

SCALE = 0.9
"""Of the recogniser's score where it stands alone."""
FIRST, SECOND = 0.45, 0.5
"""Of the recogniser's and the second ear's score together."""
GRAMMAR = SCALE - FIRST
"""Of the logarithm of a sentence's chance, where it is given: the recogniser's score holds it, but not in full beside
the second ear's, which knows no grammar. What is seldom said (a note right after a count, a number said twice) would
be heard too readily."""


def evidence(
    first: Sequence[float], second: Sequence[float] | None = None, chances: Sequence[float] | None = None
) -> list[float]:
    """The recogniser's scores, and the second ear's of the same alternatives if it has an opinion -> scaled
    logarithms of what speaks for each. `chances`: logarithms of how likely each is to be said at all."""
    if second is None:
        return [SCALE * score for score in first]
    said = chances or [0.0] * len(first)
    return [FIRST * a + SECOND * b + GRAMMAR * c for a, b, c in zip(first, second, said, strict=True)]


def shares(logarithms: Sequence[float]) -> list[float]:
    """Evidence for alternatives (natural logarithms, any common offset) -> their probabilities, adding up to 1."""
    if not logarithms:
        return []
    highest = max(logarithms)
    weights = [math.exp(each - highest) for each in logarithms]
    return [weight / sum(weights) for weight in weights]
