"""What is expected, checked against a reference library and against the sense of it."""

from __future__ import annotations

from decimal import Decimal

import pytest
from scipy import stats

from handsfree.judgement.expectation import (
    COMMON,
    FREEDOM,
    Prediction,
    nearness,
    place_likelihood,
    predict,
    predict_friction,
    value_likelihood,
)
from handsfree.nouns import Entry, Plan, Quantity, Sheet, Standing
from handsfree.words.plans import EVERY_KEY, NATURALS

DOWN, UP = Quantity.DOWN, Quantity.UP
C4, D4, E4, F4, G4, A4 = 40, 42, 44, 45, 47, 49


def sheet_of(
    values: dict[tuple[int, Quantity], str | None], place: int | None = None, plan: Plan | None = None
) -> Sheet:
    standing = {
        (key, quantity): Entry(
            n, key, quantity, None if value is None else Decimal(value), Standing.TAKEN, 1.0, "", "", None, n
        )
        for n, ((key, quantity), value) in enumerate(values.items(), start=1)
    }
    return Sheet(tuple(standing.values()), standing, plan=plan or Plan("none", ()), place=place)


@pytest.mark.parametrize("centre", [25.0, 50.0, 81.5])
@pytest.mark.parametrize("scale", [1.5, 4.2, 9.8])
@pytest.mark.parametrize("value", ["0.5", "15", "28", "50", "52.5", "91", "150"])
def test_student_t_against_scipy(centre: float, scale: float, value: str) -> None:
    """Source: scipy.stats.t."""
    ours, theirs = Prediction(centre, scale, 1.0), stats.t(FREEDOM, loc=centre, scale=scale)
    x = float(value)
    assert ours.density(Decimal(value)) == pytest.approx(theirs.pdf(x), rel=1e-12)
    assert ours.relative(Decimal(value)) == pytest.approx(theirs.pdf(x) / theirs.pdf(centre), rel=1e-12)
    assert ours.tail(Decimal(value)) == pytest.approx(2 * theirs.sf(centre + abs(x - centre)), rel=1e-6, abs=1e-9)


def test_wide_at_first() -> None:
    """Nothing known: the common values, wide enough that the query limits lie well within."""
    first = predict(C4, DOWN, Sheet())
    assert first.centre == COMMON["down"][0]
    assert first.evidence == 0
    assert first.tail(35) > 0.1
    assert first.tail(75) > 0.03


def test_narrower_with_each_neighbour() -> None:
    scales = []
    values: dict[tuple[int, Quantity], str | None] = {}
    for key in (C4, E4, F4, G4, A4):
        values[key, DOWN] = "52"
        scales.append(predict(D4, DOWN, sheet_of(values)).scale)
    assert scales == sorted(scales, reverse=True)
    assert scales[0] < predict(D4, DOWN, Sheet()).scale


def test_near_keys_of_the_same_colour_count_most() -> None:
    near, far, sharp = nearness(C4, D4), nearness(C4, C4 + 24), nearness(C4, D4 + 1)
    assert near > far > 0
    assert near > sharp
    # a natural next door against the sharp between: the natural still counts more
    assert nearness(C4, D4) > nearness(C4, C4 + 1)


def test_the_whole_instrument_is_expected() -> None:
    """A heavy bass makes a heavy treble likelier than a first reading would be."""
    bass = sheet_of({(k, DOWN): "82" for k in range(4, 20)})
    assert predict(70, DOWN, bass).centre > 75
    assert predict(70, DOWN, bass).tail(82) > 0.5
    assert predict(70, DOWN, Sheet()).tail(82) < 0.05


def test_one_blunder_moves_little() -> None:
    even: dict[tuple[int, Quantity], str | None] = {(k, DOWN): "52" for k in (C4, E4, F4, G4)}
    clean, spoilt = predict(D4, DOWN, sheet_of(even)), predict(D4, DOWN, sheet_of({**even, (A4, DOWN): "120"}))
    assert abs(spoilt.centre - clean.centre) < 2
    assert spoilt.scale < 1.6 * clean.scale


