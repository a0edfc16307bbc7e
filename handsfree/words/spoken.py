"""Numbers as they are spoken, both ways: the expressions that hear them, and the words that say them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from handsfree.words.expressions import (
    EMPTY,
    Act,
    Alt,
    Expression,
    Numeral,
    Word,
    either,
    meaning,
    meanings,
    one_of,
    perhaps,
    phrase,
    seq,
)
from handsfree.words.likely import HIGHEST_VALUE, Chance

UNITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEENS = (
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
)
TENS = ("", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
RADIO = {3: "tree", 4: "fower", 5: "fife", 9: "niner"}
"""Radiotelephony's ways to say digits (ICAO Annex 10 vol. II), written as they sound."""
BY_RADIO = 0.03
"""Share of those ways. They sound so much like the usual ones that more would fill the recogniser's alternatives."""

DIGIT_BY_DIGIT = 0.12
"""Share of two-figure numbers said as "five two"."""


ZERO = Alt(((0.5, Word("zero")), (0.5, Word("oh"))))
"""Inside a string of digits; alone, "oh" is no number but talk."""


@cache
def digit(value: int, *, oh: bool = False) -> Expression:
    """One digit in all its ways; `oh`: zero may be "oh"."""
    if oh and value == 0:
        return ZERO
    usual = phrase(UNITS[value])
    return perhaps(BY_RADIO, phrase(RADIO[value]), usual) if value in RADIO else usual


def digit_of(chance: Chance, values: range, *, oh: bool = False) -> Alt:
    """One digit of `values`, meaning its value."""
    return Alt(tuple((chance(v), meaning(v, digit(v, oh=oh))) for v in values))


@dataclass(frozen=True, slots=True)
class Figures:
    """The whole numbers by their form, each meaning an int, weighted by one chance."""

    units: Alt
    """0..9."""
    tens: Alt
    """20, 30 .. 90, which a unit could follow."""
    two_figures: Alt
    """10..19, and tens with a unit: "sixteen", "fifty two"."""
    digit_by_digit: Alt
    """10..99 said "five two", "five oh"."""
    hundreds: Alt
    """100..200: "one hundred and five", "a hundred", "two hundred"."""
    one_oh: Alt
    """100..109 said "one oh five"."""

    @property
    def in_words(self) -> Alt:
        """What begins with no digit."""
        return either(self.tens, self.two_figures)

    @property
    def below_hundred(self) -> Alt:
        return either(self.units, self.tens, self.two_figures, self.digit_by_digit)

    @property
    def all(self) -> Alt:
        return either(self.units, self.tens, self.two_figures, self.digit_by_digit, self.hundreds, self.one_oh)


