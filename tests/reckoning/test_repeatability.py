"""How well readings repeat: ISO 5725's s_r and limit, and when a third reading is due."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

from handsfree.reckoning.readings import KeyReading, Method, Sitting
from handsfree.reckoning.repeatability import pooled_sd
from handsfree.reckoning.summary import figures
from tests.reckoning.making import read

PAIRS = ((52, 53), (51, 51), (50, 52), (49, 49), (54, 53), (48, 50))


def twice(pairs: tuple[tuple[float, float], ...], method: Method | None = None) -> Sitting:
    return Sitting(
        "",
        tuple(read(a, key=k) for k, (a, _) in enumerate(pairs, 1)),
        tuple(read(b, key=k) for k, (_, b) in enumerate(pairs, 1)),
        method or Method(),
    )


def test_s_r_and_limit_of_pairs() -> None:
    """s_r = sqrt(sum d^2 / 2n) = 0.912871 (computed), r = 2.8 s_r = 2.556039 (ISO 5725, secondary source)."""
    found = figures(twice(PAIRS)).repeatability.down
    assert found is not None
    assert found.sd == pytest.approx(0.912871, abs=1e-6)
    assert found.limit == pytest.approx(2.556039, abs=1e-6)
    assert (found.keys, found.degrees, found.third_wanted) == (6, 6, ())
    assert figures(twice(PAIRS)).repeatability.sentence == (
        "Down: two readings of a key differ by 2.6 g at most, as a rule (s_r 0.91 g from 6 keys)."
    )
    assert 1.96 * 2**0.5 * found.sd == pytest.approx(2.530349, abs=3e-4)


def test_a_pair_further_apart_than_the_limit_asks_for_a_third() -> None:
    pairs = (*((50, 50.5),) * 12, (50, 58))
    made = figures(twice(pairs))
    found = made.repeatability.down
    assert found is not None
    assert found.third_wanted == (13,)
    assert "third time: A1" in made.repeatability.sentence
    assert made.sample.next_keys[0].key == 13
    thrice = Sitting("", twice(pairs).readings, (*twice(pairs).repeats, read(51, key=13)))
    again = figures(thrice).repeatability.down
    assert again is not None
    assert again.third_wanted == ()


@pytest.mark.parametrize("index", range(5))
def test_groups_of_any_size_against_numpy(index: int) -> None:
    chance = np.random.default_rng(index)
    groups = [[Decimal(int(v)) for v in chance.integers(40, 60, n)] for n in chance.integers(2, 6, 8)]
    within = sum(float(np.var([float(v) for v in g], ddof=1)) * (len(g) - 1) for g in groups)
    degrees = sum(len(g) - 1 for g in groups)
    assert pooled_sd(groups) == (pytest.approx((within / degrees) ** 0.5), degrees)


def test_readings_all_alike_are_known_to_a_step_only() -> None:
    found = figures(twice(((50, 50), (51, 51)), Method(weight_step=Decimal(2)))).repeatability.down
    assert found is not None
    assert (found.sd, found.limit) == (0, 2)


def test_down_and_up_are_apart_and_few_are_called_rough() -> None:
    readings = (KeyReading(1, Decimal(50), Decimal(26)),)
    repeats = (KeyReading(1, Decimal(52), Decimal(26)),)
    made = figures(Sitting("", readings, repeats)).repeatability
    assert made.down is not None
    assert made.up is not None
    assert (made.down.sd, made.up.sd) == (pytest.approx(2**0.5), 0)
    assert "rough" in made.sentence


def test_nothing_repeated_is_said() -> None:
    assert "not known" in figures(Sitting("", (read(50, 26),))).repeatability.sentence


def test_second_readings_that_were_asked_about_are_not_hidden() -> None:
    """Left out they make the rest look closer: with them s_r would be larger, and the reader must know."""
    made = figures(replace(twice(PAIRS), repeats_left_out=2)).repeatability
    assert made.sentence.startswith("Down: two readings of a key differ by 2.6 g at most")
    assert "Of 2 keys the second reading lay further off" in made.sentence
    assert "repeat less well" in made.sentence
    alone = figures(Sitting("", (read(50, key=1),), repeats_left_out=1)).repeatability
    assert alone.down is None
    assert "Of 1 key" in alone.sentence
