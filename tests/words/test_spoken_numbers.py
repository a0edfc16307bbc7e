"""Numbers 0..200 with halves, against a table made elsewhere and against two libraries that say and read numbers."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words
from text_to_num import alpha2digit

from handsfree.nouns import Amount, Context, Quantity, Reading
from handsfree.words.expressions import every
from handsfree.words.grammar import understand
from handsfree.words.spoken import TAIL, figures, number, number_words, spoken_number
from tests.words.outside import table

HALVES = [Decimal(n) / 2 for n in range(401)]


def understood(text: str) -> Decimal | None:
    """The value of a text that is one bare number."""
    match understand(text, Context.TOUCH):
        case Reading(None, (Amount(None, value),)):
            return value
        case other:
            raise AssertionError(f"{text!r} is {other}")


def test_the_table_of_halves_reads_back() -> None:
    # CHECKS 4: 401 values 0..200 in steps of a half, in words.
    rows = table("number_words_0_200_halves.csv")
    assert [Decimal(r["value"]) for r in rows] == HALVES
    for row in rows:
        for text in filter(None, (row["words_point"], row["words_and_a_half"])):
            assert spoken_number(text) == understood(text) == Decimal(row["value"]), text


def test_what_num2words_says_is_understood() -> None:
    # Oracle: num2words 0.5 says numbers; "fifty-two point five".
    for value in HALVES:
        text = num2words(value)
        assert spoken_number(text) == understood(text) == value


def test_whole_numbers_are_said_as_num2words_says_them() -> None:
    for whole in range(1000):
        assert number_words(Decimal(whole)) == num2words(whole).replace("-", " ")


@given(st.decimals(0, 199, places=2))
def test_parts_of_a_gram_are_said_exactly(value: Decimal) -> None:
    # Oracle: num2words, except that halves are said "and a half".
    said = number_words(value)
    if said.endswith("a half"):
        assert value % 1 == Decimal("0.5")
    else:
        assert said == num2words(value.normalize() if value % 1 else int(value)).replace("-", " ")


def test_what_we_say_is_read_by_text2num_and_by_ourselves() -> None:
    # Oracle: text2num 3; it does not know "and a half" (CHECKS 4), so the half is said "point five" to it.
    for value in HALVES:
        said = number_words(value)
        assert spoken_number(said) == understood(said) == value
        for_oracle = "zero point five" if said == "a half" else said.replace("and a half", "point five")
        assert Decimal(alpha2digit(for_oracle, "en", threshold=0)) == value


def test_every_way_to_say_a_number_reads_back() -> None:
    """All ways for the whole part with the usual tails, and all tails after "fifty two"."""
    usual = ("", " and a half", " point five", " decimal niner", " point oh six")
    tails = {" ".join(["", *words]) for words, _ in every(TAIL)} - {" "} | {""}
    assert tails > set(usual)
    count = 0
    for words, (value,) in every(number(figures(lambda _: 1.0).all)):
        text = " ".join(words)
        whole = text.removesuffix(max((t for t in tails if text.endswith(t)), key=len))
        if text.removeprefix(whole) in usual or whole == "fifty two":
            assert spoken_number(text) == value == understood(text), text
            count += 1
    assert count > 2000


@pytest.mark.parametrize(
    ("text", "value"),
    [
        # CHECKS 4, last column: what other readers of numbers get silently wrong or refuse.
        ("fifty-two", "52"), ("six and a half", "6.5"), ("one and a half", "1.5"), ("a half", "0.5"),
        ("five two", "52"), ("five two point five", "52.5"), ("one oh five", "105"), ("six point oh five", "6.05"),
        ("six point zero five", "6.05"), ("fifty two decimal five", "52.5"), ("one hundred and five", "105"),
        ("one hundred one", "101"), ("a hundred", "100"), ("point five", "0.5"), ("zero", "0"), ("one", "1"),
        ("two", "2"), ("niner", "9"), ("fife", "5"), ("tree", "3"), ("fower", "4"),
    ],
)  # fmt: skip
def test_right_answers_where_others_fail(text: str, value: str) -> None:
    assert understood(text) == spoken_number(text) == Decimal(value)


@pytest.mark.parametrize(
    ("text", "down", "up"),
    [
        # CHECKS 4: these became one number (126, 42, 30) in other readers.
        ("down fifty two up twenty six", 52, 26),
        ("twenty one twenty two", 21, 22),
        ("twenty ten", 20, 10),
    ],
)
def test_two_values_never_become_one(text: str, down: int, up: int) -> None:
    expected = (Amount(Quantity.DOWN, Decimal(down)), Amount(Quantity.UP, Decimal(up)))
    assert understand(text, Context.TOUCH) == Reading(None, expected)
    assert spoken_number(text) is None


@pytest.mark.parametrize("text", ["minus three", "fourty", "to", "for", "ate", "won", "oh", "", "two hundred one"])
def test_what_is_no_number_is_none(text: str) -> None:
    assert spoken_number(text) is None


@pytest.mark.parametrize("value", ["-1", "1000", "NaN", "Infinity"])
def test_what_cannot_be_said_is_an_error(value: str) -> None:
    with pytest.raises(ValueError, match="cannot be said"):
        number_words(Decimal(value))


@pytest.mark.parametrize(("teen", "ty"), [(n, 10 * (n - 10)) for n in range(13, 20)])
def test_teens_and_tens_are_told_apart(teen: int, ty: int) -> None:
    # CHECKS 4: the seven pairs that sound alike must at least be two values for the grammar.
    assert {understood(number_words(Decimal(teen))), understood(number_words(Decimal(ty)))} == {teen, ty}
