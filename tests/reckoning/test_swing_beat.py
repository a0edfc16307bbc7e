"""The beat of counting against the period of a pendulum: T = 2 pi sqrt(l/g) x 2 K(sin(a/2)) / pi (CHECKS 2.7, where
the factor at 90 degrees is 1.180340599016)."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from handsfree.reckoning.readings import SwingDefinition
from handsfree.reckoning.swing_beat import beats_of, doubt, fits

PASS, TO_AND_FRO = SwingDefinition.PASS, SwingDefinition.TO_AND_FRO
AT_90 = 1.180340599016


def period(length: float) -> float:
    """Small swings, standard gravity."""
    return 2 * pi * sqrt(length / 9.80665)


def test_the_limits_are_those_of_the_shortest_and_the_longest_hammer() -> None:
    least, most = beats_of(TO_AND_FRO)
    assert least == pytest.approx(period(0.06))
    assert most == pytest.approx(period(0.15) * AT_90)
    assert beats_of(PASS) == pytest.approx((least / 2, most / 2))


@pytest.mark.parametrize("length", [0.07, 0.10, 0.13, 0.15])
@pytest.mark.parametrize("stretched", [1.0, AT_90])
def test_a_hammer_fits_its_own_definition_and_mostly_not_the_other(length: float, stretched: float) -> None:
    whole = period(length) * stretched
    assert fits(whole / 2, PASS)
    assert fits(whole, TO_AND_FRO)
    if length >= 0.10:
        assert not fits(whole, PASS)
    if length <= 0.10:
        assert not fits(whole / 2, TO_AND_FRO)


def test_a_sitting_counted_otherwise_than_set_is_told() -> None:
    slow = [period(0.13) * 1.1] * 4
    assert doubt(slow, TO_AND_FRO) == ""
    assert doubt(slow, PASS) == "counts came every 0.80 s, which is no hammer's single pass, but its to and fro"
    assert doubt(slow[:2], PASS) == "", "too few to tell"
    assert doubt([1.6] * 5, PASS) == "counts came every 1.60 s, which is no hammer's single pass"
