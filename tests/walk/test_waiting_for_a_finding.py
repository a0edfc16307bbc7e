"""Where a part was named or asked for and nothing was said of it yet, a finding is what is waited for."""

from __future__ import annotations

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.nouns import Alternative, Earcon, Heard, Outcome, Pass, Turn
from handsfree.session import Session


@pytest.fixture
def session() -> Session:
    session = Session(MemoryJournal())
    session.set_pass(Pass.WALKTHROUGH)
    return session


def hear(session: Session, **shares: float) -> Turn:
    ways = tuple(Alternative(text.replace("_", " "), share) for text, share in shares.items())
    return session.hear(Heard(ways, session.context))


def test_another_part_is_hardly_named_at_once(session: Session) -> None:
    session.typed("knuckles")
    assert hear(session, frame=0.6, fine=0.4).line == "Knuckles, good, one?"
    assert session.walk.part == "knuckles"


def test_once_something_was_said_of_it_any_part_may_follow(session: Session) -> None:
    session.typed("knuckles worn three")
    assert hear(session, frame=0.6, fine=0.4).line == "Frame."


def test_a_part_that_this_kind_of_piano_has_not_is_hardly_named(session: Session) -> None:
    session.typed("upright")
    session.typed("lid good")
    assert hear(session, lyre=0.6, hinges=0.4).line == "Hinges."


def test_few_words_of_no_sentence_were_perhaps_meant(session: Session) -> None:
    session.typed("knuckles")
    turn = session.hear(Heard((Alternative("[unk] [unk] [unk]", 1.0),), session.context))
    assert (turn.outcome, turn.earcon, turn.line) == (Outcome.IGNORED, Earcon.REFUSED, "")


@pytest.mark.parametrize("before", ["knuckles worn three", "go ahead"])
def test_where_nothing_is_waited_for_talk_is_nobodys_business(session: Session, before: str) -> None:
    session.typed(before)
    assert session.hear(Heard((Alternative("[unk] [unk] [unk]", 1.0),), session.context)).earcon is None


def test_long_talk_and_silence_are_none_either(session: Session) -> None:
    session.typed("knuckles")
    for text in ("", " ".join(["[unk]"] * 7)):
        assert session.hear(Heard((Alternative(text, 1.0),), session.context)).earcon is None


@pytest.mark.parametrize(("led", "share"), [(False, 0.3), (True, 0.12)])
def test_the_part_at_hand_is_likelier_by_its_name_than_another_and_more_so_where_it_was_asked_for(
    session: Session, led: bool, share: float
) -> None:
    if led:
        session.typed("lead me")
    session.typed("hammers good")
    assert hear(session, hammer_shanks_worn=1 - share, hammers_worn=share).line.startswith("Hammers, worn")
    session.typed("no")
    session.typed("hammers")
    assert hear(session, hammer_shanks_worn=1 - share / 2, hammers_worn=share / 2).line.startswith("Hammer shanks")
