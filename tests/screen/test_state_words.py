"""The state of listening in words; the level as a bar."""

from __future__ import annotations

import pytest

from handsfree.nouns import Context, EarState, Level
from handsfree.screen.state import bar_cells, meter, state_piece, state_word
from handsfree.screen.styled import plain


@pytest.mark.parametrize(
    ("ear", "context", "word"),
    [
        (EarState.LISTENING, Context.TOUCH, "listening"),
        (EarState.HEARING, Context.TOUCH, "hearing"),
        (EarState.LISTENING, Context.SWINGS, "listening"),
        (EarState.HEARING, Context.SWINGS, "counting"),
        (EarState.LISTENING, Context.ANSWER, "asking"),
        (EarState.HEARING, Context.ANSWER, "asking"),
        (EarState.LISTENING, Context.WALK_ANSWER, "asking"),
        (EarState.HEARING, Context.REMARK, "recording"),
        (EarState.LISTENING, Context.STANDING_BY, "standing by"),
        (EarState.SPEAKING, Context.ANSWER, "speaking"),
        (EarState.MUTED, Context.ANSWER, "muted"),
        (EarState.NO_MICROPHONE, Context.STANDING_BY, "no microphone"),
    ],
)
def test_state_word(ear: EarState, context: Context, word: str) -> None:
    assert state_word(ear, context) == word


def test_every_state_has_a_sign_of_its_own_and_the_same_width() -> None:
    words = {state_word(ear, context) for ear in EarState for context in Context}
    pieces = [state_piece(word).text for word in words]
    assert len(words) == 9
    assert len({text[0] for text in pieces}) == 9
    assert {len(text) for text in pieces} == {15}


@pytest.mark.parametrize(("dbfs", "lit"), [(-96, 0), (-60, 0), (-30, 40), (0, 80)])
def test_bar_is_linear_in_decibels(dbfs: float, lit: int) -> None:
    assert bar_cells(Level(dbfs), 10) == lit


def test_meter_keeps_its_width_and_says_loud() -> None:
    texts = ["".join(plain([meter(level, 10)])) for level in (None, *(Level(float(d)) for d in range(-96, 1)))]
    assert {len(text) for text in texts} == {16}
    assert texts[-1].endswith("loud")
    assert "loud" not in texts[0]
