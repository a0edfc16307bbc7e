"""What lead in a key does to its start: the point at which it turns from help to hindrance."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.reckoning.leverage import lead_hinders_above
from handsfree.reckoning.summary import figures
from tests.reckoning.making import sitting

GRAMS = st.floats(min_value=1, max_value=200)


def start(force: float, hammer_side: float, lead: float = 0.0) -> float:
    """Acceleration with which a key starts, in units of gravity: a massless beam of equal arms, the hammer's side
    seen as `hammer_side` grams on one arm, `lead` grams at the finger's end, `force` gram-force of the finger."""
    return (force + lead - hammer_side) / (hammer_side + lead)


@given(GRAMS, GRAMS)
def test_all_lines_cross_at_twice_the_hammer_s_side(hammer_side: float, lead: float) -> None:
    """At F = 2 m1 g every key starts with a = g, whatever the lead (Birkett 2003; re-derived)."""
    limit = lead_hinders_above(hammer_side)
    assert start(limit, hammer_side) == pytest.approx(1.0)
    assert start(limit, hammer_side, lead) == pytest.approx(1.0)


@given(GRAMS, GRAMS, st.floats(min_value=1.01, max_value=5))
def test_lead_helps_below_and_hinders_above(hammer_side: float, lead: float, more: float) -> None:
    limit = lead_hinders_above(hammer_side)
    assert start(limit / more, hammer_side, lead) > start(limit / more, hammer_side)
    assert start(limit * more, hammer_side, lead) < start(limit * more, hammer_side)


def test_who_proposes_weights_says_what_they_cost() -> None:
    """Balance 54 g: more than 108 g of finger force."""
    made = figures(sitting([(40, 64, 44)]))
    (job,) = [t for t in made.treatments if t.what.startswith("Look at weights")]
    assert "under more than 108 g of finger force" in job.cannot
    assert "adds inertia" in job.cannot
