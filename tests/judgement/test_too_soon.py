"""What was begun before a question was heard is no answer to it. Our own rule (nobody answers what he has not heard);
that a person needs some half a second to begin an answer is from memory."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.too_soon import TO_HEAR, too_soon
from handsfree.nouns import Alternative, Context, Heard, Outcome, Quantity, Speech, Took, Utterance, Word
from handsfree.reckoning.compass import note_name
from handsfree.session import Session
from handsfree.words.plans import plan_named
from handsfree.words.spoken import number_words

RATE = 16_000
SILENCE = bytes(2 * RATE)
"""A second of it."""


def spoken(text: str, start: float, first_word: float = 0.3, context: Context = Context.ANSWER) -> Heard:
    """Said `first_word` seconds into a sound of one second that began at `start`."""
    words = tuple(
        Word(word, first_word + 0.1 * n, first_word + 0.1 * n + 0.1, 1.0) for n, word in enumerate(text.split())
    )
    return Heard((Alternative(text, 1.0, words),), context, utterance=Utterance(SILENCE, RATE, start, start + 1.0))


@pytest.mark.parametrize(("start", "soon"), [(4.6, True), (5.4, True), (5.6, False), (9.0, False)])
def test_the_first_word_tells_when_it_was_begun(start: float, soon: bool) -> None:
    """Asked at 5.0 s."""
    assert too_soon(spoken("fifty two", start), 5.0) is soon
    assert TO_HEAR > 0.5


def test_what_was_recognised_without_answers_is_none() -> None:
    assert too_soon(spoken("fifty two", 99.0, context=Context.TOUCH), 5.0)
    assert too_soon(spoken("seven", 99.0, context=Context.SWINGS), 5.0)


def test_by_keyboard_the_question_is_seen() -> None:
    typed = Heard((Alternative("fifty two", 1.0),), Context.ANSWER, via="keyboard")
    assert not too_soon(typed, 5.0)


def test_the_same_words_are_an_answer_or_the_next_reading_by_when_they_were_said() -> None:
    def after(pause: float) -> dict[tuple[str, str], Decimal | None]:
        session = Session(MemoryJournal())
        plan = plan_named("keys C4, D4, E4")
        assert plan is not None
        session.set_plan(plan)
        session.hear(spoken("eighty one twenty eight", 1.0, context=Context.TOUCH))
        session.hear(spoken("fifty two twenty eight", 2.0 + pause - 0.3))
        return {(note_name(k), q.value): e.value for (k, q), e in session.sheet.standing.items()}

    assert after(1.5) == {("C4", "down"): Decimal(52), ("C4", "up"): Decimal(28)}
    assert after(0.5) == {("C4", "up"): Decimal(28), ("D4", "down"): Decimal(52), ("D4", "up"): Decimal(28)}


def test_a_yes_that_comes_too_soon_is_none() -> None:
    session = Session(MemoryJournal())
    session.hear(spoken("c four eighty one", 1.0, context=Context.TOUCH))
    assert session.hear(spoken("yes", 2.1)).outcome is Outcome.ASKED
    assert not session.sheet.standing
    assert session.hear(spoken("yes", 5.0)).outcome is Outcome.CONFIRMED


@pytest.mark.parametrize(
    ("plan", "said", "speech"),
    [
        ("keys C4, D4", "fifty one twenty eight", Speech.REPLY),
        ("keys C4, D4", "fifty one", Speech.READ_BACK),
        ("keys C4, D4", "c four fifty one twenty eight", Speech.READ_BACK),
        ("none", "fifty one twenty eight", Speech.READ_BACK),
    ],
)
def test_an_answer_that_may_have_been_the_next_reading_is_told_aloud(plan: str, said: str, speech: Speech) -> None:
    session = Session(MemoryJournal())
    found = plan_named(plan)
    assert found is not None
    session.set_plan(found)
    session.hear(spoken("c four eighty one twenty eight", 1.0, context=Context.TOUCH))
    turn = session.hear(spoken(said, 9.0))
    assert (turn.outcome, turn.speech) == (Outcome.CORRECTED, speech)


values = st.integers(1, 149).map(Decimal)


@settings(max_examples=200, deadline=None)
@given(down=values, up=values, then_down=values, then_up=values)
def test_nothing_said_over_a_question_lands_on_the_key_that_it_is_about(
    down: Decimal, up: Decimal, then_down: Decimal, then_up: Decimal
) -> None:
    session = Session(MemoryJournal())
    plan = plan_named("octave four")
    assert plan is not None
    session.set_plan(plan)
    session.hear(spoken(f"down {number_words(down)} up {number_words(up)}", 1.0, context=Context.TOUCH))
    asking, before = session.sheet.asking, dict(session.sheet.standing)
    if asking is None:
        return
    key = asking.question.proposals[0].key
    turn = session.hear(spoken(f"down {number_words(then_down)} up {number_words(then_up)}", 2.1))
    assert all(f.key != key for f in turn.facts if isinstance(f, Took))
    assert {p: e for p, e in session.sheet.standing.items() if p[0] == key} == before
    assert any(q.question == asking.question for q in session.sheet.questions)
    assert set(session.sheet.standing) - set(before) <= {(key + 1, Quantity.DOWN), (key + 1, Quantity.UP)}
