"""How well one key is known: steps alone, or repeated readings where they scatter more."""

from __future__ import annotations

from decimal import Decimal

import pytest
from scipy import stats

from handsfree.reckoning.readings import Method, Sitting
from handsfree.reckoning.summary import compare, figures
from handsfree.reckoning.uncertainty import coverage, known
from tests.reckoning.making import read


def sitting(repeats: int, apart: float, step: str = "1") -> Sitting:
    """Keys at 50 and 25 g, the first ones measured again `apart` grams further."""
    keys = range(1, 31)
    again = tuple(read(50 + apart, 25, key=k) for k in keys[:repeats])
    return Sitting("made up", tuple(read(50, 25, key=k) for k in keys), again, Method(weight_step=Decimal(step)))


def test_steps_alone() -> None:
    """Step 1 g: 1.96 / sqrt(12) of a weight, 1.96 / sqrt(24) of friction and balance (computed)."""
    found = known(figures(sitting(0, 0)))
    assert found.down == found.up == pytest.approx(1.959964 / 12**0.5, abs=1e-6)
    assert found.weighed == pytest.approx(1.959964 / 24**0.5, abs=1e-6)
    assert found.bias == 0.5
    assert "true uncertainty may be larger" in found.sentence


@pytest.mark.parametrize("repeats", [5, 8, 20])
def test_repeats_widen_it_by_student_s_t(repeats: int) -> None:
    """All pairs 2 g apart: s_r = sqrt(2); the factor is that of SciPy's t distribution."""
    found = known(figures(sitting(repeats, 2)))
    assert found.down == pytest.approx(stats.t.ppf(0.975, repeats) * 2**0.5, abs=1e-6)
    assert "and repeated readings tell" in found.sentence
    assert "may be larger" not in found.sentence


def test_a_single_repeat_is_rough_not_absurd() -> None:
    """With one degree of freedom t is 12.7: one repeat would say less than none."""
    assert coverage(figures(sitting(1, 2))) == pytest.approx(stats.t.ppf(0.975, 5), abs=1e-6)
    assert "rough" in figures(sitting(1, 2)).repeatability.sentence


def test_repeats_closer_than_the_steps_change_nothing() -> None:
    assert coverage(figures(sitting(6, 0))) == pytest.approx(1.959964, abs=1e-6)
    assert known(figures(sitting(6, 0))).down == known(figures(sitting(0, 0))).down


def test_a_key_changed_only_beyond_it() -> None:
    """s_r = sqrt(2) g of the down weight from 8 pairs, both times: 2.306 x 2 = 4.61 g."""
    first = sitting(8, 2)
    for more, changed in ((4, False), (5, True)):
        keys = tuple(read(50 + more, 25, key=r.key) for r in first.readings)
        again = tuple(read(52 + more, 25, key=r.key) for r in first.repeats)
        down = compare(first, Sitting("after", keys, again)).keys[20].changes[0]
        assert down.uncertainty == pytest.approx(stats.t.ppf(0.975, 8) * 2, abs=1e-6)
        assert down.changed is changed


@pytest.mark.parametrize(("step", "told"), [("1", "2 of 4 weights lie between the steps of 1 g"), ("0.5", "")])
def test_readings_finer_than_the_steps_are_told(step: str, told: str) -> None:
    """52.5 g cannot be weighed in whole grams: then the half step of friction that is told is too much."""
    made = Sitting("made up", (read(52.5, 26, key=1), read(50, 25.5, key=2)), method=Method(Decimal(step)))
    said = [note for note in figures(made).notes if "between the steps" in note]
    assert [note.startswith(told) for note in said] == ([True] if told else [])