def figures(chance: Chance) -> Figures:
    def cardinal(value: int) -> float:
        return (1 - DIGIT_BY_DIGIT) * chance(value)

    def digits(value: int) -> float:
        return DIGIT_BY_DIGIT * chance(value)

    teens = Alt(tuple((cardinal(10 + i), meaning(10 + i, teen)) for i, teen in enumerate(TEENS)))
    compounds = [_ten_and_unit(cardinal, ten, phrase(TENS[ten // 10]), range(1, 10)) for ten in range(20, 100, 10)]
    return Figures(
        units=digit_of(chance, range(10)),
        tens=Alt(tuple((cardinal(10 * i), meaning(10 * i, word)) for i, word in enumerate(TENS) if word)),
        two_figures=either(teens, *compounds),
        digit_by_digit=either(
            *(_ten_and_unit(digits, ten, digit(ten // 10), range(10)) for ten in range(10, 100, 10))
        ),
        hundreds=_hundreds(cardinal),
        one_oh=_ten_and_unit(digits, 100, seq(Word("one"), ZERO), range(10)),
    )


def _ten_and_unit(chance: Chance, ten: int, said: Expression, unit_values: range) -> Alt:
    """Figures that begin with `said`, which means `ten`, and a last one."""
    unit = digit_of(lambda u: chance(ten + u), unit_values, oh=True)
    return Alt(((unit.weight, Act(seq(meaning(ten, said), unit), int.__add__)),))


def _hundreds(chance: Chance) -> Alt:
    """Rare, and all alike."""
    share = sum(chance(v) for v in range(100, HIGHEST_VALUE + 1))
    teens = Alt(tuple((1.0, meaning(10 + i, teen)) for i, teen in enumerate(TEENS)))
    tens = Alt(tuple((1.0, meaning(10 * i, word)) for i, word in enumerate(TENS) if word))
    unit = digit_of(_flat, range(1, 10))
    ten_and_unit = Act(seq(tens, perhaps(0.9, unit, meaning(0, EMPTY))), int.__add__)
    rest = seq(perhaps(0.9, Word("and")), Alt(((0.1, unit), (0.1, teens), (0.8, ten_and_unit))))
    one_hundred = seq(meaning(100, one_of("one hundred", "a hundred")), perhaps(0.5, rest, meaning(0, EMPTY)))
    return Alt(((0.95 * share, Act(one_hundred, int.__add__)), (0.05 * share, meaning(200, "two hundred"))))


def _flat(_value: int) -> float:
    return 1.0


def _half_first(value: int) -> float:
    """After "point" it is nearly always a five."""
    return 17.0 if value == 5 else 0.33


POINT = one_of("point", "decimal")
_DIGITS = digit_of(_half_first, range(1, 10))
_PLACE = Alt(((0.97, Act(_DIGITS, str)), (0.02, Act(seq(ZERO, _DIGITS), lambda place: f"0{place}"))))
"""What follows "point": one digit, or a hundredth ("oh five"); meaning the digits as text."""
_OTHER_PLACES = Alt(
    (
        (0.004, meaning("25", "two five")),
        (0.004, meaning("75", "seven five")),
        (0.002, meaning("0", ZERO)),
    )
)

SOME_TAIL = Alt(((0.05, meaning("5", "and a half")), (0.05, seq(POINT, _PLACE))))
TAIL = Alt(
    ((0.9, meaning("", EMPTY)), (0.05, meaning("5", "and a half")), (0.05, seq(POINT, either(_PLACE, _OTHER_PLACES))))
)
"""What may follow a whole number, meaning the decimal places as text. Where another number may follow, SOME_TAIL or
nothing: the other places could not be told from it."""


def decimal(whole: int, places: str) -> Decimal:
    return Decimal(f"{whole}.{places}" if places else whole)


def number(whole: Alt) -> Alt:
    """A whole number and its tail, meaning a Decimal exactly as said; or typed in digits."""
    return Alt(((1.0, Act(seq(whole, TAIL), decimal)), (0.0, Numeral(HIGHEST_VALUE, whole=False))))


LESS_THAN_ONE = Alt(
    (
        (0.5, meaning(Decimal("0.5"), "a half")),
        (0.5, Act(seq(POINT, _PLACE), lambda places: Decimal(f"0.{places}"))),
    )
)
"""A number without a whole part; only where a number stands alone, or "fifty two a half" would be two numbers."""

_ANY_NUMBER = Alt(((1.0, number(figures(_flat).all)), (0.01, LESS_THAN_ONE)))


def spoken_number(text: str) -> Decimal | None:
    """ "fifty two and a half" -> 52.5; None for what is not one number from 0 to 200.

    Words bind as tightly as they can, so "fifty eight" is 58.
    """
    found = meanings(_ANY_NUMBER, text.lower().replace("-", " ").split())
    return found[0] if len(found) == 1 and isinstance(found[0], Decimal) else None


def number_words(value: Decimal) -> str:
    """52.5 -> "fifty two and a half", 6.05 -> "six point zero five"; exact, for 0 <= value < 1000."""
    if not (value.is_finite() and 0 <= value < 1000):
        raise ValueError(f"{value} cannot be said: it is not a number from 0 up to 1000")
    whole = int(value)
    places = f"{value:f}".partition(".")[2].rstrip("0")
    if places == "5":
        return f"{_whole_words(whole)} and a half" if whole else "a half"
    if not places:
        return _whole_words(whole)
    return " ".join([_whole_words(whole), "point", *(UNITS[int(d)] for d in places)])


def _whole_words(value: int) -> str:
    if value < 10:
        return UNITS[value]
    if value < 20:
        return TEENS[value - 10]
    if value < 100:
        return TENS[value // 10] + (f" {UNITS[value % 10]}" if value % 10 else "")
    rest = f" and {_whole_words(value % 100)}" if value % 100 else ""
    return f"{UNITS[value // 100]} hundred{rest}"
