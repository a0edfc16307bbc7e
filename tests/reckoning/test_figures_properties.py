"""Whatever comes in: a result or a reason, never an exception, never a NaN, and no order of keys matters."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from math import isfinite
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handsfree.reckoning.as_text import comparison_lines, figures_lines
from handsfree.reckoning.plain import Plain, plain
from handsfree.reckoning.readings import Hammer, KeyReading, Method, Sitting, SwingDefinition
from handsfree.reckoning.results import Figures
from handsfree.reckoning.summary import compare, figures
from handsfree.reckoning.touch_settings import TouchSettings
from tests.reckoning.making import read

ANY = st.one_of(
    st.none(),
    st.integers(0, 160).map(lambda n: Decimal(n) / 2),
    st.decimals(allow_nan=True, allow_infinity=True),
)
ANY_READING = st.builds(KeyReading, st.integers(-3, 95), ANY, ANY, st.booleans(), ANY)
SOUND_READING = st.builds(
    lambda key, up, more, swings: KeyReading(key, up + more, up, False, swings),
    st.integers(1, 88),
    st.integers(20, 80).map(lambda n: Decimal(n) / 2),
    st.integers(0, 80).map(lambda n: Decimal(n) / 2),
    st.one_of(st.none(), st.integers(0, 24).map(Decimal)),
)
NUMBER = st.one_of(st.decimals(allow_nan=True, allow_infinity=True), st.integers(-5, 200).map(Decimal))
ANY_METHOD = st.builds(
    Method,
    NUMBER,
    NUMBER,
    st.sampled_from(SwingDefinition),
    st.lists(st.builds(Hammer, NUMBER, NUMBER, st.one_of(st.none(), st.integers(1, 88))), max_size=3).map(tuple),
    st.one_of(st.none(), NUMBER),
)
ANY_SITTING = st.builds(
    Sitting,
    st.just("any"),
    st.lists(ANY_READING, max_size=30).map(tuple),
    st.lists(ANY_READING, max_size=8).map(tuple),
    ANY_METHOD,
)
SOUND_SITTING = st.builds(
    Sitting,
    st.just("sound"),
    st.lists(SOUND_READING, max_size=40, unique_by=lambda r: r.key).map(tuple),
)


def walk(value: Plain) -> None:
    """No float that a screen cannot show."""
    if isinstance(value, float):
        assert isfinite(value)
    elif isinstance(value, dict):
        for item in value.values():
            walk(item)
    elif isinstance(value, list):
        for item in value:
            walk(item)


def no_nan(made: Figures) -> None:
    """Every float in the results themselves, before `plain` would turn a NaN into null."""
    text = repr(made)
    assert "nan" not in text.lower().replace("finance", "")
    assert "inf" not in text.lower()


@settings(max_examples=150, deadline=None)
@given(ANY_SITTING)
def test_anything_gives_figures_and_reasons(sitting: Sitting) -> None:
    made = figures(replace(sitting, method=Method()) if not sitting.readings else sitting)
    walk(plain(made))
    lines = list(figures_lines(made))
    assert not any(" nan" in line.lower() for line in lines)
    json.dumps(plain(made), allow_nan=False)
    bad = [r for r in sitting.readings if not 1 <= r.key <= 88]
    assert all(any(f"Key {r.key} " in note for note in made.notes) for r in bad)


@settings(max_examples=80, deadline=None)
@given(ANY_SITTING, ANY_SITTING)
def test_anything_can_be_compared(first: Sitting, second: Sitting) -> None:
    made = compare(first, second)
    json.dumps(plain(made), allow_nan=False)
    assert list(comparison_lines(made))
    keys = {k.key for k in made.first.keys} | {k.key for k in made.second.keys}
    assert keys == {k.key for k in made.keys} | set(made.only_first) | set(made.only_second)


@settings(max_examples=80, deadline=None)
@given(SOUND_SITTING, st.integers(0, 2**32).map(Random))
def test_the_order_of_keys_does_not_matter(sitting: Sitting, chance: object) -> None:
    shuffled = list(sitting.readings)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    assert figures(sitting) == figures(replace(sitting, readings=tuple(shuffled)))


@settings(max_examples=80, deadline=None)
@given(SOUND_SITTING)
def test_sound_readings_have_sound_figures(sitting: Sitting) -> None:
    made = figures(sitting)
    no_nan(made)
    assert len(made.keys) == len(sitting.readings)
    for key in made.keys:
        assert key.friction is not None
        assert key.balance is not None
        assert key.down is not None
        assert key.up is not None
        assert key.friction.value >= 0
        assert key.up <= key.balance.value <= key.down
        assert key.expected_down is not None
        assert key.expected_down <= key.down
    assert sum(n for _, n in made.whole.verdicts) == len(made.keys)
    assert sum(s.keys_read for s in made.sections) == len(made.keys)


@settings(max_examples=50, deadline=None)
@given(SOUND_SITTING)
def test_nothing_changed_against_itself(sitting: Sitting) -> None:
    made = compare(sitting, sitting)
    assert made.changed_keys == ()
    assert not made.balance_changed
    assert all(not d.changed and d.mean in (None, 0.0) for d in made.whole)


@settings(max_examples=50, deadline=None)
@given(SOUND_SITTING, SOUND_SITTING)
def test_the_other_way_round_is_the_opposite(first: Sitting, second: Sitting) -> None:
    there, back = compare(first, second), compare(second, first)
    assert there.changed_keys == back.changed_keys
    for a, b in zip(there.whole, back.whole, strict=True):
        assert (a.keys, a.changed) == (b.keys, b.changed)
        if a.mean is not None and b.mean is not None:
            assert a.mean == pytest.approx(-b.mean, abs=1e-9)
        if a.low is not None and b.high is not None:
            assert a.low == pytest.approx(-b.high, abs=1e-9)


def test_no_keys() -> None:
    made = figures(Sitting("empty"))
    assert made.keys == made.treatments == ()
    assert any("No readings" in note for note in made.notes)
    assert compare(Sitting("a"), Sitting("b")).conclusions == (
        "No key is in both: nothing can be compared key by key.",
    )


def test_a_missing_column_leaves_the_rest() -> None:
    made = figures(Sitting("", tuple(read(50 + k % 3, None, key=k) for k in range(1, 30))))
    assert made.whole.down is not None
    assert made.whole.friction is None
    assert made.evenness.within is not None
    assert any("Down without up" in note for note in made.notes)
    assert any("No swings" in note for note in made.notes)


def test_a_key_read_twice_in_one_table_stands_with_its_last_reading() -> None:
    made = figures(Sitting("", (read(50, 26), read(52, 26))))
    assert [k.down for k in made.keys] == [52]
    assert made.repeatability.down is not None
    assert any("the last reading stands: C4" in note for note in made.notes)


@pytest.mark.parametrize("confidence", ["0", "1", "2", "NaN", "-1"])
def test_a_confidence_that_is_none_is_replaced_and_said(confidence: str) -> None:
    made = figures(Sitting("", (read(50, 26),)), TouchSettings(confidence=Decimal(confidence)))
    assert made.settings.confidence == Decimal("0.95")
    assert any("Confidence" in note for note in made.notes)


def test_exact_grams_stay_exact_in_json() -> None:
    made = figures(Sitting("", (read("52.50", "24"),)))
    text = json.dumps(plain(made))
    assert '"down": "52.50"' in text
    assert '"value": "14.25"' in text
