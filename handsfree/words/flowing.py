"""Words that nobody says with a pause between them: "fifty | two", "and | a half", "f | sharp". Pure."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from handsfree.nouns import Word
from handsfree.words.spoken import RADIO, TENS, UNITS

APART = 0.5
"""Seconds of silence between two words that belong together; whatever comes later was hardly meant so."""
LEANS_BACK = frozenset({"sharp", "flat", "natural", "and", "half", "point"})
"""They go with the word before them."""
DIGITS = frozenset((*UNITS[1:], *RADIO.values()))


def in_one_flow(words: Sequence[Word]) -> bool:
    """Whether the words of each number, and of each note's letter, lie together."""
    return all(
        after.start - before.end <= APART for before, after in pairwise(words) if _together(before.text, after.text)
    )


def _together(before: str, after: str) -> bool:
    tens_and_digit = before in TENS and after in DIGITS
    return after in LEANS_BACK or before == "point" or (before, after) == ("and", "a") or tens_and_digit
