"""Which key a count is of. The shares are made up, around those measured (see counted_key.py)."""

from __future__ import annotations

import pytest

from handsfree.judgement.counted_key import next_key
from handsfree.nouns import Outcome, Quantity, Turn
from handsfree.session import Session
from tests.judgement.test_counts_in_pieces import say, session, swings

A4, C4, E4, F4, A5, E5, B6 = 49, 40, 44, 45, 61, 56, 75
COUNT = [0.9, 1.5, 2.1, 2.7]


def counted(here: Session, *notes: tuple[str, float]) -> Turn:
    heard = [(share, f"{note} one two three four", [0.3, 0.6, *COUNT]) for note, share in notes]
    return say(here, 1.0, *[(share, text, [1.0 + t for t in times]) for share, text, times in heard])


def test_the_plans_key_stands_though_another_was_heard_better() -> None:
    here = session("every key", "a four")
    assert counted(here, ("e four", 0.85), ("a four", 0.15)).outcome is Outcome.TAKEN
    assert swings(here) == {A4: 4}


@pytest.mark.parametrize(("other", "planned"), [(0.985, 0.015), (0.97, 0.03)])
def test_a_key_that_was_heard_surely_is_not_overruled(other: float, planned: float) -> None:
    """It may be a jump: the person is asked, or it is taken where it was heard, never silently at the plan's key."""
    here = session("every key", "a four")
    counted(here, ("e four", other), ("a four", planned))
    assert A4 not in swings(here)


def test_a_jump_must_be_heard_surely() -> None:
    here = session("every key", "c four")
    assert counted(here, ("e five", 0.9), ("a five", 0.1)).outcome is Outcome.ASKED
    there = session("every key", "c four")
    assert counted(there, ("e five", 0.99), ("a five", 0.01)).outcome is Outcome.TAKEN


def test_another_letter_of_the_plans_octave_must_have_been_heard_altogether_surely() -> None:
    """Of A heard where F is next, the letter may be the ear's fault, however sure it is; a typed one is none."""
    here = session("every key", "f four")
    assert counted(here, ("a four", 0.996), ("d four", 0.004)).outcome is Outcome.ASKED
    there = session("every key", "f four")
    assert there.typed("a four seven").outcome is Outcome.TAKEN


def test_without_a_plan_a_far_key_must_be_heard_surely_and_a_near_one_less_so() -> None:
    far = session("none")
    assert counted(far, ("e five", 0.9), ("a five", 0.1)).outcome is Outcome.ASKED
    near = session("none")
    assert counted(near, ("d four", 0.85), ("g four", 0.15)).outcome is Outcome.TAKEN


def test_a_note_that_was_not_sure_belongs_to_the_count_after_it() -> None:
    """Both may be meant, and both are offered: the plan's key first."""
    here = session("every key", "a four")
    assert say(here, 1.0, (0.96, "e four", [1.3, 1.6]), (0.04, "a four", [1.3, 1.6])).facts == ()
    say(here, 4.0, (1.0, "one two three four", [4.3, 4.9, 5.5, 6.1]))
    assert here.sheet.asking is not None
    assert here.sheet.asking.question.proposals[0].key == A4
    assert here.sheet.asking.question.otherwise[0].key == E4


def test_the_next_note_leads_on_only_where_it_is_sure() -> None:
    assert next_key([(E5, 0.985), (A5, 0.015)], C4, 0.85) == E5
    assert next_key([(E4, 0.996), (A4, 0.004)], C4, 0.85) is None, "it may have been C"
    assert next_key([(E4, 0.9), (A4, 0.1)], C4, 0.85) is None
    assert next_key([(E4, 0.8), (F4, 0.2)], F4, 0.85) == F4, "the plan's next key"
    assert next_key([(None, 1.0)], C4, 0.85) is None


def test_a_count_after_an_unsure_next_note_is_asked_about() -> None:
    here = session("every key", "c four")
    ends = [1.3, 1.9, 2.5, 3.1, 3.7, 4.0]
    say(here, 1.0, (0.8, "one two three four e six", ends), (0.2, "one two three four a six", ends))
    assert swings(here) == {C4: 4}
    turn = say(here, 6.0, (1.0, "one two three", [6.3, 6.9, 7.5]))
    assert turn.outcome is Outcome.ASKED
    assert turn.line == "E six, three swings?"
    assert (C4 + 1, Quantity.SWINGS) not in here.sheet.standing


def test_a_number_said_twice_that_was_hardly_heard_is_asked_about() -> None:
    here = session("every key", "c four")
    once, twice = [1.3, 1.7, 2.1, 2.9, 3.3], [1.3, 1.7, 2.1, 2.5, 2.9, 3.3]
    found = (0.98, "one two three four five", once), (0.02, "one two three three four five", twice)
    assert say(here, 1.0, *found).outcome is Outcome.ASKED


def test_the_octave_of_a_next_note_is_no_number_said_twice() -> None:
    """ "... three four C four": without the letter it sounds like "four four"."""
    here = session("every key", "c four")
    noted = (0.97, "one two three four c four", [1.3, 1.9, 2.5, 3.1, 3.6, 4.0])
    twice = (0.03, "one two three four four", [1.3, 1.9, 2.5, 3.1, 4.0])
    assert say(here, 1.0, noted, twice).outcome is Outcome.TAKEN


def test_the_octave_of_an_unsure_note_is_no_total() -> None:
    here = session("none")
    note = [1.3, 1.6]
    heard = (0.64, "a six", note), (0.21, "f six", note), (0.15, "six", [1.6])
    assert say(here, 1.0, *heard).outcome is Outcome.IGNORED
    turn = say(here, 4.0, (1.0, "one two three four", [4.3, 4.9, 5.5, 6.1]))
    assert turn.line == "A six, four swings?"


def test_a_note_that_may_have_been_alone_is_waited_with() -> None:
    """A knock after "B six" sounded like another six: a question would come into the count, and put it elsewhere."""
    here = session("every key", "b six")
    heard = (0.4, "b six", [1.3, 1.6]), (0.35, "b six six", [1.3, 1.6, 2.0]), (0.25, "d six eight", [1.3, 1.6, 2.0])
    assert say(here, 1.0, *heard).facts == ()
    assert say(here, 4.0, (1.0, "one two three four", [4.3, 4.9, 5.5, 6.1])).key == B6


def test_the_octave_of_a_next_note_on_the_beat_may_be_one_more() -> None:
    """ "six D seven" for "six seven": where the plan is not at D seven next or not, the beat tells."""
    counts = [1.3, 1.9, 2.5, 3.1]
    on_beat, later = ((1.0, "one two three four d five", [*counts, at - 0.15, at]) for at in (3.7, 4.1))
    assert say(session("every key", "c four"), 1.0, on_beat).outcome is Outcome.ASKED
    assert say(session("every key", "c four"), 1.0, later).outcome is Outcome.TAKEN


def test_that_no_note_was_said_must_be_heard_by_itself() -> None:
    here = session("none")
    named = [1.0, 1.3, 2.9, 3.5, 4.1, 4.7]
    heard = (0.5, "c three one two three four", named), (0.35, "a three one two three four", named)
    assert say(here, 1.0, *heard, (0.15, "one two three four", named[2:])).outcome is Outcome.ASKED
    there = session("none")
    several = [(0.2, f"{note} three one two three four", named) for note in ("c", "a", "e")]
    assert say(there, 1.0, (0.4, "one two three four", named[2:]), *several).outcome is Outcome.ASKED
