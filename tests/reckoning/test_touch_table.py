"""The touch wanted, as the settings file has it."""

from __future__ import annotations

from dataclasses import fields
from decimal import Decimal

import pytest

from handsfree.errors import BadSettings
from handsfree.measured import touch_of
from handsfree.reckoning.touch_settings import Section, TouchSettings
from handsfree.settings import Settings, TouchTable, parse_settings


def test_every_threshold_can_be_set() -> None:
    assert list(TouchTable.model_fields) == [f.name for f in fields(TouchSettings)]


def test_what_is_not_set_is_as_the_trade_has_it() -> None:
    assert touch_of(Settings()) == TouchSettings()


def test_what_is_set_holds() -> None:
    text = "[touch]\ndown_acceptable = 54.5\nup_slow = 22\n[touch.sections]\nlow = [1, 20]\nrest = [21, 88]\n"
    touch = touch_of(parse_settings(text, "x"))
    assert (touch.down_acceptable, touch.up_slow) == (Decimal("54.5"), Decimal(22))
    assert touch.sections == (Section("low", 1, 20), Section("rest", 21, 88))
    assert touch.down_too_heavy == 60


@pytest.mark.parametrize(
    "text",
    [
        "weight = 3", "up_slow = 'slow'", "confidence = 1", "down_light = -1", "swings_wanted = 12",
        "swings_tight = 8", "down_ideal_low = 53", "down_acceptable = 61",
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_named(text: str) -> None:
    with pytest.raises(BadSettings, match="touch"):
        parse_settings(f"[touch]\n{text}", "x")


def test_settings_that_contradict_each_other_are_named() -> None:
    with pytest.raises(BadSettings, match=r"in \[touch\], swings_tight, swings_wanted, swings_loose must rise"):
        parse_settings("[touch]\nswings_wanted = 20", "x")
    assert touch_of(parse_settings("[touch]\nswings_wanted = 20\nswings_loose = 25", "x")).swings_wanted == 20
