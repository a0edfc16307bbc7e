"""The words that a value was taken from."""

from __future__ import annotations

import pytest

from handsfree.nouns import Alternative, Context
from handsfree.words.as_taken import words_for

A4, F4 = 49, 45
"""Numbers of 88, A0 being 1 (scientific pitch notation; CHECKS 3: A4 is key 49)."""


@pytest.mark.parametrize(
    ("heard", "context", "key", "words"),
    [
        (["f four forty nine", "a four forty nine"], Context.TOUCH, A4, "a four forty nine"),
        (["f four forty nine", "a four forty nine"], Context.TOUCH, F4, "f four forty nine"),
        (["f four forty nine", "forty nine"], Context.TOUCH, A4, "forty nine"),
        (["f four forty nine"], Context.TOUCH, A4, "f four forty nine"),
        (["correction f four fifty", "correction a four fifty"], Context.TOUCH, A4, "correction a four fifty"),
        (["f four seven", "a four seven"], Context.SWINGS, A4, "a four seven"),
        (["f four one two three", "a four one two three"], Context.SWINGS, A4, "a four one two three"),
        (["yes"], Context.ANSWER, A4, "yes"),
        ([], Context.TOUCH, A4, ""),
    ],
)
def test_the_words_fit_the_key(heard: list[str], context: Context, key: int, words: str) -> None:
    assert words_for([Alternative(text, 0.5) for text in heard], context, key) == words
