"""Friction and balance against published worked examples, their uncertainty against the rules for it."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest

from handsfree.reckoning.readings import KeyReading, Method, Sitting
from handsfree.reckoning.results import Bound, Verdict
from handsfree.reckoning.summary import figures
from handsfree.reckoning.touch import precision
from tests.reckoning.making import MIDDLE_C, WORKED, one, read


@pytest.mark.parametrize(("down", "up", "balance", "friction"), WORKED)
def test_worked_examples(down: str, up: str, balance: str, friction: str) -> None:
    key = one(read(down, up))
    assert key.balance is not None
    assert key.friction is not None
    assert (key.balance.value, key.friction.value) == (Decimal(balance), Decimal(friction))
    assert key.balance.bound is key.friction.bound is Bound.EXACT


def test_up_above_down_is_refused_and_in_no_mean() -> None:
    """Statics: U > D would be friction below 0, almost always swapped entries."""
    made = figures(Sitting("", (read(30, 45, key=1), read(50, 26, key=2))))
    key = made.keys[0]
    assert key.verdict is Verdict.DOUBTFUL
    assert key.friction is None
    assert key.balance is None
    assert "Measure again" in key.why
    assert made.whole.down is not None
    assert made.whole.down.keys == 1
    assert any("Up above down" in note for note in made.notes)


def test_no_friction_is_flagged() -> None:
    key = one(read(40, 40))
    assert "hardly possible" in key.why
    assert key.verdict is Verdict.LOOSE


@pytest.mark.parametrize("reading", [KeyReading(MIDDLE_C, Decimal(50), None, True), read(50, 0)])
def test_no_return_is_a_bound_not_a_value(reading: KeyReading) -> None:
    """Statics: U <= 0, so F is at least 25 g and B at most 25 g; an up weight of 0 is the same."""
    key = one(reading)
    assert key.no_return
    assert key.friction is not None
    assert key.balance is not None
    assert (key.friction.value, key.friction.bound) == (Decimal(25), Bound.AT_LEAST)
    assert (key.balance.value, key.balance.bound) == (Decimal(25), Bound.AT_MOST)
    assert key.expected_down is None
    made = figures(Sitting("", (reading,)))
    assert made.whole.friction is None
    assert made.whole.no_return == (MIDDLE_C,)


@pytest.mark.parametrize(("step", "sd"), [("0.5", 0.10206), ("1", 0.20412), ("2", 0.40825)])
def test_uncertainty_from_the_weight_steps(step: str, sd: float) -> None:
    """Half-width a of a rectangle: a/sqrt(3); linear propagation (JCGM 100:2008 4.3.7 and 5.1.2, from memory)."""
    key = one(read(52, 28), Method(Decimal(step)))
    assert key.friction is not None
    assert key.balance is not None
    assert key.friction.sd == pytest.approx(sd, abs=1e-5)
    assert key.balance.sd == pytest.approx(sd, abs=1e-5)
    assert key.friction.bias == Decimal(step) / 2
    assert key.balance.bias == 0


@pytest.mark.parametrize("step", [0.5, 1.0, 2.0])
def test_bias_and_sd_against_a_simulation_of_the_weighing(step: float) -> None:
    """Weights are added in steps until the key sinks, taken off until it lifts: next step up, next step down."""
    chance = np.random.default_rng(20261125)
    true_down, true_up = chance.uniform(45, 65, 200_000), chance.uniform(15, 35, 200_000)
    down, up = np.ceil(true_down / step) * step, np.floor(true_up / step) * step
    friction = (down - up) / 2 - (true_down - true_up) / 2
    balance = (down + up) / 2 - (true_down + true_up) / 2
    key = one(read(52, 28), Method(Decimal(str(step))))
    assert key.friction is not None
    assert key.balance is not None
    assert friction.mean() == pytest.approx(float(key.friction.bias), abs=0.004 * step)
    assert balance.mean() == pytest.approx(float(key.balance.bias), abs=0.004 * step)
    assert friction.std() == pytest.approx(key.friction.sd, rel=0.01)
    assert balance.std() == pytest.approx(key.balance.sd, rel=0.01)


@pytest.mark.parametrize(("reading_sd", "expected"), [(0.5, 0.3536), (1.0, 0.7071)])
def test_propagation_from_independent_readings(reading_sd: float, expected: float) -> None:
    """u(F) = u(B) = u/sqrt(2), JCGM 100 5.1.2 (from memory)."""
    assert precision(Decimal("0.1"), reading_sd, reading_sd).sd == pytest.approx(expected, abs=5e-5)
    assert precision(Decimal(1)).sd == pytest.approx(0.2041, abs=5e-5)


def test_repeats_that_scatter_more_than_the_steps_widen_the_uncertainty() -> None:
    readings = tuple(read(50, 26, key=k) for k in range(1, 7))
    repeats = tuple(read(54, 26, key=k) for k in range(1, 7))
    calm = figures(Sitting("", readings)).keys[0].friction
    rough = figures(Sitting("", readings, repeats)).keys[0].friction
    assert calm is not None
    assert rough is not None
    assert calm.sd < 0.3 < rough.sd
