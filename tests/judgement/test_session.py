"""The session: kept before answered, the same by voice and by keyboard, and over a journal on disk."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path

import pytest

from handsfree.errors import DiskTrouble
from handsfree.journal.memory import MemoryJournal
from handsfree.journal.sheet import fold
from handsfree.journal.store import Journal
from handsfree.nouns import (
    Alternative,
    Asked,
    Context,
    Doubt,
    Earcon,
    Fact,
    Heard,
    Kept,
    Outcome,
    Pass,
    PassSet,
    PlanSet,
    Proposal,
    Quantity,
    Question,
    Settled,
    Speech,
    Took,
    Went,
)
from handsfree.session import Session
from handsfree.words.plans import EVERY_KEY, NATURALS

C4, D4 = 40, 42


class FullDisk(MemoryJournal):
    """Keeps nothing while `full`."""

    full = False

    def append(self, heard: Heard, facts: Sequence[Fact]) -> tuple[Kept, ...]:
        if self.full:
            raise DiskTrouble("no space left", do="Free some space.")
        return super().append(heard, facts)


def test_what_cannot_be_kept_did_not_happen() -> None:
    journal = FullDisk()
    session = Session(journal)
    session.typed("c4 52 28")
    before = session.sheet
    journal.full = True
    with pytest.raises(DiskTrouble):
        session.typed("d4 53 27")
    assert session.sheet == before
    journal.full = False
    assert session.typed("d4 53 27").outcome is Outcome.TAKEN


def test_silence_and_talk_are_kept_as_heard() -> None:
    """What was heard is kept even where nothing came of it: a later version may judge it again."""
    journal = MemoryJournal()
    Session(journal).hear(Heard((Alternative("[unk]", 1.0),), Context.TOUCH))
    assert [h.text for h in journal.heard] == ["[unk]"]
    assert list(journal.facts()) == []


def test_voice_and_keyboard_come_to_the_same() -> None:
    spoken, typed = MemoryJournal(), MemoryJournal()
    by_voice, by_keyboard = Session(spoken), Session(typed)
    for said, keyed in [("c four fifty two twenty eight", "c4 52 28"), ("d four eighty one", "d4 81"), ("yes", "y")]:
        voice = by_voice.hear(Heard((Alternative(said, 1.0),), by_voice.context))
        assert by_keyboard.typed(keyed).line == voice.line
    assert [k.fact for k in spoken.facts()] == [k.fact for k in typed.facts()]
    assert {h.via for h in typed.heard} == {"keyboard"}


def test_context_follows_the_dialogue() -> None:
    session = Session(MemoryJournal())
    contexts = [session.context]
    for line in ("c4 81", "stand by", "go ahead", "yes"):
        session.typed(line)
        contexts.append(session.context)
    assert contexts == [Context.TOUCH, Context.ANSWER, Context.STANDING_BY, Context.ANSWER, Context.TOUCH]


def test_the_plan_under_way_is_not_begun_again() -> None:
    journal = MemoryJournal()
    session = Session(journal)
    session.set_plan(NATURALS)
    session.typed("c4 52 28")
    session.set_plan(NATURALS)
    assert session.sheet.place == D4
    session.set_plan(EVERY_KEY)
    assert session.sheet.place == 1
    assert [k.fact for k in journal.facts() if isinstance(k.fact, PlanSet)] == [PlanSet(NATURALS), PlanSet(EVERY_KEY)]


def test_greeting_of_a_new_sitting_is_silent() -> None:
    turn = Session(MemoryJournal()).greeting()
    assert (turn.line, turn.outcome) == ("", Outcome.IGNORED)


def test_over_a_journal_on_disk(tmp_path: Path) -> None:
    """Closed in the middle of a question, opened again: the same sheet, the question again, the answer counts."""
    path = tmp_path / "readings.journal"
    with Journal.open(path) as journal:
        session = Session(journal)
        session.set_plan(NATURALS)
        session.typed("c4 52.5 no return")
        session.typed("91 28")
        before = session.sheet
    with Journal.open(path) as journal:
        session = Session(journal)
        assert session.sheet == before == fold(journal.facts())
        greeting = session.greeting()
        assert greeting.line == "Going on at D four. D four, ninety one down?"
        assert greeting.speech is Speech.QUESTION
        assert not any(isinstance(f, Asked) for f in greeting.facts)
        session.typed("51")
        assert session.sheet.column(Quantity.DOWN) == {C4: Decimal("52.5"), D4: Decimal(51)}
        assert session.sheet.no_return() == {C4}


@pytest.mark.parametrize(("said", "beat"), [("seven", 0.35), ("yes", 0.35), ("eight", None)])
def test_a_count_keeps_its_beat_when_its_total_is_said_again(said: str, beat: float | None) -> None:
    """What the beat tells is of that count: another total is another count, and nobody timed that one."""
    journal = MemoryJournal()
    seven = Proposal(C4, Quantity.SWINGS, Decimal(7), 0.7, 0.35)
    journal.append_unheard([PassSet(Pass.SWINGS), Went(C4), Asked(Question((seven,), Doubt.UNSURE, "C four, ..."))])
    (took,) = (f for f in Session(journal).typed(said).facts if isinstance(f, Took))
    assert (took.value, took.beat) == (Decimal(8 if said == "eight" else 7), beat)


def test_a_yes_settles_its_question_once_as_a_yes() -> None:
    journal = MemoryJournal()
    session = Session(journal)
    session.typed("c4 90")
    asked = session.sheet.asking
    assert asked is not None
    assert [f for f in session.typed("yes").facts if isinstance(f, Settled)] == [Settled(asked.n, "yes")]


def test_of_several_keys_in_one_breath_what_was_kept_before_the_trouble_stands() -> None:
    class Fills(FullDisk):
        def append(self, heard: Heard, facts: Sequence[Fact]) -> tuple[Kept, ...]:
            kept = super().append(heard, facts)
            self.full = True
            return kept

    journal = Fills()
    session = Session(journal)
    session.set_pass(Pass.SWINGS)
    with pytest.raises(DiskTrouble):
        session.typed("c4 7 d4 6")
    assert {key: entry.value for key, entry in session.sheet.standing.items()} == {(C4, Quantity.SWINGS): Decimal(7)}
    assert session.sheet == fold(journal.facts()), "what is shown is what is kept"


def test_a_refusal_in_a_breath_is_heard_though_the_rest_was_taken() -> None:
    """No setting that voices replies alone may leave it out, and its tone is the one that is heard."""
    session = Session(MemoryJournal())
    session.set_pass(Pass.SWINGS)
    turn = session.typed("c4 80 d4 6")
    assert (turn.outcome, turn.speech, turn.earcon) == (Outcome.TAKEN, Speech.REPLY, Earcon.REFUSED)
    assert turn.line == "C four, eighty swings cannot be. D four, six swings."
