"""What the ear is told to expect: the same place and values that the judgement reckons with."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.expectation import predict
from handsfree.judgement.limits import Limits
from handsfree.judgement.prospect import DOWN_NEXT, FINENESS, UP_NEXT, prospect
from handsfree.nouns import Pass, Plan, Quantity, Sheet
from handsfree.session import Session
from handsfree.words.plans import plan_named

C4, CIS4, D4 = 40, 41, 42
LEANING = Limits(lean=0.5)


def sitting(*said: str, plan: str = "octave four") -> Session:
    """Figures are made up."""
    session = Session(MemoryJournal(), LEANING)
    wanted = plan_named(plan)
    assert wanted is not None
    session.set_plan(wanted)
    for text in said:
        session.typed(text)
    return session


def test_nothing_is_expected_without_a_place_or_while_standing_by() -> None:
    assert prospect(Sheet(), LEANING) is None
    assert prospect(sitting("stand by").sheet, LEANING) is None
    assert prospect(replace(sitting().sheet, doing=Pass.SWINGS), LEANING) is None


def test_nobody_is_told_where_nothing_shall_lean() -> None:
    assert prospect(sitting().sheet, Limits(lean=0.0)) is None


def test_the_plan_tells_the_key() -> None:
    at_first, then = (prospect(s.sheet, LEANING) for s in (sitting(), sitting("fifty two twenty eight")))
    assert at_first is not None
    assert then is not None
    assert (at_first.key, then.key) == (C4, CIS4)
    free = prospect(replace(sitting().sheet, plan=Plan("none", ())), LEANING)
    assert free is not None
    assert free.key is None


def test_values_lie_where_the_judgement_expects_them() -> None:
    session = sitting("sixty one thirty three", "sixty two thirty four")
    found = prospect(session.sheet, LEANING)
    assert found is not None
    for quantity, near in ((Quantity.DOWN, found.down), (Quantity.UP, found.up)):
        around = predict(D4, quantity, session.sheet)
        assert abs(near.centre - around.centre) <= FINENESS / 2
        assert abs(near.scale - around.scale) <= FINENESS / 2


def test_the_first_number_is_what_the_key_lacks() -> None:
    first = [
        found.first_is_down
        for session in (sitting(), sitting("fifty two"), sitting("ninety one"), sitting("fifty two", "forty nine"))
        if (found := prospect(session.sheet, LEANING))
    ]
    # nothing stands; the up is missing; the down is asked about; the up is asked about
    assert first == [DOWN_NEXT, UP_NEXT, DOWN_NEXT, UP_NEXT]


def test_a_key_measured_before_is_expected_to_be_as_it_was() -> None:
    session = sitting("fifty eight thirty one", "back")
    found = prospect(session.sheet, LEANING)
    assert found is not None
    assert found.key == C4
    assert (Decimal(found.down.centre), Decimal(found.up.centre)) == (58, 31)


def test_the_session_hands_it_on_and_keeps_it_until_something_changes() -> None:
    session = sitting()
    before = session.expected
    assert before is not None
    assert before.key == C4
    assert session.expected is before
    session.typed("fifty two twenty eight")
    assert session.expected is not None
    assert session.expected.key == CIS4
