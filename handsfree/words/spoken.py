"""Numbers as they are spoken, both ways: the expressions that hear them, and the words that say them."""

from __future__ import annotations

from decimal import Decimal

from handsfree.words.expressions import (
    EMPTY,
    Act,
    Alt,
    Expression,
    Numeral,
    Word,
    meaning,
    meanings,
    one_of,
    perhaps,
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

DIGIT_BY_DIGIT = 0.12
"""Share of two-figure numbers said as "five two"."""


def digit(value: int, *, oh: bool = False) -> Expression:
    """One digit in all its ways; `oh`: zero may be "oh", as it may inside a string of digits, never alone."""
    ways = [UNITS[value], *filter(None, [RADIO.get(value)])]
    return one_of("oh", "zero") if oh and value == 0 else one_of(*ways)


def digit_of(chance: Chance, values: range, *, oh: bool = False) -> Alt:
    """One digit of `values`, meaning its value."""
    return Alt(tuple((chance(v), meaning(v, digit(v, oh=oh))) for v in values))


def below_hundred(chance: Chance, lowest: int = 0) -> Alt:
    """A whole number lowest..99 as a cardinal ("fifty two") or digit by digit ("five two"), meaning an int."""
    cardinal = 1 - DIGIT_BY_DIGIT
    branches: list[tuple[float, Expression]] = [(chance(v), meaning(v, digit(v))) for v in range(lowest, 10)]
    branches += [(cardinal * chance(10 + i), meaning(10 + i, teen)) for i, teen in enumerate(TEENS)]
    for ten in range(20, 100, 10):
        unit: Alt = Alt(
            (
                (chance(ten), meaning(0, EMPTY)),
                *((chance(ten + u), meaning(u, digit(u))) for u in range(1, 10)),
            )
        )
        share = cardinal * sum(w for w, _ in unit.branches)
        branches.append((share, Act(seq(meaning(ten, TENS[ten // 10]), unit), int.__add__)))
    for first in range(1, 10):
        second = Alt(tuple((chance(10 * first + u), meaning(u, digit(u, oh=True))) for u in range(10)))
        share = DIGIT_BY_DIGIT * sum(w for w, _ in second.branches)
        branches.append(
            (share, Act(seq(meaning(first, digit(first)), second), lambda tens, units: 10 * tens + units))
        )
    return Alt(tuple(branches))


def _hundreds() -> Alt:
    """100..200, rare: "one hundred and five", "a hundred", "one oh five", "two hundred"."""
    rest = Act(seq(perhaps(0.9, Word("and")), _plain_below_hundred()), lambda v: v)
    one_hundred = seq(meaning(100, one_of("one hundred", "a hundred")), perhaps(0.5, rest, meaning(0, EMPTY)))
    oh_digit = seq(Word("one"), meaning(100, one_of("oh", "zero")), digit_of(lambda _: 1.0, range(10), oh=True))
    return Alt(
        (
            (0.85, Act(one_hundred, int.__add__)),
            (0.1, Act(oh_digit, int.__add__)),
            (0.05, meaning(200, "two hundred")),
        )
    )


def _plain_below_hundred() -> Alt:
    """1..99 as cardinals only, all alike."""
    units = digit_of(lambda _: 1.0, range(1, 10))
    teens = Alt(tuple((1.0, meaning(10 + i, teen)) for i, teen in enumerate(TEENS)))
    tens = Alt(tuple((1.0, meaning(10 * i, word)) for i, word in enumerate(TENS) if word))
    compound = Act(seq(tens, perhaps(0.9, units, meaning(0, EMPTY))), int.__add__)
    return Alt(((0.1, units), (0.1, teens), (0.8, compound)))


_flat_digit = digit_of(lambda v: 17.0 if v == 5 else 0.33, range(10))
_nonzero = digit_of(lambda v: 17.0 if v == 5 else 0.33, range(1, 10))

PLACES = Alt(
    (
        (0.97, Act(_flat_digit, str)),
        (0.02, Act(seq(one_of("oh", "zero"), _nonzero), lambda d: f"0{d}")),
        (0.005, meaning("25", "two five")),
        (0.005, meaning("75", "seven five")),
    )
)
"""What follows "point": one digit, a hundredth ("oh five"), or a quarter; meaning the digits as text."""

POINT = seq(one_of("point", "decimal"), PLACES)

TAIL = Alt(((0.9, meaning("", EMPTY)), (0.05, meaning("5", "and a half")), (0.05, POINT)))
"""What may follow a whole number, meaning the decimal places as text."""


def _decimal(whole: int, places: str) -> Decimal:
    return Decimal(f"{whole}.{places}" if places else whole)


def number(chance: Chance) -> Alt:
    """0..200 with halves, tenths and some hundredths, meaning a Decimal exactly as said."""
    hundreds = sum(chance(v) for v in range(100, HIGHEST_VALUE + 1))
    rest = sum(chance(v) for v in range(100))
    whole = Alt(((rest, below_hundred(chance)), (hundreds, _hundreds())))
    return Alt(((1.0, Act(seq(whole, TAIL), _decimal)), (0.0, Numeral(HIGHEST_VALUE, whole=False))))


LESS_THAN_ONE = Alt(
    ((0.5, meaning(Decimal("0.5"), "a half")), (0.5, Act(POINT, lambda places: Decimal(f"0.{places}"))))
)
"""A number without a whole part; only where a number stands alone, or "fifty two a half" would be two numbers."""

_ANY_NUMBER = Alt(((1.0, number(lambda _: 1.0)), (0.01, LESS_THAN_ONE)))


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
