"""Our LOWESS against R's (reference files of statsmodels, BSD-3-Clause, read in place) and statsmodels' own."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
import statsmodels.nonparametric
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.nonparametric.smoothers_lowess import lowess as theirs

from handsfree.reckoning.lowess import lowess
from tests.reckoning.making import CHECKS

INSTALLED = Path(statsmodels.nonparametric.__file__).parent / "tests" / "results"

CASES = [
    ("test_lowess_simple.csv", "out", 2 / 3, 3),
    ("test_lowess_iter.csv", "out_0", 2 / 3, 0),
    ("test_lowess_iter.csv", "out_3", 2 / 3, 3),
    ("test_lowess_frac.csv", "out_2_3", 2 / 3, 3),
    ("test_lowess_frac.csv", "out_1_5", 1 / 5, 3),
    # the motorcycle data, many ties
    ("test_lowess_delta.csv", "out_0", 0.1, 3),
]


@pytest.mark.parametrize("folder", [INSTALLED, CHECKS], ids=["installed", "shared"])
@pytest.mark.parametrize(("name", "column", "share", "iterations"), CASES)
def test_reference_files(folder: Path, name: str, column: str, share: float, iterations: int) -> None:
    path = folder / name
    if not path.exists():
        pytest.skip(f"needs {'../shared/checks' if folder == CHECKS else 'the test files of statsmodels'}/{name}")
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    x, y, expected = ([float(row[c]) for row in rows] for c in ("x", "y", column))
    # agreed tolerance of the files
    assert lowess(x, y, share, iterations) == pytest.approx(expected, abs=1e-7)


SPEED = [
    4, 4, 7, 7, 8, 9, 10, 10, 10, 11, 11, 12, 12, 12, 12, 13, 13, 13, 13, 14, 14, 14, 14, 15, 15,
    15, 16, 16, 17, 17, 17, 18, 18, 18, 18, 19, 19, 19, 20, 20, 20, 20, 20, 22, 23, 24, 24, 24, 24, 25,
]  # fmt: skip
DISTANCE = [
    2, 10, 4, 22, 16, 10, 18, 26, 34, 17, 28, 14, 20, 24, 28, 26, 34, 34, 46, 26, 36, 60, 80, 20, 26,
    54, 32, 40, 32, 40, 50, 42, 56, 76, 84, 36, 46, 68, 32, 48, 52, 56, 64, 66, 54, 70, 92, 93, 120, 85,
]  # fmt: skip


def test_stopping_distances() -> None:
    """R's lowess(cars) as published with R (Ezekiel's data, 1930); the data from memory, proved by the fit."""
    fit = lowess([float(v) for v in SPEED], [float(v) for v in DISTANCE])
    published = [4.965459, 4.965459, 13.124495, 13.124495, 15.858633, 18.579691, 21.280313]
    assert fit[:7] == pytest.approx(published, abs=1e-6)
    assert fit[-1] == pytest.approx(84.328698, abs=1e-6)


@pytest.mark.parametrize("index", range(40))
def test_readings_like_a_sitting_against_statsmodels(index: int) -> None:
    """Whole grams at some of 88 keys, a few far off."""
    chance = np.random.default_rng(index)
    n = int(chance.integers(8, 88))
    x = np.sort(chance.choice(np.arange(1.0, 89.0), n, replace=False))
    y = np.round(52 - 0.05 * x + chance.normal(0, 2, n) + (chance.random(n) < 0.05) * 15)
    expected = theirs(y, x, 2 / 3, 3, return_sorted=False)
    assert lowess(list(x), list(y)) == pytest.approx(expected, abs=1e-6)


@given(st.lists(st.tuples(st.integers(1, 88), st.integers(-3000, 3000)), min_size=1, max_size=88))
def test_any_points_give_finite_values(points: list[tuple[int, int]]) -> None:
    points.sort()
    fit = lowess([float(x) for x, _ in points], [y / 10 for _, y in points])
    assert len(fit) == len(points)
    assert np.isfinite(fit).all()


@given(st.integers(2, 60), st.floats(-2, 2), st.floats(-50, 50))
def test_a_straight_line_stays_itself(n: int, slope: float, level: float) -> None:
    """Cleveland 1979: locally straight, so a straight line is fitted exactly."""
    x = [float(k) for k in range(n)]
    y = [level + slope * v for v in x]
    assert lowess(x, y) == pytest.approx(y, abs=1e-8)


def test_rounding_is_no_scale_to_judge_an_outlier_by() -> None:
    """A line with one key far off it: more than half of the errors are rounding. R's lowess stops there, too
    (clowess.c: 6 x median below 1e-7 of the mean error; from memory)."""
    x = [float(i) for i in range(40)]
    y = [50.3 + 0.1 * i + (9 if i == 20 else 0) for i in range(40)]
    plain = lowess(x, y, 0.15, 0)
    errors = sorted(abs(a - b) for a, b in zip(y, plain, strict=True))
    assert 0 < errors[len(errors) // 2] < 1e-12 < errors[-1]
    assert lowess(x, y, 0.15, 3) == plain


def test_where_no_neighbour_is_trusted_a_point_is_its_own_fit() -> None:
    """Two far off the curve, alone with each other: nothing says what they should be."""
    x = [float(i) for i in range(20)]
    y = [50 + 0.3 * (i % 3) for i in range(20)]
    y[10], y[11] = 90.0, 30.0
    fitted = lowess(x, y, 0.15, 3)
    assert all(29 <= value <= 91 for value in fitted)
    assert fitted[10:12] == [90.0, 30.0]
