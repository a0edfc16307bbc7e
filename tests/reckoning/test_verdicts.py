"""One verdict a key from down, up, balance, friction and swings, and the sentence that says why."""

from __future__ import annotations

import ast
import inspect
from dataclasses import fields
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.reckoning import touch_settings
from handsfree.reckoning.diagnosis import FRICTION_INVOLVED, WEIGHT_INVOLVED, heaviness, verdict_of
from handsfree.reckoning.readings import KeyReading, Sitting
from handsfree.reckoning.results import Heaviness, Verdict
from handsfree.reckoning.summary import figures
from handsfree.reckoning.touch_settings import TouchSettings
from tests.reckoning.making import MIDDLE_C, one, read, sitting

USUAL = TouchSettings()

# the truth table of D = B + F, U = B - F (computed), with the trade's thresholds (common practice, no source)
TABLE = [
    (64, 16, Verdict.FRICTION),  # down high, up low, balance normal, friction high
    (64, 40, Verdict.WEIGHT),  # down and up high, friction normal
    (70, 28, Verdict.BOTH),  # down high, balance and friction both raised
    (46, 19, Verdict.LIGHT_SLOW),  # down and up low, friction normal
    (48, 40, Verdict.LOOSE),  # down low, up high: little friction
    (38, 22, Verdict.LIGHT),
    (50, 26, Verdict.FINE),
    (56, 32, Verdict.FINE),  # acceptable is not heavy
]


@pytest.mark.parametrize(("down", "up", "verdict"), TABLE)
def test_truth_table(down: int, up: int, verdict: Verdict) -> None:
    key = one(read(down, up))
    assert key.verdict is verdict
    assert str(down) in key.why or str(up) in key.why


@pytest.mark.parametrize(
    ("down", "up", "verdict"),
    [(54, 19, Verdict.FRICTION), (50, 19, Verdict.LIGHT_SLOW), (56, 20, Verdict.FINE)],
)
def test_a_slow_return_is_friction_where_there_is_more_of_it_than_wanted_and_the_key_is_not_light(
    down: int, up: int, verdict: Verdict
) -> None:
    """The lowest key, 15 g of friction wanted: 17.5, 15.5 and 18 g (F = (D - U)/2), none of them high."""
    assert one(read(down, up, key=1)).verdict is verdict


# each number in a sentence follows from D, U and the target of 12.8 g at middle C by statics
SENTENCES = [
    (62, 22, "Down 62 g is too heavy and friction 20 g against 12.8 g wanted is high: "
             "with friction at its target the key would take 54.8 g. "
             "Let the hammer swing to tell the flange from the key."),
    (64, 40, "Down 64 g is too heavy while friction 12 g against 12.8 g wanted is not: "
             "even so the balance of 52 g is too much."),
    (70, 28, "Down 70 g is too heavy, friction 21 g against 12.8 g wanted is high, and with friction at its target "
             "the key would take 61.8 g: still too much. Let the hammer swing to tell the flange from the key."),
    (57, 28, "Down 57 g is heavy: friction 14.5 g against 12.8 g wanted is a little high, "
             "so is the balance of 42.5 g; with friction at its target the key would take 55.3 g. "
             "Let the hammer swing to tell the flange from the key."),
    (46, 19, "Up 19 g returns slowly while friction 13.5 g against 12.8 g wanted: the balance of 32.5 g is low."),
    (38, 22, "Down 38 g is light, yet it returns (22 g): the balance of 30 g is low."),
    (48, 40, "Down 48 g is ideal and friction 4 g against 12.8 g wanted is little: "
             "look for loose centres and side play."),
    (50, 26, "Down 50 g is ideal, up 26 g returns, friction 12 g against 12.8 g wanted."),
]  # fmt: skip


@pytest.mark.parametrize(("down", "up", "sentence"), SENTENCES)
def test_the_sentence_says_the_numbers(down: int, up: int, sentence: str) -> None:
    assert one(read(down, up)).why == sentence


@pytest.mark.parametrize(
    ("down", "grade"),
    [
        ("39.5", Heaviness.LIGHT),
        ("47.5", Heaviness.BELOW_IDEAL),
        ("48", Heaviness.IDEAL),
        ("52", Heaviness.IDEAL),
        ("52.5", Heaviness.ACCEPTABLE),
        ("56", Heaviness.ACCEPTABLE),
        ("56.5", Heaviness.HEAVY),
        ("59.5", Heaviness.HEAVY),
        ("60", Heaviness.TOO_HEAVY),
    ],
)
def test_grades_of_down_weight(down: str, grade: Heaviness) -> None:
    """48 to 52 g ideal, 56 g acceptable, 60 g and more too heavy: common practice, no source."""
    assert heaviness(Decimal(down), USUAL) is grade


