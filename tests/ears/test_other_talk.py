"""The line that says that somebody else's talk is in the way: when it comes, and when it goes. Our own rule."""

from __future__ import annotations

from handsfree.ears.other_talk import IN_THE_WAY, LONG, OVER, OtherTalk
from handsfree.nouns import Context

TALK = "[unk] [unk] [unk]"
BLOCK = 0.02


def after(talk: OtherTalk, seconds: float, context: Context | None = Context.TOUCH, text: str = TALK) -> OtherTalk:
    for _ in range(round(seconds / BLOCK)):
        talk = talk.step(BLOCK, context, text)
    return talk


def test_long_talk_is_told_while_it_goes_on() -> None:
    assert after(OtherTalk(), LONG - 0.5).message == ""
    assert after(OtherTalk(), LONG + 0.5).message == IN_THE_WAY


def test_people_who_talk_in_turns_are_told_of_too() -> None:
    talk = OtherTalk()
    for _ in range(4):
        talk = after(after(talk, 3.0), 2.0, context=None)
    assert talk.told


def test_a_remark_now_and_then_is_not() -> None:
    talk = OtherTalk()
    for _ in range(10):
        talk = after(after(talk, 2.0), 5.0, context=None)
        assert not talk.told


def test_it_goes_when_it_is_quiet_and_when_something_was_heard() -> None:
    told = after(OtherTalk(), 8.0)
    assert after(told, OVER - 0.5, context=None).told
    assert not after(told, OVER + 0.5, context=None).told
    assert told.heard(TALK).told
    assert not told.heard("c four fifty two").told


def test_readings_are_no_talk_however_long_they_take() -> None:
    assert not after(OtherTalk(), 20.0, text="c four fifty two twenty").told


def test_whoever_is_not_listened_to_on_purpose_is_not_in_the_way() -> None:
    assert not after(OtherTalk(), 20.0, context=Context.STANDING_BY).told
    assert not after(OtherTalk(), 20.0, context=Context.REMARK).told
    assert not after(after(OtherTalk(), 8.0), 1.0, context=Context.STANDING_BY).told