def test_no_return_is_no_weight() -> None:
    """A key that lifts nothing says nothing about how much another lifts."""
    assert predict(D4, UP, sheet_of({(C4, UP): None})) == predict(D4, UP, Sheet())
    assert predict_friction(D4, sheet_of({(C4, DOWN): "50", (C4, UP): None})).evidence == 0


def test_the_keys_own_reading_says_most() -> None:
    sheet = sheet_of({(C4, DOWN): "60", (D4, DOWN): "50", (E4, DOWN): "50"})
    assert value_likelihood(C4, DOWN, Decimal(60), sheet) > value_likelihood(C4, DOWN, Decimal(50), sheet)
    assert value_likelihood(F4, DOWN, Decimal(60), sheet) < value_likelihood(F4, DOWN, Decimal(50), sheet)


def test_the_plan_says_what_comes() -> None:
    sheet = sheet_of({}, place=D4, plan=NATURALS)
    here, beside, near, far, off = (place_likelihood(k, sheet) for k in (D4, E4, G4, 88, D4 + 1))
    assert here == 1.0
    assert here > beside > near > far > off > 0


def test_without_a_plan_every_key_is_as_likely() -> None:
    assert {place_likelihood(k, Sheet()) for k in EVERY_KEY.keys} == {1.0}
    likelihoods = [place_likelihood(k, sheet_of({}, place=D4)) for k in EVERY_KEY.keys]
    assert min(likelihoods) >= 0.5


def keys_read(*keys: int, complete: bool = True) -> Sheet:
    """One after the other, without a plan."""
    values = {(k, q): "52" if q is DOWN else "28" for k in keys for q in ((DOWN, UP) if complete else (DOWN,))}
    return sheet_of(dict(values), place=keys[-1])


def test_without_a_plan_a_habit_says_what_comes() -> None:
    """Each C and F: up by five, up by seven."""
    sheet = keys_read(16, 21, 28, 33, C4)
    chances = {key: place_likelihood(key, sheet) for key in range(1, 89)}
    assert max(chances, key=lambda key: chances[key]) == F4
    assert chances[F4] > 3 * chances[A4]
    assert chances[A4] > chances[33 - 2], "up is the way"


def test_without_a_habit_the_next_key_may_be_any_near() -> None:
    sheet = keys_read(28, 33)
    assert place_likelihood(C4, sheet) == place_likelihood(A4 - 5, sheet) == 1.0


def test_a_key_that_was_read_is_seldom_named_again_but_its_up_is_waited_for() -> None:
    assert place_likelihood(C4, keys_read(28, C4)) < place_likelihood(A4, keys_read(28, C4))
    assert place_likelihood(C4, keys_read(28, C4, complete=False)) == 1.0


def test_a_habit_never_rules_a_key_out() -> None:
    assert all(place_likelihood(key, keys_read(40, 41, 42, 43, 44, 45)) > 0.001 for key in range(1, 89))


def test_an_instrument_far_from_the_common_middle_is_soon_taken_as_it_is() -> None:
    """Three keys at 80 g: what is expected beside them is theirs, not a mean of theirs and of all pianos'."""
    heavy = sheet_of({(k, DOWN): "80" for k in (C4, E4, F4)})
    assert predict(D4, DOWN, heavy).centre > 78


def test_the_keys_own_reading_does_not_say_all() -> None:
    """Where it was wrong itself, the value that the neighbours show must stay likely."""
    sheet = sheet_of({(C4, DOWN): "35", (D4, DOWN): "52", (E4, DOWN): "52", (F4, DOWN): "52"})
    assert value_likelihood(C4, DOWN, Decimal(52), sheet) > 0.2
    assert value_likelihood(C4, DOWN, Decimal(69), sheet) < 0.02, "as far from the first, and no neighbour's"
