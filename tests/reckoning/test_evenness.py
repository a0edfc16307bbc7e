"""Evenness: the curve through a key's neighbours, who stands out, and the figure for a buyer."""

from __future__ import annotations

from math import ceil

import numpy as np
import pytest
from statsmodels.nonparametric.smoothers_lowess import lowess as theirs

from handsfree.reckoning.compass import colour_of
from handsfree.reckoning.readings import Method, Sitting
from handsfree.reckoning.results import Curve, Evenness
from handsfree.reckoning.robust import modified_z
from handsfree.reckoning.summary import figures
from tests.reckoning.making import read, sitting

NATURALS = [k for k in range(1, 89) if colour_of(k) == "natural"]


def of(rows: list[tuple[int, float | None, float | None]]) -> Evenness:
    return figures(sitting(rows)).evenness


def curve(even: Evenness, quantity: str, colour: str) -> Curve:
    return next(c for c in even.curves if c.quantity == quantity and c.colour == colour)


def wavy(keys: list[int]) -> list[tuple[int, float | None, float | None]]:
    """A slope with a small pattern that repeats every five keys."""
    return [(k, 56 - k // 8 + (0, 1, 0, -1, 0)[k % 5], 24 + (0, 1, 1, 0, 0)[k % 5]) for k in keys]


def test_points_are_the_curve_of_the_peer() -> None:
    """Against statsmodels' LOWESS on the same keys."""
    even = of(wavy(list(range(1, 89))))
    points = curve(even, "down", "natural").points
    assert [p.key for p in points] == NATURALS
    x, y = np.array([float(p.key) for p in points]), np.array([float(p.value) for p in points])
    assert [p.smooth for p in points] == pytest.approx(theirs(y, x, 2 / 3, 3, return_sorted=False), abs=1e-6)
    assert [p.score for p in points] == pytest.approx(modified_z([p.residual for p in points]).scores)


def test_a_missing_key_shifts_nothing() -> None:
    """The axis is the key number: a straight slope stays straight with a third of its keys gone."""
    slope = [(k, 60 - k / 8, 30) for k in NATURALS if k % 3]
    points = curve(of(slope), "down", "natural").points
    assert [p.smooth for p in points] == pytest.approx([60 - p.key / 8 for p in points], abs=1e-9)


def test_naturals_and_sharps_are_judged_apart() -> None:
    """Sharps 4 g heavier throughout are even in themselves."""
    rows = [(k, 50 + (4 if colour_of(k) == "sharp" else 0) + k % 2, 26) for k in range(1, 89)]
    even = of(rows)
    assert even.stand_out == ()
    assert even.within is not None
    assert even.within < 1.5


def test_one_heavy_key_stands_out_and_bends_nothing() -> None:
    rows = wavy(list(range(1, 89)))
    plain = of(rows)
    rows[39] = (40, 66, 24)
    marked = of(rows)
    assert marked.stand_out == (40,)
    assert "C4" in marked.sentence
    before = {p.key: p.smooth for p in curve(plain, "down", "natural").points}
    after = {p.key: p.smooth for p in curve(marked, "down", "natural").points}
    assert max(abs(before[k] - after[k]) for k in before) < 0.3


def test_all_alike_has_no_outlier_and_no_division() -> None:
    even = of([(k, 50, 26) for k in range(1, 89)])
    assert even.stand_out == ()
    assert even.within == pytest.approx(0, abs=1e-9)
    assert curve(even, "down", "natural").rule == "nothing: all alike"


def test_alike_but_for_one_uses_the_other_rule() -> None:
    """Whole grams: the median deviation is 0; the mean one takes its place, and the one key is found."""
    even = of([(k, 57 if k == 44 else 50, 26) for k in range(1, 89)])
    assert even.stand_out == (44,)
    assert "mean absolute" in curve(even, "down", "natural").rule


def test_less_than_a_weight_step_never_stands_out() -> None:
    readings = tuple(read(51 if k == 44 else 50, 26, key=k) for k in range(1, 89))
    assert figures(Sitting("", readings)).evenness.stand_out == ()
    fine = figures(Sitting("", readings, (), Method(weight_step=read("0.5").down or Method().weight_step)))
    assert fine.evenness.stand_out == (44,)


def test_the_buyers_figure_is_nine_of_ten() -> None:
    even = of(wavy(list(range(1, 89))))
    off = sorted(abs(p.residual) for c in even.curves if c.quantity == "down" for p in c.points)
    assert even.keys == len(off) == 88
    assert even.within == off[ceil(0.9 * 88) - 1]
    assert sum(1 for r in off if r <= even.within) >= 0.9 * 88
    assert even.half_within == pytest.approx(np.median(off))


@pytest.mark.parametrize("count", [0, 1, 7])
def test_too_few_keys_give_the_reason(count: int) -> None:
    even = of([(k, 50, 26) for k in NATURALS[:count]])
    assert even.within is None
    assert "8 naturals" in even.sentence
    assert all(c.reason and not c.points for c in even.curves)


def test_eight_of_a_colour_are_enough() -> None:
    even = of([(k, 50 + k % 2, 26) for k in NATURALS[:8]])
    assert even.keys == 8
    assert curve(even, "down", "sharp").reason
