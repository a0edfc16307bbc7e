"""What was said in noise is asked about sooner: a silent wrong value costs trust, a question only a moment."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.limits import Limits
from handsfree.nouns import Alternative, Context, Heard, Outcome, Utterance
from handsfree.session import Session
from handsfree.words.plans import EVERY_KEY

LIMITS = Limits()
QUIET, NOISY = LIMITS.take, LIMITS.take_in_noise
FAIRLY_SURE = (Alternative("fifty two twenty eight", 0.9), Alternative("fifty three twenty eight", 0.1))


def heard(contrast: float | None, via_voice: bool = True) -> Heard:
    utterance = Utterance(b"", 16_000, 0.0, 1.0, contrast) if via_voice else None
    return Heard(FAIRLY_SURE, Context.TOUCH, "voice", utterance)


def outcome(what: Heard) -> Outcome:
    session = Session(MemoryJournal())
    session.set_plan(EVERY_KEY)
    return session.hear(what).outcome


def test_the_same_words_are_taken_in_quiet_and_asked_about_in_noise() -> None:
    assert outcome(heard(contrast=45.0)) is Outcome.TAKEN
    assert outcome(heard(contrast=15.0)) is Outcome.ASKED


def test_where_no_noise_is_known_of_nothing_is_assumed() -> None:
    assert outcome(heard(contrast=None)) is outcome(heard(None, via_voice=False)) is Outcome.TAKEN


@pytest.mark.parametrize(
    ("contrast", "take"),
    [(None, QUIET), (90, QUIET), (36, QUIET), (28, NOISY), (0, NOISY)],
)
def test_the_threshold_at_both_ends(contrast: float | None, take: float) -> None:
    assert LIMITS.heard_at(contrast).take == pytest.approx(take)


@given(st.floats(-20, 100), st.floats(0, 50))
def test_more_noise_never_makes_it_easier(contrast: float, louder: float) -> None:
    assert LIMITS.heard_at(contrast - louder).take >= LIMITS.heard_at(contrast).take


def test_who_wants_to_be_asked_more_is_not_asked_less_in_noise() -> None:
    assert Limits(take=0.99).heard_at(0.0).take == pytest.approx(0.99)
