"""Spoken lines: numbers as words, the place first, every kind of turn."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from num2words import num2words

from handsfree.journal.memory import MemoryJournal
from handsfree.nouns import Amount, Asked, Doubt, Proposal, Quantity, Question, Sheet, Speech, Turn
from handsfree.session import Session
from handsfree.voice.lines import amount_words, amounts_words, greeting, question_line, value_words
from handsfree.words.notes import spoken_note
from handsfree.words.plans import NATURALS, list_plan

C5 = 52
DOWN, UP = Quantity.DOWN, Quantity.UP


def proposals(*values: tuple[Quantity, str | None]) -> tuple[Proposal, ...]:
    return tuple(Proposal(C5, q, None if v is None else Decimal(v), 0.8) for q, v in values)


@pytest.mark.parametrize("value", range(201))
def test_whole_grams_against_a_reference_library(value: int) -> None:
    """Source: num2words (English); hyphens are not spoken."""
    assert value_words(Decimal(value)) == num2words(value).replace("-", " ")


@pytest.mark.parametrize(
    ("value", "words"),
    [("52.5", "fifty two and a half"), ("0.5", "a half"), ("12.25", "twelve point two five"), ("52.0", "fifty two")],
)
def test_parts_of_grams(value: str, words: str) -> None:
    assert value_words(Decimal(value)) == words


def test_amounts() -> None:
    assert amount_words(Amount(DOWN, Decimal(52))) == "fifty two down"
    assert amount_words(Amount(UP, None)) == "no return"
    assert amount_words(Amount(None, Decimal(52))) == "fifty two"
    assert amounts_words((Amount(DOWN, Decimal(52)), Amount(UP, None))) == "fifty two down, no return"


def test_the_designs_own_question() -> None:
    question = Question(proposals((DOWN, "61")), Doubt.RANGE, "")
    assert question_line(question, Sheet()) == "C five, sixty one down?"


def test_questions_say_the_reason_where_it_does_not_show() -> None:
    both = Question(proposals((DOWN, "30"), (UP, "45")), Doubt.UP_ABOVE_DOWN, "")
    assert question_line(both, Sheet()) == "C five, thirty down, forty five up? Up is above down."
    session = Session(MemoryJournal())
    session.typed("c5 52")
    up = Question(proposals((UP, "55")), Doubt.UP_ABOVE_DOWN, "")
    assert question_line(up, session.sheet) == "C five, fifty five up? Up is above down. Down is fifty two."
    far = Question(proposals((DOWN, "59")), Doubt.FAR_FROM_BEFORE, "")
    assert question_line(far, session.sheet) == "C five, fifty nine down? It was fifty two down."


def talk(*lines: str) -> list[Turn]:
    session = Session(MemoryJournal())
    session.set_plan(NATURALS)
    return [session.typed(line) for line in lines]


def test_every_line_is_words_only() -> None:
    """A synthesiser reads digits, signs and abbreviations as it likes; words it reads as they stand."""
    said = (
        "c4 52 28; f#4 85; no; c4 30 45; yes; a zero 52.5; disregard; c9; up 200; next; every key; stand by; "
        "go ahead; read back; say again; same; correction 53; fifty two eight"
    )
    turns = talk(*said.split("; "))
    for turn in turns:
        assert all(c.isalpha() or c in " ,.?:'" for c in turn.line), turn.line


def test_why_a_line_is_spoken() -> None:
    """A setting voices questions only; whoever chose that still hears questions, replies and refusals."""
    taken, asked, no, off, move, read = talk("c4 52 28", "85", "no", "c9", "next", "read back")
    assert taken.speech is Speech.READ_BACK
    assert asked.speech is Speech.QUESTION
    assert no.speech is Speech.REPLY
    assert off.speech is Speech.REPLY
    assert move.speech is Speech.READ_BACK
    assert read.speech is Speech.REPLY


def test_the_question_is_kept_as_it_was_spoken() -> None:
    (turn,) = talk("c5 85")
    (asked,) = [f for f in turn.facts if isinstance(f, Asked)]
    assert asked.question.line == turn.line == "C five, eighty five down?"


def test_greetings() -> None:
    session = Session(MemoryJournal())
    assert greeting(session.sheet) == ""
    session.set_plan(NATURALS)
    assert greeting(session.sheet) == "Naturals, from A zero."
    session.set_plan(list_plan((41, 43, 44)))
    assert greeting(session.sheet) == "Three keys, from C sharp four."
    session.set_plan(NATURALS)
    session.typed("c4 85")
    session.typed("next")
    assert greeting(session.sheet) == "Going on at D four. One to settle."
    session.typed("stand by")
    assert greeting(replace(session.sheet)) == "Going on at D four. Standing by. One to settle."


def test_notes_as_said() -> None:
    """Letter, accidental, octave: C4 is middle C, key 40 of 88 (scientific pitch notation)."""
    assert [spoken_note(k) for k in (1, 40, 46, 88)] == ["A zero", "C four", "F sharp four", "C eight"]
