"""Our Student t against SciPy, and against published tables that need it."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats

from handsfree.reckoning.student import incomplete_beta, normal_quantile, t_quantile, two_sided_p

DEGREES = st.integers(1, 400)


@given(st.floats(0.5, 0.99999), DEGREES)
def test_quantile_agrees_with_scipy(probability: float, degrees: int) -> None:
    assert t_quantile(probability, degrees) == pytest.approx(stats.t.ppf(probability, degrees), rel=1e-8, abs=1e-9)


@given(st.floats(1e-12, 0.5), DEGREES)
def test_the_lower_tail_too(probability: float, degrees: int) -> None:
    assert t_quantile(probability, degrees) == pytest.approx(stats.t.ppf(probability, degrees), rel=1e-8, abs=1e-9)


@given(st.floats(-60, 60), DEGREES)
def test_two_sided_p_agrees_with_scipy(t: float, degrees: int) -> None:
    assert two_sided_p(t, degrees) == pytest.approx(2 * stats.t.sf(abs(t), degrees), rel=1e-8, abs=1e-300)


@given(st.floats(0.5, 200), st.floats(0.5, 200), st.floats(0, 1))
def test_incomplete_beta_agrees_with_scipy(a: float, b: float, x: float) -> None:
    assert incomplete_beta(a, b, x) == pytest.approx(special.betainc(a, b, x), rel=1e-8, abs=1e-12)


@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.95, 0.99])
def test_normal_quantile(confidence: float) -> None:
    assert normal_quantile(confidence) == pytest.approx(stats.norm.ppf((1 + confidence) / 2), rel=1e-12)


# NIST/SEMATECH e-Handbook 1.3.5.17.1 for n = 8 (2.0317 one-sided, 2.1266 two-sided); the others computed with SciPy
GRUBBS = [
    (3, 1.1543, 1.1547, 1.1531),
    (4, 1.4813, 1.4962, 1.4625),
    (5, 1.7150, 1.7637, 1.6714),
    (6, 1.8871, 1.9728, 1.8221),
    (7, 2.0200, 2.1391, 1.9381),
    (8, 2.1266, 2.2744, 2.0317),
    (10, 2.2900, 2.4821, 2.1761),
    (12, 2.4116, 2.6357, 2.2850),
    (15, 2.5483, 2.8061, 2.4090),
    (20, 2.7082, 3.0008, 2.5566),
    (30, 2.9085, 3.2361, 2.7451),
    (36, 2.9906, 3.3296, 2.8237),
    (52, 3.1439, 3.4995, 2.9722),
    (88, 3.3399, 3.7082, 3.1655),
]


def grubbs_critical(alpha_each: float, n: int) -> float:
    """The critical value of Grubbs's test from our quantile: a table that a wrong quantile cannot reproduce."""
    t = t_quantile(1 - alpha_each / n, n - 2)
    return (n - 1) / sqrt(n) * sqrt(t * t / (n - 2 + t * t))


@pytest.mark.parametrize(("n", "two_sided_05", "two_sided_01", "one_sided_05"), GRUBBS)
def test_grubbs_table_from_our_quantile(
    n: int, two_sided_05: float, two_sided_01: float, one_sided_05: float
) -> None:
    assert grubbs_critical(0.025, n) == pytest.approx(two_sided_05, abs=1e-4)
    assert grubbs_critical(0.005, n) == pytest.approx(two_sided_01, abs=1e-4)
    assert grubbs_critical(0.05, n) == pytest.approx(one_sided_05, abs=1e-4)


# Clopper and Pearson's two-sided 95 % limits, computed with SciPy
CLOPPER_PEARSON = [
    (0, 300, 0.0, 0.012221),
    (3, 300, 0.002067, 0.028945),
    (15, 300, 0.028251, 0.081127),
    (0, 100, 0.0, 0.036217),
]


@pytest.mark.parametrize(("found", "n", "low", "high"), CLOPPER_PEARSON)
def test_our_incomplete_beta_at_clopper_pearson_limits(found: int, n: int, low: float, high: float) -> None:
    assert incomplete_beta(found + 1, n - found, high) == pytest.approx(0.975, abs=2e-4)
    if found:
        assert incomplete_beta(found, n - found + 1, low) == pytest.approx(0.025, abs=2e-4)


def test_one_sided_limit_of_no_error_in_300() -> None:
    """Computed with SciPy: 0.009936 (the rule of three says 0.01)."""
    assert incomplete_beta(1, 300, 0.009936) == pytest.approx(0.95, abs=1e-4)
