"""Counting aloud: the sentences of the swing pass, and how far a partial text has come."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.nouns import (
    Amount,
    Completeness,
    Context,
    Correction,
    Counted,
    GoTo,
    InOneBreath,
    OffKeyboard,
    Puzzle,
    Quantity,
    Reading,
    Said,
    Word,
)
from handsfree.words.count_so_far import SoFar, count_so_far, counting
from handsfree.words.count_times import joined, timed
from handsfree.words.counting import LONGEST_COUNT
from handsfree.words.grammar import chance_of_more, completeness, understand
from handsfree.words.spoken import number_words


def said(*numbers: int) -> str:
    return " ".join(number_words(Decimal(n)) for n in numbers)


def swings(value: str) -> tuple[Amount, ...]:
    return (Amount(Quantity.SWINGS, Decimal(value)),)


@pytest.mark.parametrize(
    ("text", "meaning"),
    [
        ("one two three", Counted(None, (1, 2, 3))),
        ("a four one two three", Counted(49, (1, 2, 3))),
        ("foxtrot sharp four one two", Counted(46, (1, 2))),
        ("key forty nine one two", Counted(49, (1, 2))),
        ("one two four", Counted(None, (1, 2, 4))),
        ("one two two three", Counted(None, (1, 2, 2, 3))),
        ("one two three and a half", Counted(None, (1, 2, 3), half=True)),
        ("one two three again one two", Counted(None, (1, 2), again=True)),
        ("one again one two again one two three", Counted(None, (1, 2, 3), again=True)),
        ("one two again", Counted(None, (), again=True)),
        ("again", Counted(None, (), again=True, after=True)),
        ("again one two", Counted(None, (1, 2), again=True, after=True)),
        ("one two b four", Counted(None, (1, 2), then=51)),
        ("four five six", Counted(None, (4, 5, 6))),
        ("nineteen twenty twenty one", Counted(None, (19, 20, 21))),
        ("a four seven b four six", InOneBreath((Reading(49, swings("7")), Reading(51, swings("6"))))),
        ("seven b four zero", InOneBreath((Reading(None, swings("7")), Reading(51, swings("0"))))),
        ("six and a half b four", InOneBreath((Reading(None, swings("6.5")), GoTo(51)))),
        ("a four one two b four one two three", InOneBreath((Counted(49, (1, 2)), Counted(51, (1, 2, 3))))),
        ("one two b four six", InOneBreath((Counted(None, (1, 2)), Reading(51, swings("6"))))),
        (
            "a4 7 b4 6 c5 one two three",
            InOneBreath((Reading(49, swings("7")), Reading(51, swings("6")), Counted(52, (1, 2, 3)))),
        ),
        ("a four seven b nine six", InOneBreath((Reading(49, swings("7")), OffKeyboard("B nine")))),
        ("seven", Reading(None, swings("7"))),
        ("a four seven swings", Reading(49, swings("7"))),
        ("a four four", Reading(49, swings("4"))),
        ("six and a half", Reading(None, swings("6.5"))),
        ("zero", Reading(None, swings("0"))),
        ("seized", Reading(None, swings("0"))),
        ("a4 6.5", Reading(49, swings("6.5"))),
        ("correction eight", Correction(None, swings("8"))),
        ("correction c four eight", Correction(40, swings("8"))),
        ("a four", GoTo(49)),
    ],
)
def test_sentences_of_the_swing_pass(text: str, meaning: Said) -> None:
    assert understand(text, Context.SWINGS) == meaning
    assert understand(text, Context.SWINGS_ANSWER) == meaning


@given(st.integers(2, LONGEST_COUNT))
def test_every_count_is_a_sentence_and_goes_on(count: int) -> None:
    text = said(*range(1, count + 1))
    assert understand(text, Context.SWINGS) == Counted(None, tuple(range(1, count + 1)))
    assert completeness(text, Context.SWINGS) is Completeness.EXTENDABLE
    if count < 12:
        assert chance_of_more(text, Context.SWINGS) > 0.5


@pytest.mark.parametrize("text", ["seven six", "one five", "three two one", "one two one", "fifty two twenty eight"])
def test_what_goes_down_or_jumps_is_no_count(text: str) -> None:
    assert not isinstance(understand(text, Context.SWINGS), Counted | Reading)


@pytest.mark.parametrize(
    ("text", "so_far"),
    [
        ("", None),
        ("[unk]", None),
        ("a four", None),
        ("next", None),
        ("one", SoFar(None, 1, True)),
        ("seven", SoFar(None, 7, False)),
        ("a four seven", SoFar(49, 7, False)),
        ("one two three", SoFar(None, 3, True)),
        ("f sharp four one two", SoFar(46, 2, True)),
        ("one two again", SoFar(None, 0, True)),
        ("one two again one", SoFar(None, 1, True)),
        ("nineteen twenty twenty one", SoFar(None, 21, True)),
        ("a four one two three b four", None),
        ("a four one two three b four one two", SoFar(51, 2, True)),
        ("six and a half", SoFar(None, 6, False)),
        ("one two tree fower", SoFar(None, 4, True)),
    ],
)
def test_how_far_a_count_has_come(text: str, so_far: SoFar | None) -> None:
    assert count_so_far(text) == so_far


@given(st.integers(1, LONGEST_COUNT))
def test_each_number_shows_when_it_is_said(count: int) -> None:
    words = said(*range(1, count + 1)).split()
    shown = [count_so_far(" ".join(words[: i + 1])) for i in range(len(words))]
    numbers = [s.number for s in shown if s]
    assert len(numbers) == len(words)
    assert numbers == sorted(numbers), "a count never goes down while it is said"
    assert numbers[-1] == count


@pytest.mark.parametrize(
    ("text", "number"), [("[unk]", 1), ("[unk] [unk]", 2), ("one [unk]", 1), ("seven", None), ("c four", None)]
)
def test_words_not_told_from_talk_may_be_counts(text: str, number: int | None) -> None:
    assert counting(text) == number


def test_each_number_gets_the_time_of_its_first_word() -> None:
    text = "a four one two again twenty twenty one"
    words = [Word(w, 0.5 * i, 0.5 * i + 0.3, 1.0) for i, w in enumerate(text.split())]
    timed_count = timed(Counted(49, (20, 21), again=True), words, lambda at: (at + 0.2,))
    assert timed_count.times == (2.5, 3.0)
    assert timed_count.unheard == pytest.approx((4.0,)), "asked of the end of the last word"
    assert timed(Counted(None, (1, 2)), [], lambda at: ()) == Counted(None, (1, 2))


@pytest.mark.parametrize(
    ("text", "octave"),
    [
        ("one two three d four", (4, 2.0)),
        ("one two three d five", (5, 2.0)),
        ("one two three d seven", None),
        ("one two three d two", None),
        ("one two three d sharp four", None),
    ],
)
def test_an_octave_that_would_be_a_number_of_the_count_is_marked(text: str, octave: object) -> None:
    words = [Word(w, 0.5 * i, 0.5 * i + 0.3, 1.0) for i, w in enumerate(text.split())]
    assert timed(Counted(None, (1, 2, 3), then=42), words, lambda at: ()).octave == octave
    assert timed(Counted(None, (1, 2, 3)), words[:3], lambda at: ()).octave is None


def spoken(text: str, *starts: float) -> list[Word]:
    return [Word(w, at, at + 0.3, 1.0) for w, at in zip(text.split(), starts, strict=True)]


BEFORE = Counted(49, (1, 2, 3), times=(0.3, 0.9, 1.5))


@pytest.mark.parametrize("said", [Counted(None, (5, 6), times=(0.3, 0.9)), Counted(None, (4,), times=(0.3,))])
def test_a_late_number_joins_the_count_just_taken(said: Counted) -> None:
    words = spoken(" ".join(number_words(Decimal(n)) for n in said.numbers), *said.times)
    both = joined(BEFORE, 2.4, said, words)
    assert isinstance(both, Counted)
    assert both.joins
    assert both.numbers == (1, 2, 3, *said.numbers)
    assert both.times == pytest.approx((-2.1, -1.5, -0.9, *said.times))


def test_a_lone_number_in_the_rhythm_joins_it_too() -> None:
    total = Reading(None, (Amount(Quantity.SWINGS, Decimal(5)),))
    both = joined(BEFORE, 2.4, total, spoken("five", 0.3))
    assert isinstance(both, Counted)
    assert both.numbers == (1, 2, 3, 5)
    assert joined(BEFORE, 4.4, total, spoken("five", 0.3)) is total, "too late: a total said at once"
    other = replace(total, key=51)
    assert joined(BEFORE, 2.4, other, spoken("five", 0.3)) is other, "another key's"
    unclear = replace(total, unclear=True)
    assert joined(BEFORE, 2.4, unclear, spoken("five", 0.3)) is unclear, "perhaps a note whose letter was not heard"


def test_a_number_cut_in_two_counts_once() -> None:
    both = joined(BEFORE, 1.25, Counted(None, (3, 4), times=(0.3, 0.85)), spoken("three four", 0.3, 0.85))
    assert isinstance(both, Counted)
    assert both.numbers == (1, 2, 3, 4)


@pytest.mark.parametrize("talk", ["[unk]", "[unk] [unk] [unk]"])
def test_other_talk_after_a_count_leaves_the_count(talk: str) -> None:
    """A cough, a knock or a word to somebody, heard as what it is; after one or two numbers all of it is talk, and
    after a total, too: "four people" is none."""
    assert understand(f"A four one two three {talk}", Context.SWINGS) == Counted(49, (1, 2, 3))
    assert isinstance(understand(f"one two {talk}", Context.SWINGS), Puzzle)
    assert isinstance(understand(f"A four seven {talk}", Context.SWINGS), Puzzle)
    assert isinstance(understand(f"four {talk}", Context.SWINGS), Puzzle)
