"""From some keys to all: intervals that keep their promise, and the keys that tell most next."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from handsfree.reckoning.compass import colour_of
from handsfree.reckoning.next_keys import widest_gaps
from handsfree.reckoning.readings import KeyReading, Sitting
from handsfree.reckoning.results import Sample
from handsfree.reckoning.sampling import share_limits, spoken_for
from handsfree.reckoning.summary import figures
from tests.reckoning.making import read, sitting


def sample(keys: list[int], down: float = 50) -> Sample:
    return figures(sitting((k, down + k % 3, 26) for k in keys)).sample


@st.composite
def draws(draw: st.DrawFn) -> tuple[int, int, int]:
    population = draw(st.integers(1, 88))
    drawn = draw(st.integers(1, population))
    return draw(st.integers(0, drawn)), drawn, population


# odd levels, so that no probability ties with them and rounding cannot decide
@given(draws(), st.sampled_from([0.19877, 0.050031, 0.0100031]))
def test_limits_of_a_share_against_scipys_hypergeometric(draw: tuple[int, int, int], alpha: float) -> None:
    found, drawn, population = draw
    least, most = share_limits(found, drawn, population, alpha)
    possible = range(found, population - (drawn - found) + 1)
    not_surprising = [
        k
        for k in possible
        if stats.hypergeom.cdf(found, population, k, drawn) > alpha / 2
        and stats.hypergeom.sf(found - 1, population, k, drawn) > alpha / 2
    ]
    assert (least, most) == (min(not_surprising), max(not_surprising))


def test_limits_hold_as_often_as_they_promise() -> None:
    """Exact: over all true numbers of heavy keys, the chance that the limits hold it is at least 95 %."""
    for marked in range(0, 89, 4):
        chance = sum(
            stats.hypergeom.pmf(found, 88, marked, 16)
            for found in range(17)
            if share_limits(found, 16, 88, 0.05)[0] <= marked <= share_limits(found, 16, 88, 0.05)[1]
        )
        assert chance >= 0.95 - 1e-9


def test_a_large_population_tends_to_clopper_pearson() -> None:
    """0 of 300: upper limit 0.012221 (computed with SciPy)."""
    _, most = share_limits(0, 300, 60_000, 0.05)
    assert most / 60_000 == pytest.approx(0.012221, abs=1e-4)


def test_the_mean_and_the_next_key_hold_as_often_as_they_promise() -> None:
    """A made-up keyboard, sampled 600 times: 95 % intervals hold the truth in 92 to 98 of 100."""
    chance = np.random.default_rng(7)
    whole = np.round(chance.normal(52, 3, 88))
    held = next_held = 0
    runs = 600
    for _ in range(runs):
        drawn = chance.permutation(88)
        # both ends are read, so that the sample speaks for all
        keys = sorted(int(k) + 1 for k in drawn[:16])
        made = figures(sitting((k, float(whole[k - 1]), None) for k in keys)).sample
        if len(made.compass) < 88:
            runs -= 1
            continue
        assert made.mean_down is not None
        assert made.mean_down.high is not None
        assert made.one_more is not None
        assert made.one_more.high is not None
        held += made.mean_down.low <= whole.mean() <= made.mean_down.high
        next_held += made.one_more.low <= whole[drawn[-1]] <= made.one_more.high
    assert runs > 300
    assert 0.92 <= held / runs <= 0.98
    assert 0.92 <= next_held / runs <= 0.98


def test_mean_interval_against_scipy() -> None:
    """Student's interval with the finite population correction sqrt(1 - n/N)."""
    keys = list(range(3, 89, 7))
    downs = [50 + (k * 5) % 9 for k in keys]
    made = figures(sitting((k, d, 26) for k, d in zip(keys, downs, strict=True))).sample
    assert len(made.compass) == 88
    n = len(downs)
    low, high = stats.t.interval(
        0.95, n - 1, np.mean(downs), np.std(downs, ddof=1) / np.sqrt(n) * np.sqrt(1 - n / 88)
    )
    assert made.mean_down is not None
    assert (made.mean_down.low, made.mean_down.high) == pytest.approx((low, high))


def test_readings_all_alike_are_alike_to_a_step_only() -> None:
    """Two of the eight naturals of C4 to C5, both 50 g: a step of 1 g is a rectangular spread of 1/sqrt(12) g."""
    made = figures(sitting([(40, 50, 26), (52, 50, 26)])).sample
    assert len(made.compass) == 8
    half = stats.t.ppf(0.975, 1) / np.sqrt(12) / np.sqrt(2) * np.sqrt(1 - 2 / 8)
    assert made.mean_down is not None
    assert (made.mean_down.low, made.mean_down.high) == pytest.approx((50 - half, 50 + half))


def test_nothing_is_said_of_what_nobody_read() -> None:
    naturals = sample([k for k in range(1, 89) if colour_of(k) == "natural"][::4])
    assert all(colour_of(k) == "natural" for k in naturals.compass)
    assert any("Nothing is said of the sharps" in s for s in naturals.sentences)
    middle = sample(list(range(36, 56, 2)))
    assert (min(middle.compass), max(middle.compass)) == (36, 54)
    assert any("outside G#3 to D5" in s for s in middle.sentences)


