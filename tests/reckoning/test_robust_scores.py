"""Modified z-scores against the handbook's data."""

from __future__ import annotations

import pytest

from handsfree.reckoning.robust import STANDS_OUT, modified_z
from handsfree.reckoning.student import mean_and_sd

TIETJEN_MOORE = (199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)


def test_the_data_of_the_handbook() -> None:
    """NIST/SEMATECH e-Handbook 1.3.5.17 and 1.3.5.17.1 (Tietjen and Moore 1972): only the last one is flagged."""
    scored = modified_z(TIETJEN_MOORE)
    assert scored.median == pytest.approx(201.37)
    expected = (-1.39645, -1.24732, -0.79991, -0.37284, 0.37284, 0.39318, 0.54909, 29.96271)
    assert scored.scores == pytest.approx(expected, abs=1e-4)
    assert [abs(s) > STANDS_OUT for s in scored.scores] == [False] * 7 + [True]


def test_why_a_plain_z_score_would_not_do() -> None:
    """The same data: mean 206.43375, s 15.852564405, largest |z| 2.468765, below 3 though 245.57 is gross."""
    mean, sd = mean_and_sd(list(TIETJEN_MOORE))
    assert (mean, sd) == (pytest.approx(206.43375), pytest.approx(15.852564405))
    assert (TIETJEN_MOORE[-1] - mean) / sd == pytest.approx(2.468764611)
    greatest_possible = 7 / 8**0.5
    assert greatest_possible == pytest.approx(2.474874, abs=1e-6)


def test_whole_grams() -> None:
    """Computed by the handbook's rule: 4.0470 for 19, nothing else stands out."""
    scored = modified_z((12, 13, 12, 14, 13, 12, 13, 19, 12, 13))
    expected = (-0.6745, 0, -0.6745, 0.6745, 0, -0.6745, 0, 4.0470, -0.6745, 0)
    assert scored.scores == pytest.approx(expected, abs=1e-4)
    assert [i for i, s in enumerate(scored.scores) if abs(s) > STANDS_OUT] == [7]
    assert STANDS_OUT == 3.5


def test_a_median_deviation_of_nothing_does_not_divide() -> None:
    """(x - median)/(1.253314 mean absolute deviation): rule from memory, 5.58519 computed."""
    scored = modified_z((12, 12, 12, 12, 12, 12, 15))
    assert scored.scores[-1] == pytest.approx(5.58519, abs=1e-4)
    assert scored.scores[0] == 0
    assert "mean absolute deviation" in scored.rule


@pytest.mark.parametrize("values", [(), (5,), (5, 5, 5, 5)])
def test_all_alike_or_nothing_has_no_outlier(values: tuple[int, ...]) -> None:
    assert modified_z(values).scores == (0.0,) * len(values)


def test_rounding_is_no_deviation() -> None:
    """0.3 in five ways that differ in the last bit: all alike (IEEE 754 arithmetic)."""
    ways = (0.7 - 0.4, 0.7 - 0.4, 0.3, 0.1 + 0.2, 0.1 + 0.2)
    assert len(set(ways)) == 3
    assert modified_z(ways).scores == (0.0,) * 5
    scored = modified_z((*ways, 1.3))
    assert scored.rule.startswith("mean absolute deviation")
    assert scored.scores[5] == pytest.approx(6 / 1.253314), "1 / (1.253314 x 1/6): the handbook's rule for MAD = 0"
