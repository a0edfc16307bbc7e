"""From the recogniser's scores to probabilities: how sure it may be of one way of hearing against the others.

Vosk's n-best scores are natural logarithms of likelihoods; they count every 30 ms frame as independent evidence.
Scaled and normalised they are as sure as they should be. The scale is the one with the least log loss on development
speakers, never on test speakers (`models/training/evaluate.py --split dev`, "best scale").
"""

from __future__ import annotations

import math
from collections.abc import Sequence

SCALE = 0.9


def shares(scores: Sequence[float]) -> list[float]:
    """Scores of alternatives (natural logarithms, any common offset) -> their probabilities, adding up to 1."""
    if not scores:
        return []
    highest = max(scores)
    weights = [math.exp(SCALE * (score - highest)) for score in scores]
    return [weight / sum(weights) for weight in weights]