def test_all_read_leaves_nothing_to_estimate() -> None:
    made = sample(list(range(1, 89)), 56)
    assert made.heavy_least == made.heavy_most == made.heavy_read > 0
    assert made.one_more is None
    assert made.next_keys == ()
    assert made.sentences == (f"All 88 keys read; {made.heavy_read} above 56 g.",)


def test_sentences_of_a_sample_of_all_colours() -> None:
    said = sample(list(range(1, 89, 5))).sentences
    assert said[0] == "18 of 88 keys read, 0 of them above 56 g."
    assert said[1].startswith("The mean of all 88 keys lies between 50.")
    assert said[2].startswith("A key not read yet should take ")
    assert said[3].startswith("Of all 88 keys, 0 to ")
    assert said[4] == "This holds if the keys were chosen without regard to how they feel."
    assert len(said) == 5


def test_sentences_of_all_sharps() -> None:
    """36 sharps, A#0 to A#7 (the keyboard of 88 keys); nothing is left of them, nothing is said of the naturals."""
    said = sample([k for k in range(1, 89) if colour_of(k) == "sharp"]).sentences
    assert said == (
        "36 of 88 keys read, 0 of them above 56 g.",
        "Every key that these 36 can speak for was read: nothing is left to estimate.",
        "Nothing is said of the naturals: none was read.",
    )


def test_sentences_of_two_octaves() -> None:
    said = sample(list(range(28, 53))).sentences
    assert said[1].startswith("Every key that these 25 can speak for was read")
    assert said[2] == "Nothing is said of the 63 keys outside C3 to C5."


def test_sentences_of_one_key() -> None:
    said = sample([40]).sentences
    assert said[1].startswith("One key says nothing of the others")
    assert said[2] == "Nothing is said of the sharps: none was read."
    assert len(said) == 3


@pytest.mark.parametrize("keys", [[], [40], [1, 88]])
def test_few_keys_say_little_and_never_break(keys: list[int]) -> None:
    made = sample(keys)
    assert made.sentences
    assert (made.mean_down is None) == (len(keys) < 2)
    assert made.next_keys


def test_compass_of_a_sample() -> None:
    assert spoken_for(()) == ()
    assert spoken_for((4, 80, 2)) == tuple(range(1, 89))
    # near one end only: not for the rest
    assert spoken_for((1, 2, 40)) == tuple(range(1, 41))
    assert spoken_for((40, 86, 88)) == tuple(range(40, 89))
    assert all(colour_of(k) == "natural" for k in spoken_for((4, 80)))


# ------------------------------------------------------------------ what to measure next


def test_doubts_and_halves_come_before_gaps() -> None:
    readings = (read(30, 45, key=20), read(50, None, key=30), KeyReading(40, None, read(26).down))
    found = figures(Sitting("", readings)).sample.next_keys
    assert [n.key for n in found[:3]] == [20, 30, 40]
    assert ["contradict" in found[0].why, "up weight" in found[1].why, "down weight" in found[2].why] == [True] * 3
    assert len({n.key for n in found}) == len(found) == 8


def test_an_unread_keyboard_begins_in_the_middle() -> None:
    found = sample([]).next_keys
    # E4 and D#4, then the outermost ones of each colour
    assert [n.key for n in found[:6]] == [44, 43, 88, 86, 1, 2]
    assert [n.why for n in found[:2]] == ["no natural is read", "no sharp is read"]
    assert found[2].why == "the nearest natural read is 44 keys away"


@given(st.lists(st.integers(1, 88), min_size=1, max_size=60, unique=True))
def test_the_widest_gap_is_taken_first(read_keys: list[int]) -> None:
    if len({colour_of(k) for k in read_keys}) < 2:
        return

    def distance(key: int) -> int:
        return min(abs(key - r) for r in read_keys if colour_of(r) == colour_of(key))

    chosen = widest_gaps(read_keys, 5)
    assert chosen[0][1] == max(distance(k) for k in range(1, 89))
    assert [g for _, g in chosen] == sorted((g for _, g in chosen), reverse=True)
    assert not {k for k, _ in chosen} & set(read_keys)


def test_greedy_choice_is_within_twice_the_best_possible() -> None:
    """Farthest-first traversal covers within twice the optimum (Gonzalez 1985, from memory); by brute force here."""
    naturals = [k for k in range(1, 40) if colour_of(k) == "natural"]
    have = [naturals[0], naturals[3]]

    def cover(points: list[int]) -> int:
        return max(min(abs(k - p) for p in points) for k in naturals)

    # everything outside counts as read, so that the choice stays inside
    outside = [k for k in range(1, 89) if k not in naturals]
    chosen = [k for k, _ in widest_gaps(have + outside, 3)]
    best = min(cover([*have, *extra]) for extra in combinations(naturals, 3))
    assert cover(have + chosen) <= 2 * best
