"""A temperature without a unit is in what the settings say; one with a unit is what was said, whatever they say."""

from __future__ import annotations

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.limits import Limits
from handsfree.nouns import Circumstance, Pass
from handsfree.session import Session


@pytest.mark.parametrize(
    ("said", "noted", "line"),
    [
        ("temperature seventy", "70 °F", "Temperature seventy degrees Fahrenheit."),
        ("temperature seventy degrees", "70 °F", "Temperature seventy degrees Fahrenheit."),
        ("temperature 21 C", "21 °C", "Temperature twenty one degrees Celsius."),
        ("temperature 70 fahrenheit", "70 °F", "Temperature seventy degrees Fahrenheit."),
    ],
)
def test_who_thinks_in_fahrenheit_says_numbers_alone(said: str, noted: str, line: str) -> None:
    session = Session(MemoryJournal(), Limits(fahrenheit=True))
    session.set_pass(Pass.WALKTHROUGH)
    assert session.typed(said).line == line
    assert session.walk.noted[Circumstance.TEMPERATURE] == noted


def test_what_no_room_can_have_is_refused_in_that_unit() -> None:
    session = Session(MemoryJournal(), Limits(fahrenheit=True))
    session.set_pass(Pass.WALKTHROUGH)
    assert session.typed("temperature ten").line == "10 degrees Fahrenheit cannot be."
    assert not session.walk.noted