def test_the_thresholds_are_settings() -> None:
    stern = TouchSettings(down_acceptable=Decimal(49))
    assert one(read(50, 26)).verdict is Verdict.FINE
    assert one(read(50, 26), settings=stern).verdict in WEIGHT_INVOLVED | FRICTION_INVOLVED


def test_every_default_says_where_it_comes_from() -> None:
    """Each threshold is named as common practice or as our choice, in the text a reader sees beside it."""
    (made,) = (
        n
        for n in ast.parse(inspect.getsource(touch_settings)).body
        if isinstance(n, ast.ClassDef) and n.name == "TouchSettings"
    )
    named: dict[str, str] = {}
    for field, text in pairwise(made.body):
        if isinstance(field, ast.AnnAssign) and isinstance(field.target, ast.Name) and isinstance(text, ast.Expr):
            assert isinstance(text.value, ast.Constant)
            named[field.target.id] = " ".join(str(text.value.value).split())
    thresholds = {f.name for f in fields(TouchSettings)} - {"confidence", "sections"}
    assert thresholds <= named.keys()
    for name in thresholds:
        assert "common practice, no source" in named[name] or "our choice" in named[name], name


# ------------------------------------------------------------------ where the friction sits


def test_high_friction_with_a_free_flange_points_to_the_key() -> None:
    why = one(read(64, 20, swings=7)).why
    assert "key bushings" in why
    assert "balance hole" in why


def test_high_friction_with_a_tight_flange_points_to_the_flange() -> None:
    assert "flange is tight" in one(read(64, 20, swings=3)).why
    assert "flange is seized" in one(read(64, 20, swings=0)).why


def test_high_friction_without_swings_asks_for_them() -> None:
    assert "Let the hammer swing" in one(read(64, 20)).why


def test_a_low_count_with_low_friction_is_explained_not_believed() -> None:
    key = one(read(50, 28, swings=3))
    assert key.verdict is Verdict.FINE
    assert "Count again" in key.why


def test_a_low_count_with_friction_above_target_is_friction() -> None:
    assert one(read(52, 25, swings=3)).verdict is Verdict.FRICTION


def test_a_seized_flange_without_friction_contradicts_itself() -> None:
    key = one(read(46, 38, swings=0))
    assert key.verdict is Verdict.DOUBTFUL
    assert "contradict" in key.why


def test_many_swings_mean_loose_even_where_the_weights_are_fine() -> None:
    key = one(read(50, 26, swings=14))
    assert key.verdict is Verdict.LOOSE
    assert "side play" in key.why


def test_swings_alone_do_not_clear_a_centre() -> None:
    """Hammers that swing 4 to 7 times and have side play exist (mailing list, informal)."""
    assert "do not clear" in one(read(46, 38, swings=6)).why


@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        (read(None, None, 0), Verdict.FRICTION),
        (read(None, None, 7), Verdict.UNKNOWN),
        (read(None, None, 20), Verdict.LOOSE),
        (read(58, None), Verdict.UNKNOWN),
        (read(None, 22), Verdict.UNKNOWN),
        (KeyReading(MIDDLE_C, None, None, True), Verdict.UNKNOWN),
        (KeyReading(MIDDLE_C, Decimal(50), None, True), Verdict.FRICTION),
        (KeyReading(MIDDLE_C, Decimal(24), None, True), Verdict.LIGHT_SLOW),
    ],
)
def test_with_something_missing_the_rest_is_said(reading: KeyReading, verdict: Verdict) -> None:
    key = one(reading)
    assert key.verdict is verdict
    assert key.why


def test_a_seized_flange_of_a_key_that_does_not_return_contradicts_nothing() -> None:
    """Half of the down weight is only the least that its friction can be (U <= 0), however little that is."""
    key = one(KeyReading(MIDDLE_C, Decimal(10), None, True, Decimal(0)))
    assert key.verdict is Verdict.FRICTION
    assert "seized" in key.why


# ------------------------------------------------------------------ what can be hoped for


def test_expected_down_is_balance_plus_target() -> None:
    """D' = B + F target (statics)."""
    key = one(read(64, 20))
    assert key.expected_down == Decimal(42) + USUAL.friction_target(MIDDLE_C)


def test_treatment_never_makes_a_key_heavier() -> None:
    assert one(read(50, 40)).expected_down == 50


def test_the_friction_target_falls_to_the_treble() -> None:
    assert USUAL.friction_target(1) == 15
    assert USUAL.friction_target(88) == 10
    assert USUAL.friction_target(30) > USUAL.friction_target(31) - Decimal("0.001")


