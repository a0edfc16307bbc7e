"""Words that belong together are said in one flow; times made up."""

from __future__ import annotations

import pytest

from handsfree.nouns import Word
from handsfree.words.flowing import APART, in_one_flow


def said(text: str) -> list[Word]:
    """ "|": a pause that is too long."""
    words, at = [], 0.0
    for word in text.split():
        if word == "|":
            at += APART + 0.1
        else:
            words.append(Word(word, at, at + 0.3, 1.0))
            at += 0.35
    return words


@pytest.mark.parametrize(
    "text",
    [
        "",
        "fifty",
        "fifty | thirty",
        "c four fifty two and a half | twenty eight",
        "f sharp four | fifty two | up | twenty",
        "a | four | five two",
        "five | two",
    ],
)
def test_a_reading_may_have_pauses_between_its_parts(text: str) -> None:
    assert in_one_flow(said(text))


@pytest.mark.parametrize(
    "text",
    [
        "fifty | two",
        "thirty one | and a half",
        "thirty one and | a half",
        "thirty one and a | half",
        "fifty two | point five",
        "fifty two point | five",
        "f | sharp four fifty",
        "twenty | niner",
    ],
)
def test_no_number_or_letter_has_one_within(text: str) -> None:
    assert not in_one_flow(said(text))
