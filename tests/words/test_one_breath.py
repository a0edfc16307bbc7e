"""Several keys in one breath are cut into what is said of each."""

from __future__ import annotations

import random
from functools import partial
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.nouns import Alternative, Context, Heard, InOneBreath, Puzzle, Utterance, Word
from handsfree.words.grammar import sample, understand
from handsfree.words.one_breath import pieces
from tests.words.choosing import evenly

SWINGS = Context.SWINGS
understood = partial(understand, context=SWINGS)


def heard(*said: tuple[str, float]) -> Heard:
    """Alternatives with their shares; their words come 0.5 s apart from 0.5 s on."""
    found = tuple(
        Alternative(text, share, tuple(Word(w, 0.5 * i, 0.5 * i + 0.3, 1.0) for i, w in enumerate(text.split(), 1)))
        for text, share in said
    )
    return Heard(found, SWINGS, utterance=Utterance(bytes(2 * 16_000 * 5), 16_000, 10.0, 14.8))


def test_each_key_gets_what_was_said_of_it() -> None:
    one = heard(("a four seven b four six", 0.6), ("a four seven d four six", 0.3), ("a four seven", 0.1))
    first, second = pieces(one, understood)
    assert [(a.text, a.share) for a in first.alternatives] == [("a four seven", pytest.approx(1.0))]
    assert [(a.text, a.share) for a in second.alternatives] == [("b four six", 0.6), ("d four six", 0.3), ("", 0.1)]


def test_each_piece_has_its_own_sound() -> None:
    first, second = pieces(heard(("a four seven b four six", 1.0)), understood)
    assert first.utterance
    assert second.utterance
    cut = 3 * 0.5 + 0.3 + 0.1
    assert len(first.utterance.pcm) == 2 * round(cut * 16_000)
    assert first.utterance.pcm + second.utterance.pcm == bytes(2 * 16_000 * 5)
    assert second.utterance.start == pytest.approx(10.0 + cut)
    assert first.utterance.speech_end == pytest.approx(10.0 + cut)
    assert second.utterance.speech_end == 14.8
    assert [w.start for w in second.alternatives[0].words] == pytest.approx([0.1, 0.6, 1.1])


def test_what_is_mostly_heard_of_one_key_is_not_cut() -> None:
    one = heard(("one two three four five", 0.6), ("one two three a five six", 0.4))
    assert pieces(one, understood) == (one,)


def test_a_note_alone_after_a_count_stays_with_it() -> None:
    one = heard(("one two three b four", 1.0))
    assert pieces(one, understood) == (one,)


def test_what_is_typed_is_cut_too() -> None:
    typed = Heard((Alternative("A4 7 b4 6.5", 1.0),), SWINGS, via="keyboard")
    assert [piece.text for piece in pieces(typed, understood)] == ["a four 7", "b four 6.5"]


@given(st.integers(0, 2**32).map(Random))
def test_the_pieces_mean_what_the_whole_did(chance: random.Random) -> None:
    """Or are puzzles where a key number and a count run together, as they are alone."""
    text, said = sample(SWINGS, evenly(chance))
    whole = understand(text, SWINGS)
    if not isinstance(said, InOneBreath) or whole != said:
        return
    parts = pieces(Heard((Alternative(text, 1.0),), SWINGS), understood)
    assert len(parts) == len(said.parts)
    for part, meant in zip(parts, said.parts, strict=True):
        alone = understand(part.text, SWINGS)
        assert alone == meant or (isinstance(alone, Puzzle) and "key" in part.text), (text, alone)
