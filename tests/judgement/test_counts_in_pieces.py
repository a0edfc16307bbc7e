"""What belongs together though it was heard apart: a count closed too early, a note that was not understood."""

from __future__ import annotations

from decimal import Decimal

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.journal.sheet import fold
from handsfree.nouns import Alternative, Context, Heard, Outcome, Pass, Quantity, Turn, Utterance, Word
from handsfree.session import Session
from handsfree.words.plans import plan_named

C4, D4, A4, F5 = 40, 42, 49, 57


def session(plan: str = "naturals", place: str = "c four") -> Session:
    made = Session(MemoryJournal())
    made.set_pass(Pass.SWINGS)
    wanted = plan_named(plan)
    assert wanted is not None
    made.set_plan(wanted)
    made.typed(place)
    return made


def say(to: Session, start: float, *alternatives: tuple[float, str, list[float]]) -> Turn:
    """Each alternative: its share, its words, and when they begin, from the beginning of listening."""
    found = tuple(Alternative(text, share, words(text, times, start)) for share, text, times in alternatives)
    end = max(times[-1] for _, _, times in alternatives if times) + 0.3
    return to.hear(Heard(found, Context.SWINGS, utterance=Utterance(b"", 16_000, start, end)))


def words(text: str, times: list[float], start: float) -> tuple[Word, ...]:
    said = zip(text.split(), (at - start for at in times), strict=True)
    return tuple(Word(word, at, at + 0.3, 1.0) for word, at in said)


def swings(of: Session) -> dict[int, Decimal]:
    return of.sheet.column(Quantity.SWINGS)


def test_a_count_that_goes_on_in_its_rhythm_is_one_count() -> None:
    """Four was not spoken up, and the silence closed the count at three."""
    here = session()
    say(here, 10.0, (1.0, "one two three", [10.3, 10.9, 11.5]))
    assert swings(here) == {C4: 3}
    turn = say(here, 12.4, (1.0, "five six", [12.7, 13.3]))
    assert turn.outcome is Outcome.CORRECTED
    assert swings(here) == {C4: 6}
    assert here.sheet.place == D4, "the next key is waited for, as before"
    assert here.sheet.beats()[C4] == pytest.approx(0.6, abs=0.05)


def test_a_lone_late_number_is_no_total_of_the_next_key() -> None:
    here = session()
    say(here, 10.0, (1.0, "one two", [10.3, 10.9]))
    say(here, 11.8, (0.9, "four", [12.1]), (0.1, "f four", [12.0, 12.1]))
    assert swings(here) == {C4: 4}


def test_a_total_much_later_is_the_next_keys() -> None:
    here = session()
    say(here, 10.0, (1.0, "one two", [10.3, 10.9]))
    say(here, 15.0, (1.0, "four", [15.3]))
    assert swings(here) == {C4: 2, D4: 4}


def test_a_count_after_a_note_that_was_not_understood_is_asked_about() -> None:
    """It is of a key that was meant, not of the one where the plan is."""
    here = session()
    assert say(here, 1.0, (0.5, "f five", [1.3, 1.6]), (0.5, "a five", [1.3, 1.6])).outcome is Outcome.IGNORED
    turn = say(here, 3.0, (1.0, "one two three four", [3.3, 3.9, 4.5, 5.1]))
    assert turn.outcome is Outcome.ASKED
    assert turn.line == "F five, four swings?"
    assert swings(here) == {}


def test_a_note_said_again_is_understood() -> None:
    here = session()
    say(here, 1.0, (0.5, "f five", [1.3, 1.6]), (0.5, "a five", [1.3, 1.6]))
    say(here, 3.0, (1.0, "f five", [3.3, 3.6]))
    say(here, 5.0, (1.0, "one two three four", [5.3, 5.9, 6.5, 7.1]))
    assert swings(here) == {F5: 4}


def test_without_a_plan_a_second_count_needs_its_note() -> None:
    """Its name may not have been heard at all."""
    here = session("none")
    say(here, 1.0, (1.0, "one two three four", [1.3, 1.9, 2.5, 3.1]))
    assert say(here, 9.0, (1.0, "one two three", [9.3, 9.9, 10.5])).outcome is Outcome.ASKED
    assert swings(here) == {C4: 4}


def test_the_beat_is_in_the_journal() -> None:
    journal = MemoryJournal()
    here = Session(journal)
    here.set_pass(Pass.SWINGS)
    here.typed("c four")
    say(here, 1.0, (1.0, "one two three four", [1.3, 1.9, 2.5, 3.1]))
    assert fold(journal.facts()) == here.sheet
    assert here.sheet.beats()[C4] == pytest.approx(0.6, abs=0.05)
    here.typed("correction 5")
    assert here.sheet.beats() == {}, "that of a count that was wrong is none"


def test_a_number_sooner_than_a_hammer_swings_so_often_is_no_total() -> None:
    """A cough right after a count was heard as "eight"; eight swings of the fastest hammer take two seconds."""
    here = session()
    say(here, 10.0, (1.0, "one two three four", [10.3, 10.9, 11.5, 12.1]))
    turn = say(here, 13.0, (0.95, "eight", [13.3]), (0.05, "", []))
    assert turn.outcome is Outcome.ASKED
    assert swings(here) == {C4: 4}
    there = session()
    say(there, 10.0, (1.0, "one two three four", [10.3, 10.9, 11.5, 12.1]))
    say(there, 16.0, (1.0, "eight", [16.3]))
    assert swings(there) == {C4: 4, D4: 8}


def test_a_note_whose_octave_was_heard_as_a_total_elsewhere_waits_for_its_count() -> None:
    """ "A oh four" for "A four": nobody is asked about A0, the count says what was meant."""
    here = session("every key", "a four")
    heard = (0.6, "a oh four", [1.3, 1.6, 1.9]), (0.24, "a four", [1.3, 1.9]), (0.16, "a flat four", [1.3, 1.6, 1.9])
    assert say(here, 1.0, *heard).outcome is Outcome.IGNORED
    assert say(here, 4.0, (1.0, "one two three four", [4.3, 4.9, 5.5, 6.1])).outcome is Outcome.TAKEN
    assert swings(here) == {A4: 4}