# ------------------------------------------------------------------ properties

HALVES = st.integers(2, 240).map(lambda n: Decimal(n) / 2)
KEYS = st.integers(1, 88)


@given(HALVES, HALVES, KEYS)
def test_friction_is_never_negative_and_balance_lies_between(a: Decimal, b: Decimal, key: int) -> None:
    up, down = sorted((a, b))
    found = one(KeyReading(key, down, up))
    assert found.friction is not None
    assert found.balance is not None
    assert found.friction.value >= 0
    assert up <= found.balance.value <= down
    assert found.balance.value + found.friction.value == down
    assert found.balance.value - found.friction.value == up


@given(HALVES, HALVES)
def test_heaviness_never_falls_as_down_rises(a: Decimal, b: Decimal) -> None:
    order = list(Heaviness)
    low, high = sorted((a, b))
    assert order.index(heaviness(low, USUAL)) <= order.index(heaviness(high, USUAL))


@given(st.integers(40, 120), st.integers(0, 60), st.integers(0, 60), KEYS)
def test_more_friction_at_the_same_balance_stays_friction(balance: int, a: int, b: int, key: int) -> None:
    less, more = sorted((min(a, balance - 1), min(b, balance - 1)))
    verdicts = [verdict_of(Decimal(balance + f) / 2, Decimal(balance - f) / 2, key, USUAL) for f in (less, more)]
    assert not (verdicts[0] in FRICTION_INVOLVED and verdicts[1] not in FRICTION_INVOLVED)


@given(st.integers(40, 160), st.integers(40, 160), st.integers(0, 39), KEYS)
def test_more_balance_at_the_same_friction_stays_weight(a: int, b: int, friction: int, key: int) -> None:
    less, more = sorted((a, b))
    verdicts = [verdict_of(Decimal(v + friction) / 2, Decimal(v - friction) / 2, key, USUAL) for v in (less, more)]
    assert not (verdicts[0] in WEIGHT_INVOLVED and verdicts[1] not in WEIGHT_INVOLVED)


@given(HALVES, HALVES, KEYS, st.one_of(st.none(), st.integers(0, 30)))
def test_every_verdict_has_a_sentence_that_ends(a: Decimal, b: Decimal, key: int, swings: int | None) -> None:
    found = one(KeyReading(key, a, b, False, None if swings is None else Decimal(swings)))
    assert found.why.endswith(".")
    assert "  " not in found.why


# ------------------------------------------------------------------ sections


def test_a_section_is_what_most_of_its_keys_are() -> None:
    rows = [(k, 62, 20) for k in range(1, 16)] + [(k, 50, 26) for k in range(16, 30)] + [(60, 50, 26)]
    made = figures(sitting(rows))
    bass, middle, treble = made.sections
    assert bass.verdict is Verdict.FRICTION
    assert dict(bass.verdicts) == {Verdict.FRICTION: 15, Verdict.FINE: 14}
    assert bass.down is not None
    assert bass.down.mean == pytest.approx((15 * 62 + 14 * 50) / 29)
    assert (middle.keys_read, middle.verdict) == (0, Verdict.UNKNOWN)
    assert treble.verdict is Verdict.UNKNOWN
    assert "takes 3" in treble.why


@pytest.mark.parametrize("fine_first", [True, False])
def test_of_two_verdicts_as_frequent_a_section_has_the_one_that_asks_for_work(fine_first: bool) -> None:
    fine, rubs = [(k, 50, 26) for k in (1, 2)], [(k, 62, 20) for k in (3, 4)]
    rows = [*fine, *rubs] if fine_first else [(k + 2, d, u) for k, d, u in fine] + [(k - 2, d, u) for k, d, u in rubs]
    assert figures(sitting(rows)).sections[0].verdict is Verdict.FRICTION


def test_a_number_that_nobody_can_have_read_off_is_left_out_and_named() -> None:
    made = figures(Sitting("", (read("50.1234567", 26), read(52, 28, key=41))))
    assert [(k.key, k.down) for k in made.keys] == [(MIDDLE_C, None), (41, Decimal(52))]
    assert any(note.startswith("C4 down (no usable number) is not between 0 and") for note in made.notes)


def test_counts_are_given_a_section_each_and_never_across() -> None:
    made = figures(Sitting("", (read(50, 26, 6, 1), read(50, 26, 4, 88))))
    assert made.sections[0].swings is not None
    assert made.sections[2].swings is not None
    assert (made.sections[0].swings.median, made.sections[2].swings.median) == (6, 4)
