"""Scores to shares: probabilities among the alternatives, and the scale that a fit finds when the truth is known."""

import math
import random
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.ears.sureness import FIRST, SCALE, SECOND, evidence, shares

sys.path.insert(0, str(Path(__file__).parents[2] / "models" / "training"))


@given(st.lists(st.floats(-500, 500), min_size=1, max_size=8), st.floats(-1000, 1000))
def test_shares_are_probabilities_that_a_common_offset_does_not_change(scores: list[float], offset: float) -> None:
    found = shares(scores)
    assert sum(found) == pytest.approx(1.0)
    assert found == pytest.approx(shares([score + offset for score in scores]), abs=1e-6)
    assert sorted(found, reverse=True) == pytest.approx(shares(sorted(scores, reverse=True)))


def test_a_difference_of_scores_is_odds() -> None:
    better, worse = shares(evidence([10.0, 8.0]))
    assert better / worse == pytest.approx(math.exp(2 * SCALE))


def test_two_ears_odds_are_multiplied_each_to_its_own_power() -> None:
    better, worse = shares(evidence([10.0, 8.0], [-3.0, -4.0]))
    assert better / worse == pytest.approx(math.exp(2 * FIRST) * math.exp(SECOND))


def test_nothing_heard_has_no_shares() -> None:
    assert shares([]) == []


def test_the_fit_finds_the_scale_that_the_scores_were_made_with() -> None:
    """Scores drawn so that softmax(0.6 * score) is the true chance of each alternative (computed here)."""
    pytest.importorskip("numpy")
    from eval_score import fitted_scale

    rng = random.Random(3)
    found = []
    for _ in range(4000):
        scores = [rng.gauss(0, 3) for _ in range(4)]
        weights = [math.exp(0.6 * score) for score in scores]
        found.append((scores, rng.choices(range(4), weights)[0]))
    assert fitted_scale(found) == pytest.approx(0.6, abs=0.05)
