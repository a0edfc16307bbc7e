"""What the endpointer is told of a partial sentence."""

from __future__ import annotations

from math import log

import pytest

from handsfree.nouns import Completeness, Context
from handsfree.words.grammar import chance_of_more, completeness, log_chance, sample
from tests.words.choosing import as_likely

NOTHING, BEGUN = Completeness.NOTHING, Completeness.BEGUN
EXTENDABLE, CLOSED = Completeness.EXTENDABLE, Completeness.CLOSED


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", NOTHING), ("[unk]", NOTHING), ("the lid", NOTHING), ("c fifty", NOTHING), ("fifty two [unk]", NOTHING),
        ("c", BEGUN), ("c sharp", BEGUN), ("key", BEGUN), ("down", BEGUN), ("say", BEGUN), ("stand", BEGUN),
        ("correction", BEGUN), ("correction c four", BEGUN), ("c four fifty two and", BEGUN),
        ("c four fifty two and a", BEGUN), ("c four fifty two point", BEGUN), ("fifty two no", BEGUN),
        ("five four three", BEGUN), ("c four five four three", BEGUN), ("c four five two two", BEGUN),
        ("key four five two", BEGUN), ("five four three two", EXTENDABLE), ("five two", EXTENDABLE),
        ("every key up", BEGUN), ("each", BEGUN), ("keys c four and", BEGUN),
        ("c four", EXTENDABLE), ("c four fifty", EXTENDABLE), ("c four fifty two", EXTENDABLE),
        ("c four fifty two twenty", EXTENDABLE), ("c four fifty two twenty eight", EXTENDABLE), ("five", EXTENDABLE),
        ("read back", EXTENDABLE), ("every key", EXTENDABLE), ("fifty two eight", EXTENDABLE),
        ("disregard", CLOSED), ("next", CLOSED), ("say again", CLOSED), ("same", CLOSED),
        ("fifty two no return", CLOSED),
        ("fifty two twenty eight and a half", CLOSED), ("read back c four", CLOSED), ("no plan", CLOSED),
        ("every key down the compass", CLOSED), ("C four fifty two NO RETURN", CLOSED),
    ],
)  # fmt: skip
def test_how_complete(text: str, expected: Completeness) -> None:
    assert completeness(text, Context.TOUCH) is expected


def test_the_context_counts() -> None:
    assert completeness("no", Context.TOUCH) is BEGUN  # "no return", "no plan"
    assert completeness("no", Context.ANSWER) is EXTENDABLE
    assert completeness("yes", Context.TOUCH) is NOTHING
    assert completeness("c four", Context.STANDING_BY) is NOTHING
    assert completeness("go", Context.STANDING_BY) is BEGUN
    assert completeness("go ahead", Context.STANDING_BY) is CLOSED


def test_every_beginning_of_a_sentence_is_known_as_one() -> None:
    choose = as_likely(seed=11)
    for _ in range(500):
        text, _ = sample(Context.ANSWER, choose)
        words = text.split()
        for count in range(1, len(words)):
            assert completeness(" ".join(words[:count]), Context.ANSWER) in (BEGUN, EXTENDABLE), words[:count]
        assert completeness(text, Context.ANSWER) in (EXTENDABLE, CLOSED), text


def test_the_chance_of_more_says_how_long_to_wait() -> None:
    falling = [
        "c four fifty two and",  # 1: no sentence yet
        "c four fifty",
        "c four",
        "c four fifty two",
        "c four fifty two twenty eight",
        "c four fifty two twenty eight and a half",  # 0: nothing can follow
    ]
    chances = [chance_of_more(text, Context.TOUCH) for text in falling]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] == pytest.approx(1)
    assert chances[-1] == 0
    assert chances[-2] < 0.15 < 0.5 < chances[-3]


def test_the_chance_of_more_is_what_happens() -> None:
    """Among likely sentences that begin so, the share that goes on is the chance."""
    choose = as_likely(seed=13)
    texts = [sample(Context.TOUCH, choose)[0] for _ in range(12_000)]
    for start in ("fifty two", "fifty", "down fifty"):
        begun = [t for t in texts if t == start or t.startswith(f"{start} ")]
        share = sum(t != start for t in begun) / len(begun)
        assert chance_of_more(start, Context.TOUCH) == pytest.approx(share, abs=0.1), start


def test_how_likely_just_this_is_said() -> None:
    """Slips are far less likely than a whole count, and nothing is likelier than it is alone; what is no sentence has
    no chance."""
    texts = ("one two three four five six seven", "one two two three four five six seven", "one two three d seven")
    whole, slip, note = (log_chance(text, Context.SWINGS) or 0.0 for text in texts)
    assert slip < whole - 4
    assert note < whole - 8
    assert log_chance("seven one two", Context.SWINGS) is None
    assert log_chance("go ahead", Context.STANDING_BY) == pytest.approx(log(1 - 0.05), abs=1e-4)
