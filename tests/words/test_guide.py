"""The tables for people say what the machine does: every example in them is understood, where it stands."""

from __future__ import annotations

import pytest

from handsfree.nouns import Context, GoTo, OffKeyboard, Puzzle, Reading
from handsfree.words import guide
from handsfree.words.expressions import meanings
from handsfree.words.grammar import understand
from handsfree.words.sentence import Sentence
from handsfree.words.spoken import spoken_number


@pytest.mark.parametrize("sentence", guide.sentences(), ids=lambda s: s.say)
def test_examples_are_sentences_of_their_kind(sentence: Sentence) -> None:
    assert sentence.examples
    assert sentence.does.endswith(".")
    for example in sentence.examples:
        said = understand(example, Context.ANSWER)
        assert not isinstance(said, Puzzle | OffKeyboard), example
        assert said in meanings(sentence.expression, example.lower().split()), example


def test_examples_of_the_parts_are_such_parts() -> None:
    for part in guide.NOTES:
        assert all(isinstance(understand(e, Context.TOUCH), GoTo) for e in part.examples), part
    for part in guide.NUMBERS:
        assert all(spoken_number(e) is not None for e in part.examples), part
    for part in guide.WEIGHTS:
        assert all(isinstance(understand(e, Context.TOUCH), Reading) for e in part.examples), part


def test_the_tables_are_well_formed_markdown() -> None:
    tables = guide.table_markdown().strip().split("\n\n")
    assert len(tables) == 4
    for table in tables:
        lines = table.split("\n")
        assert {line.count("|") for line in lines} == {4}
        assert lines[1] == "| --- | --- | --- |"
    assert len(tables[0].split("\n")) == len(guide.sentences()) + 2
    assert len(tables[1].split("\n")) == len(guide.swing_sentences()) + 2


def test_swing_examples_are_of_the_swing_pass() -> None:
    for sentence in guide.swing_sentences():
        for example in sentence.examples:
            said = understand(example, Context.SWINGS_ANSWER)
            assert not isinstance(said, Puzzle | OffKeyboard), example
