"""What somebody else said beside is not taken with a technician's reading: asked about."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from handsfree.judgement.dialogue import judge
from handsfree.judgement.limits import Limits
from handsfree.nouns import Amount, Outcome, Plan, Quantity, Reading, Said, Sheet, Speech, Took
from tests.judgement.test_expectation import sheet_of

C4, D4 = 40, 42
QUIET = Limits()
NOISY = QUIET.heard_at(15.0)
AT_C4 = Sheet(plan=Plan("naturals", (C4, D4)), place=C4)


def reading(down: str, up: str, key: int | None = None) -> Reading:
    return Reading(key, (Amount(None, Decimal(down)), Amount(None, Decimal(up))))


def test_words_that_do_not_hang_together_are_asked_about() -> None:
    said = reading("52", "28")
    assert judge([(said, 1.0)], AT_C4, QUIET).outcome is Outcome.TAKEN
    asked = judge([(replace(said, scattered=True), 1.0)], AT_C4, QUIET)
    assert asked.outcome is Outcome.ASKED
    assert not any(isinstance(f, Took) for f in asked.facts)


def test_a_strange_note_moves_the_pass_nowhere() -> None:
    said = replace(reading("52", "28", D4), scattered=True)
    assert judge([(said, 1.0)], AT_C4, QUIET).outcome is Outcome.ASKED
    assert "Went" not in {type(f).__name__ for f in judge([(said, 1.0)], AT_C4, QUIET).facts}


@pytest.mark.parametrize(("limits", "outcome"), [(QUIET, Outcome.TAKEN), (NOISY, Outcome.ASKED)])
def test_the_first_half_in_noise_is_asked_about(limits: Limits, outcome: Outcome) -> None:
    """Talk beside is often heard as "and a half"."""
    turn = judge([(reading("52.5", "28"), 1.0)], AT_C4, limits)
    assert turn.outcome is outcome
    if outcome is Outcome.ASKED:
        assert [(f.quantity, f.value) for f in turn.facts if isinstance(f, Took)] == [(Quantity.UP, Decimal(28))]


def test_who_measures_in_halves_is_asked_once() -> None:
    sheet = sheet_of({(D4, Quantity.DOWN): "51.5"}, place=C4, plan=AT_C4.plan)
    assert judge([(reading("52.5", "28"), 1.0)], sheet, NOISY).outcome is Outcome.TAKEN


@pytest.mark.parametrize(("share", "outcome"), [(0.95, Outcome.TAKEN), (0.84, Outcome.ASKED)])
def test_a_note_that_nothing_led_to_must_be_surer(share: float, outcome: Outcome) -> None:
    said: list[tuple[Said, float]] = [(reading("52", "28", 44), share), (reading("52", "28", 49), 1 - share)]
    assert judge(said, Sheet(), QUIET).outcome is outcome
    if outcome is Outcome.TAKEN:
        aloud = [(said[0][0], 0.93), (said[1][0], 0.07)]
        assert judge(aloud, Sheet(), QUIET).speech is Speech.REPLY
        assert judge([(said[0][0], 0.99), (said[1][0], 0.01)], Sheet(), QUIET).speech is Speech.READ_BACK
    at_place: list[tuple[Said, float]] = [(reading("52", "28"), share), (reading("52", "38"), 1 - share)]
    assert judge(at_place, AT_C4, QUIET).outcome is Outcome.TAKEN
