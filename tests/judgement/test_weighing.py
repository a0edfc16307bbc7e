"""Alternatives and expectations together."""

from __future__ import annotations

from decimal import Decimal

import pytest

from handsfree.judgement.dialogue import judge
from handsfree.judgement.limits import Limits
from handsfree.judgement.weighing import weigh
from handsfree.nouns import (
    Amount,
    Answer,
    Asked,
    Disregard,
    Outcome,
    Plan,
    Puzzle,
    Quantity,
    Reading,
    Said,
    Sheet,
    Took,
)
from tests.judgement.test_counts_in_pieces import say, session

LIMITS = Limits()
C4, D4, B4 = 40, 42, 51
NATURALS = Plan("naturals", (40, 42, 44, 45, 47, 49, 51))
AT_D4 = Sheet(plan=NATURALS, place=D4)


def reading(key: int | None, *values: int) -> Reading:
    return Reading(key, tuple(Amount(None, Decimal(v)) for v in values))


def took(said: list[tuple[Said, float]], sheet: Sheet = AT_D4) -> list[tuple[int, Quantity, Decimal | None]]:
    facts = judge(said, sheet, LIMITS).facts
    return [(f.key, f.quantity, f.value) for f in facts if isinstance(f, Took)]


def test_equal_meanings_add_up() -> None:
    """ "D four fifty two", "fifty two" and "five two" at D four are one meaning."""
    both = weigh([(reading(D4, 52), 0.5), (reading(None, 52), 0.3), (reading(D4, 53), 0.2)], AT_D4, LIMITS)
    assert [round(w.share, 9) for w in both] == [0.8, 0.2]


def test_probabilities_never_exceed_one() -> None:
    weighed = weigh([(reading(D4, 52), 0.5), (reading(B4, 52), 0.3), (Puzzle("[unk]", ""), 0.2)], AT_D4, LIMITS)
    assert sum(w.sureness for w in weighed) <= 1 + 1e-12


def test_what_was_not_heard_is_never_taken() -> None:
    """D four is expected, but only B four and G four were heard."""
    assert {key for key, _, _ in took([(reading(B4, 52, 28), 0.6), (reading(47, 52, 28), 0.4)])} <= {B4, 47}


@pytest.mark.parametrize("share", [0.26, 0.4, 0.5, 0.9])
def test_the_expected_note_is_taken(share: float) -> None:
    assert took([(reading(B4, 52), 1 - share), (reading(D4, 52), share)]) == [(D4, Quantity.DOWN, Decimal(52))]


@pytest.mark.parametrize("share", [0.01, 0.05, 0.09])
def test_but_not_against_what_was_heard_much_better(share: float) -> None:
    assert took([(reading(B4, 52), 1 - share), (reading(D4, 52), share)]) == []


@pytest.mark.parametrize(("share", "taken"), [(1.0, True), (0.99, True), (0.9, False), (0.7, False)])
def test_a_jump_must_be_heard_surely(share: float, taken: bool) -> None:
    """To a key of the plan that is not beside the place; the rest went to another such key."""
    said: list[tuple[Said, float]] = [(reading(B4, 52), share), (reading(40 + 12, 52), 1 - share)]
    assert bool(took([(s, p) for s, p in said if p > 0])) == taken


def test_a_sure_value_is_taken_beside_an_unsure_one() -> None:
    """ "fifty two" is in every alternative, the up is not clear: only the up is asked about."""
    turn = judge([(reading(D4, 52, 25), 0.5), (reading(D4, 52, 29), 0.5)], AT_D4, LIMITS)
    assert [(f.key, f.quantity, f.value) for f in turn.facts if isinstance(f, Took)] == [
        (D4, Quantity.DOWN, Decimal(52))
    ]
    (asked,) = [f.question for f in turn.facts if isinstance(f, Asked)]
    assert [p.quantity for p in asked.proposals] == [Quantity.UP]
    assert {p.value for p in (*asked.proposals, *asked.otherwise)} == {Decimal(25), Decimal(29)}


def test_nothing_is_half_taken_at_an_unexpected_key_that_was_not_heard_well() -> None:
    """The down is the same in all of them, but no meaning has half of the share."""
    said: list[tuple[Said, float]] = [
        (reading(44, 52, 25), 0.4),
        (reading(44, 52, 29), 0.35),
        (reading(44, 52, 27), 0.25),
    ]
    assert took(said) == []
    here: list[tuple[Said, float]] = [
        (reading(D4, 52, 25), 0.4),
        (reading(D4, 52, 29), 0.35),
        (reading(D4, 52, 27), 0.25),
    ]
    assert took(here) == [(D4, Quantity.DOWN, Decimal(52))]


def test_same_values_for_an_unsure_key_are_asked_as_a_whole() -> None:
    turn = judge([(reading(C4 + 24, 52, 28), 0.5), (reading(B4 + 12, 52, 28), 0.5)], AT_D4, LIMITS)
    assert turn.outcome is Outcome.ASKED
    assert not took([(reading(C4 + 24, 52, 28), 0.5), (reading(B4 + 12, 52, 28), 0.5)])


@pytest.mark.parametrize("share", [0.5, 0.7, 1.0])
def test_talk_heard_best_is_talk(share: float) -> None:
    said: list[tuple[Said, float]] = [(Puzzle("[unk]", "other talk"), share), (reading(D4, 52), 1 - share)]
    assert judge(said, AT_D4, LIMITS).outcome is Outcome.IGNORED


def test_an_unclear_withdrawal_withdraws_nothing() -> None:
    turn = judge([(Disregard(), 0.6), (Answer(True), 0.4)], AT_D4, LIMITS)
    assert not turn.facts


def test_nothing_heard_is_nothing() -> None:
    assert judge([], AT_D4, LIMITS).outcome is Outcome.IGNORED


def test_sureness_is_kept_with_the_value() -> None:
    turn = judge([(reading(D4, 52), 0.7), (reading(D4, 92), 0.3)], AT_D4, LIMITS)
    (fact,) = turn.facts
    assert isinstance(fact, Took)
    assert 0.9 < fact.sureness < 1.0


@pytest.mark.parametrize(("share", "outcome"), [(0.004, Outcome.TAKEN), (0.02, Outcome.ASKED)])
def test_a_count_that_may_hold_a_number_said_twice_is_asked_about(share: float, outcome: Outcome) -> None:
    """At a swing each: the grammar holds it for a slip, so it is heard weakly."""
    beats = [1.3, 1.9, 2.5, 3.1, 3.7]
    twice = (share, "one two two three four", beats)
    assert say(session(), 1.0, (1 - share, "one two three four", beats[:4]), twice).outcome is outcome
