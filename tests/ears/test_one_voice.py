"""Words of one mouth are about as loud as each other. Synthetic sounds; limits measured on people (one_voice.py)."""

from __future__ import annotations

import math

import pytest

from handsfree.ears.one_voice import SOFTER, of_one_voice
from handsfree.nouns import Word

RATE = 16_000
LENGTH = 0.4
"""Seconds, of each word and of the silence after it."""


def said(*decibels: float) -> tuple[bytes, tuple[Word, ...]]:
    """Words so far below full scale."""
    samples, words = [], []
    for n, loud in enumerate(decibels):
        start = 2 * n * LENGTH
        words.append(Word(f"w{n}", start, start + LENGTH, 1.0))
        peak = 32767 * 10 ** (loud / 20)
        for i in range(round(2 * LENGTH * RATE)):
            samples.append(round(peak * math.sin(2 * math.pi * 200 * i / RATE)) if i < LENGTH * RATE else 0)
    return b"".join(s.to_bytes(2, "little", signed=True) for s in samples), tuple(words)


@pytest.mark.parametrize("loud", [-3.0, -20.0, -40.0])
def test_a_voice_that_falls_at_the_end_is_one_voice(loud: float) -> None:
    assert of_one_voice(*said(loud, loud - 2, loud - 5, loud - SOFTER + 2))


@pytest.mark.parametrize("place", range(4))
def test_a_word_from_across_the_room_is_not(place: int) -> None:
    levels = [-20.0, -21.0, -19.0, -22.0]
    levels[place] -= SOFTER + 4
    assert not of_one_voice(*said(*levels))


def test_of_two_words_the_softer_one_is_the_strange_one() -> None:
    assert of_one_voice(*said(-20.0, -30.0))
    assert not of_one_voice(*said(-20.0, -36.0))


def test_a_single_word_or_none_says_nothing() -> None:
    assert of_one_voice(*said(-60.0))
    assert of_one_voice(b"", ())
    assert of_one_voice(b"", (Word("one", 0.0, 0.2, 1.0), Word("two", 0.3, 0.5, 1.0)))


def test_of_a_word_of_one_block_nothing_is_known() -> None:
    """The "a" of "fifty two and a half" is found within a few hundredths of a second, or beside it."""
    pcm, words = said(-20.0, -21.0, -50.0, -20.0)
    short = (*words[:2], Word("a", words[2].start, words[2].start + 0.03, 1.0), words[3])
    assert of_one_voice(pcm, short)
    assert not of_one_voice(pcm, words)
