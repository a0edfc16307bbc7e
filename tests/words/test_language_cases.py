"""The language by example: cases.txt (spoken) and typed.txt."""

from __future__ import annotations

import pytest

from handsfree.nouns import Context, Puzzle
from handsfree.words.grammar import understand
from tests.words.showing import cases, shown

SPOKEN = cases("cases.txt")
TYPED = cases("typed.txt")


@pytest.mark.parametrize(("context", "text", "meaning"), SPOKEN + TYPED, ids=lambda v: str(v) or "silence")
def test_a_text_means(context: Context, text: str, meaning: str) -> None:
    assert shown(understand(text, context)) == meaning


@pytest.mark.parametrize("text", ["", "  ", "\n"])
@pytest.mark.parametrize("context", [Context.TOUCH, Context.ANSWER, Context.STANDING_BY])
def test_silence_is_a_puzzle_with_no_text(text: str, context: Context) -> None:
    assert understand(text, context) == Puzzle("", "silence")


def test_a_puzzle_keeps_the_text_as_it_came() -> None:
    assert understand("Fifty TWO eight", Context.TOUCH) == Puzzle(
        "Fifty TWO eight", "could be 50 and 28, or 52 and 8; say down and up before the numbers"
    )
