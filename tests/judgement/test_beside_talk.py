"""Beside somebody else's talk: what must be surer, what a sound alone answers. Our own rules; what they are worth was
measured on development speakers (judgement/around.py)."""

from __future__ import annotations

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.around import LONG_TALK, STILL_TALK
from handsfree.nouns import Alternative, Context, Earcon, Heard, Outcome, Turn, Utterance
from handsfree.session import Session
from handsfree.words.plans import plan_named

RATE = 16_000


class Room:
    """A session by plan, and the sounds in it one after the other."""

    def __init__(self, plan: str = "keys C4, D4, E4") -> None:
        self.session = Session(MemoryJournal())
        if plan:
            found = plan_named(plan)
            assert found is not None
            self.session.set_plan(found)
        self.now = 1.0

    def hear(self, text: str, share: float = 1.0, other: str = "", seconds: float = 2.0) -> Turn:
        rest = (Alternative(other, 1.0 - share),) if other else ()
        sound = Utterance(bytes(round(2 * RATE * seconds)), RATE, self.now, self.now + seconds, 45.0)
        self.now += seconds + 1.0
        return self.session.hear(Heard((Alternative(text, share), *rest), self.session.context, utterance=sound))

    def talk(self, seconds: float = 3.0) -> Turn:
        return self.hear("[unk] [unk] [unk]", seconds=seconds)


def test_a_surely_heard_reading_is_taken_beside_talk_too() -> None:
    room = Room()
    room.talk()
    assert room.hear("fifty two twenty eight", 0.97, "fifty five twenty eight").outcome is Outcome.TAKEN


@pytest.mark.parametrize("pause", [0.0, STILL_TALK + 1.0])
def test_what_is_doubtful_is_answered_by_a_sound_once(pause: float) -> None:
    room = Room()
    room.talk()
    room.now += pause
    first = room.hear("fifty two twenty eight", 0.7, "fifty five twenty five")
    if pause:
        assert first.outcome is Outcome.ASKED
        return
    assert (first.outcome, first.earcon, first.line) == (
        Outcome.IGNORED,
        Earcon.REFUSED,
        "Other talk is in the way, say it again.",
    )
    assert not first.facts
    again = room.hear("fifty two twenty eight", 0.7, "fifty five twenty five")
    assert again.outcome is Outcome.ASKED


def test_of_what_is_sure_in_part_the_rest_is_asked_about() -> None:
    room = Room()
    room.talk()
    turn = room.hear("fifty two twenty eight", 0.7, "fifty five twenty eight")
    assert (turn.outcome, turn.line) == (Outcome.ASKED, "C four, fifty two down?")


def test_the_rest_of_a_sentence_is_not_taken_for_the_whole() -> None:
    """Its note, or its down, may have been lost in the talk."""
    room = Room()
    room.talk()
    assert room.hear("thirty nine").outcome is Outcome.IGNORED
    unplanned = Room(plan="")
    unplanned.hear("c four fifty two twenty eight")
    unplanned.talk()
    assert unplanned.hear("fifty two thirty three").outcome is Outcome.IGNORED
    at_a_key = Room(plan="")
    at_a_key.hear("c four")
    at_a_key.talk()
    assert at_a_key.hear("fifty two thirty three").outcome is Outcome.IGNORED


def test_an_answer_is_one_beside_talk_too() -> None:
    room = Room()
    assert room.hear("eighty one twenty eight").outcome is Outcome.ASKED
    room.talk()
    assert room.hear("fifty one").outcome is Outcome.CORRECTED


def test_a_sound_tells_once_that_talk_is_not_listened_to() -> None:
    room = Room()
    sounds = [room.talk(LONG_TALK / 2).earcon for _ in range(6)]
    assert sounds.count(Earcon.REFUSED) == 1
    assert sounds.index(Earcon.REFUSED) == 1
    room.hear("c four fifty two twenty eight")
    assert [room.talk(LONG_TALK + 1.0).earcon for _ in range(2)] == [Earcon.REFUSED, None]


def test_while_standing_by_nobody_is_told_anything() -> None:
    room = Room()
    room.hear("stand by")
    assert room.session.context is Context.STANDING_BY
    assert {room.talk(20.0).earcon for _ in range(3)} == {None}


@pytest.mark.parametrize(("cut", "outcome"), [(True, Outcome.ASKED), (False, Outcome.TAKEN)])
def test_a_reading_without_its_beginning_is_asked_about(cut: bool, outcome: Outcome) -> None:
    """The ears opened in the middle of it."""
    room = Room()
    sound = Utterance(bytes(4 * RATE), RATE, 5.0, 7.0, 45.0, cut)
    heard = Heard((Alternative("fifty two twenty eight", 1.0),), Context.TOUCH, utterance=sound)
    assert room.session.hear(heard).outcome is outcome


def test_a_note_without_its_beginning_leads_nowhere() -> None:
    """It was perhaps "read back E four"."""
    room = Room()
    sound = Utterance(bytes(4 * RATE), RATE, 5.0, 7.0, 45.0, cut=True)
    turn = room.session.hear(Heard((Alternative("e four", 1.0),), Context.TOUCH, utterance=sound))
    assert (turn.outcome, turn.earcon) == (Outcome.IGNORED, Earcon.REFUSED)
    assert room.session.sheet.place == 40
