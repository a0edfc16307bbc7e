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
    ["[touch]\nweight = 3", "[touch]\nup_slow = 'slow'", "[touch]\nconfidence = 1", "[touch]\ndown_light = -1"],
)
def test_what_makes_no_sense_is_named(text: str) -> None:
    with pytest.raises(BadSettings, match="touch"):
        parse_settings(text, "x")
