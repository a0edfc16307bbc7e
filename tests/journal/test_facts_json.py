"""Every kind of fact comes back from its text as it went; what is no fact is refused, not guessed."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handsfree.journal import facts_json
from handsfree.nouns import Alternative, Fact, FindingAsked, Quantity, Standing, Took


def finite(noun: object) -> bool:
    return not re.search("nan|inf", repr(noun), re.IGNORECASE)


ANY_FACT = st.one_of([st.from_type(noun) for noun in get_args(Fact)]).filter(finite)


@settings(deadline=None)
@given(ANY_FACT)
def test_every_fact_comes_back_as_it_went(fact: Fact) -> None:
    kind, body = facts_json.fact_to_json(fact)
    back = facts_json.fact_from_json(kind, body)
    assert back == fact
    assert repr(back) == repr(fact), "also the digits: 52.50 is not 52.5"


def test_no_kind_is_forgotten() -> None:
    assert set(facts_json.KINDS.values()) == set(get_args(Fact))


@settings(deadline=None)
@given(st.lists(st.from_type(Alternative), min_size=1, max_size=4).map(tuple).filter(finite))
def test_alternatives_come_back_as_they_went(alternatives: tuple[Alternative, ...]) -> None:
    assert facts_json.alternatives_from_json(facts_json.alternatives_to_json(alternatives)) == alternatives


def test_something_was_always_heard() -> None:
    with pytest.raises(ValueError, match="no alternatives"):
        facts_json.alternatives_from_json("[]")


def test_grams_are_text() -> None:
    took = Took(40, Quantity.DOWN, Decimal("52.50"), Standing.TAKEN, 0.9)
    kind, body = facts_json.fact_to_json(took)
    assert (kind, json.loads(body)["value"]) == ("took", "52.50")


GOOD = {"key": 40, "quantity": "down", "value": "52.5", "standing": "taken", "sureness": 1.0, "replaces": None}


@pytest.mark.parametrize(
    ("kind", "change"),
    [
        ("took", {"key": "40"}),
        ("took", {"key": 40.5}),
        ("took", {"value": "NaN"}),
        ("took", {"value": "fifty"}),
        ("took", {"quantity": "sideways"}),
        ("took", {"standing": "withdrawn"}),
        ("took", {"remark": "more than a reading has"}),
        ("guessed", {}),
    ],
)
def test_what_is_no_fact_is_refused(kind: str, change: dict[str, object]) -> None:
    assert facts_json.fact_from_json("took", json.dumps(GOOD))
    with pytest.raises(ValueError):  # noqa: PT011 pydantic's error is one, and its words are its own
        facts_json.fact_from_json(kind, json.dumps({**GOOD, **change}))


@pytest.mark.parametrize("body", ["null", "{}", "[]", '"took"', json.dumps({"key": 40})])
def test_half_a_fact_is_refused(body: str) -> None:
    with pytest.raises(ValueError):  # noqa: PT011
        facts_json.fact_from_json("took", body)


def test_grams_without_end_are_not_written() -> None:
    """They could not be read back, and would make the whole journal unreadable."""
    with pytest.raises(ValueError, match="finite"):
        facts_json.fact_to_json(Took(40, Quantity.DOWN, Decimal("Infinity"), Standing.TAKEN, 0.9))


@pytest.mark.parametrize(
    "why",
    ["not sure of what was heard", "finding and grade contradict each other", "it was graded otherwise before"],
)
def test_questions_of_earlier_journals_are_understood(why: str) -> None:
    """These texts stand in journals: they may not be worded anew."""
    finding = {"part": "lid", "finding": "good", "place": "", "grade": 4}
    body = json.dumps({"finding": finding, "why": why, "line": "Lid, good, four?", "sureness": 0.9})
    asked = facts_json.fact_from_json("finding asked", body)
    assert isinstance(asked, FindingAsked)
    assert asked.why.value == why
