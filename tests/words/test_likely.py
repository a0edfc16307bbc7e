"""An expectation only leans: its weight is bounded both ways, whatever is expected."""

from __future__ import annotations

from math import exp, log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.nouns import Context
from handsfree.words.grammar import automaton, sample
from handsfree.words.likely import (
    ANY_DOWN,
    HIGHEST_VALUE,
    MOST,
    Expectation,
    Spread,
    around,
    key_chance,
    value_chance,
)
from tests.words.choosing import as_likely
from tests.words.test_word_automaton import cost

LEANS = st.floats(0.01, 0.99)
SPREADS = st.builds(Spread, st.floats(0.5, 150), st.floats(0.5, 20))
SLACK = 1e-9


@given(expected=SPREADS, lean=LEANS)
def test_no_value_gains_or_loses_more_than_the_bounds(expected: Spread, lean: float) -> None:
    usual, now = around(ANY_DOWN), value_chance(expected, ANY_DOWN, lean)
    for value in range(HIGHEST_VALUE + 1):
        assert (1 - lean) * usual(value) - SLACK <= now(value) <= exp(MOST) * usual(value) + SLACK


@given(expected=st.integers(1, 88), lean=LEANS)
def test_no_key_does(expected: int, lean: float) -> None:
    usual, now = key_chance(None), key_chance(expected, lean)
    for key in range(1, 89):
        assert (1 - lean) * usual(key) - SLACK <= now(key) <= exp(MOST) * usual(key) + SLACK
    assert now(0) == now(89) == 0
    assert max(range(1, 89), key=now) == expected


def test_nothing_known_is_nothing_changed() -> None:
    assert automaton(Context.TOUCH, Expectation()) == automaton(Context.TOUCH)


@pytest.mark.parametrize(
    "expected",
    [
        Expectation(40, Spread(52, 1.5), Spread(28, 1.5), 0.9),
        Expectation(1, Spread(95, 1.5), Spread(10, 1.5), 0.1),
        Expectation(88, Spread(40, 9), Spread(20, 9), 0.9),
    ],
)
def test_no_sentence_gains_or_loses_more_than_its_parts(expected: Expectation) -> None:
    """A note and two values, each within its bounds, and which of them comes first (0.8 usually)."""
    plain, leaning = automaton(Context.TOUCH), automaton(Context.TOUCH, expected)
    first = max(abs(log(0.8 / expected.first_is_down)), abs(log(0.2 / (1 - expected.first_is_down))))
    choose = as_likely(seed=5)
    for _ in range(300):
        text, _ = sample(Context.TOUCH, choose)
        change = cost(plain, text) - cost(leaning, text)
        # leaning towards some leaves the others less, so a loss may be a little more than each part's own
        assert -3 * (-log(1 - expected.lean)) - first - 0.5 <= change <= 3 * MOST + first + 0.5, text
