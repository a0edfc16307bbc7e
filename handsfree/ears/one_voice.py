"""Do the words of an utterance come from one mouth? Whoever talks beside is softer at the microphone. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import fmean, median

from handsfree.ears.blocks import BLOCK_SECONDS
from handsfree.ears.level import levels_of
from handsfree.nouns import Word

SOFTER = 14.0
"""dB by which a word lies below the others of its utterance: hardly the same voice. Of 785 sentences of people
reading letters and numbers aloud, whose voices fall at the end, 6 hold such a word (at 12 dB 13); of 684 readings by
telephone none was asked about for it, at 12 dB one in a hundred."""
SHORTEST = 0.06
"""Seconds; of a shorter word ("fifty two and a half") it is not known well enough where it lies."""
LOUDEST_PART = 3
"""A word is as loud as the loudest third of its blocks: its consonants and the silence around it say nothing."""


def of_one_voice(pcm: bytes, words: Sequence[Word]) -> bool:
    """Whether no word is much softer than the others; `pcm`: 16-bit mono at 16 kHz, `words` with times in it."""
    blocks = levels_of(pcm)
    if not blocks:
        return True
    loud = [_loudness(blocks, word) for word in words if word.end - word.start >= SHORTEST]
    return len(loud) < 2 or all(one > median(loud[:i] + loud[i + 1 :]) - SOFTER for i, one in enumerate(loud))


def _loudness(blocks: Sequence[float], word: Word) -> float:
    """dBFS."""
    first = min(int(word.start / BLOCK_SECONDS), len(blocks) - 1)
    within = sorted(blocks[first : max(first + 1, int(word.end / BLOCK_SECONDS))], reverse=True)
    return fmean(within[: math.ceil(len(within) / LOUDEST_PART)])
