"""What is begun while the tool speaks reaches the ear without its beginning: of "soundboard cracked three" the
"three" alone, which would be a grade of the part at hand. Seen at a virtual microphone."""

from __future__ import annotations

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.nouns import Alternative, Heard, Outcome, Pass, Utterance, Word
from handsfree.session import Session


@pytest.fixture
def session() -> Session:
    session = Session(MemoryJournal())
    session.set_pass(Pass.WALKTHROUGH)
    session.typed("grand")
    session.typed("lead me")
    return session


def cut(session: Session, text: str, *, start: float = 100.0, cut: bool = True) -> Heard:
    words = (Word(text.split()[0], 0.1, 0.4, 1.0),)
    sound = Utterance(b"", 16_000, start, start + 1.0, cut=cut)
    return Heard((Alternative(text, 1.0, words),), session.context, utterance=sound)


@pytest.mark.parametrize(("text", "line"), [
    ("three", "Case, three?"), ("good", "Case, good, one?"), ("bushings worn", "Flange bushings, worn, three?"),
    ("correction three", "There is nothing to correct."),
])  # fmt: skip
def test_a_finding_without_its_beginning_is_asked_about(session: Session, text: str, line: str) -> None:
    turn = session.hear(cut(session, text))
    assert turn.line.startswith(line)
    assert not session.walk.stands


def test_a_yes_makes_it_stand_and_what_stands_is_not_asked_about(session: Session) -> None:
    assert session.hear(cut(session, "good")).line == "Case, good, one? The beginning was not heard."
    assert session.hear(cut(session, "yes", start=110.0, cut=False)).outcome is Outcome.CONFIRMED
    assert session.hear(cut(session, "good", start=120.0)).outcome is Outcome.TAKEN
    assert [item.finding.finding for item in session.walk.stands] == ["good"]


@pytest.mark.parametrize("text", ["next", "hammers", "lead me", "grand"])
def test_what_loses_nothing_is_done_all_the_same(session: Session, text: str) -> None:
    assert session.hear(cut(session, text)).outcome is Outcome.TAKEN


def test_what_is_heard_whole_is_taken(session: Session) -> None:
    assert session.hear(cut(session, "three", cut=False)).outcome is Outcome.TAKEN


def test_an_answer_that_came_before_the_question_is_none(session: Session) -> None:
    """0.8 s from the end of what is asked about (see too_soon.py)."""
    session.hear(cut(session, "hammers grooved three"))
    too_soon = cut(session, "yes", start=101.2, cut=False)
    assert session.hear(too_soon).outcome is Outcome.IGNORED
    assert session.walk.asking is not None
    assert session.hear(cut(session, "yes", start=102.5, cut=False)).outcome is Outcome.CONFIRMED
