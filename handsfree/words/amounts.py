"""The weights of a sentence: one number, two, or named ones. Two bare numbers are down, then up.

For the ear, one text is expected in one way only: after "fifty" comes a unit of the same number, or a number that
begins with none; "five two" is one number; and so on. Otherwise its automaton would hold every value many times over.
What else the same words could mean is understood all the same (branches of weight 0), so ambiguity is noticed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from handsfree.nouns import Amount, Quantity
from handsfree.words.expressions import EMPTY, Act, Alt, Expression, Word, either, meaning, perhaps, phrase, seq
from handsfree.words.likely import ANY_DOWN, ANY_UP, FIRST_IS_DOWN, around, mixed
from handsfree.words.spoken import LESS_THAN_ONE, SOME_TAIL, TAIL, Figures, decimal, figures, number

Amounts = tuple[Amount, ...]

NO_RETURN = Amount(Quantity.UP, None)
BOTH = 0.52
"""Chance that an up follows a down in the same breath."""
WITH_PART = 0.1
"""Chance of a part of a gram."""

_NO_PART = meaning("", EMPTY)
_PART = Alt(((1 - WITH_PART, _NO_PART), (WITH_PART, SOME_TAIL)))
_NO_MORE = meaning(None, EMPTY)


@dataclass(frozen=True, slots=True)
class Weights:
    """All ways to say weights, each meaning a tuple of one or two `Amount`s, down before up."""

    any: Alt
    in_words: Alt
    """Without bare numbers that begin with a digit: for the ear, after a number that a digit would continue."""


def weights() -> Weights:
    down_chance, up_chance = around(ANY_DOWN), around(ANY_UP)
    down, up = figures(down_chance), _Up(figures(up_chance))
    bare = figures(mixed(FIRST_IS_DOWN, down_chance, up_chance))
    down_first = Act(seq(Word("down"), _one_or_two(down, up)), _from_first(Quantity.DOWN))
    up_first = Act(
        seq(Word("up"), _alone(up.figures), perhaps(0.2, seq(Word("down"), _alone(down)), _NO_MORE)), _up_then_down
    )
    named = ((0.06, down_first), (0.04, up_first), (0.02, Act(_no_return(), lambda amount: (amount,))))
    return Weights(
        any=Alt(((0.88, Act(_one_or_two(bare, up), _from_first(None))), *named)),
        in_words=Alt(((0.88, Act(_one_or_two_in_words(bare, up), _from_first(None))), *named)),
    )


def _from_first(first: Quantity | None) -> Callable[[Decimal, Amount | None], Amounts]:
    """A first number with its name, if any; where an up follows it, it is the down."""

    def made(value: Decimal, up: Amount | None) -> Amounts:
        return (Amount(Quantity.DOWN, value), up) if up else (Amount(first, value),)

    return made


def _up_then_down(up: Decimal, down: Decimal | None) -> Amounts:
    named = Amount(Quantity.UP, up)
    return (named,) if down is None else (Amount(Quantity.DOWN, down), named)


def _no_return() -> Act:
    return meaning(NO_RETURN, seq(perhaps(0.02, Word("up")), phrase("no return")))


def _alone(whole: Figures) -> Alt:
    """A number next to no other bare number: it may also be "a half" or "point five"."""
    return Alt(((0.998, number(whole.all)), (0.002, LESS_THAN_ONE)))


class _Up:
    """The up that may follow a down, meaning an Amount or None."""

    def __init__(self, up: Figures) -> None:
        self.figures = up
        self._named = seq(Word("up"), _alone(up))
        self.any = self._perhaps(number(up.all))
        self.below_hundred = self._perhaps(_value(up.below_hundred, TAIL))
        self.in_words = self._perhaps(_value(up.in_words, TAIL))
        self.named = self._perhaps(self._named)

    def _perhaps(self, number: Expression) -> Alt:
        up = Act(Alt(((0.88, number), (0.12, self._named))), lambda grams: Amount(Quantity.UP, grams))
        return perhaps(BOTH, Alt(((0.97, up), (0.03, _no_return()))), _NO_MORE)


def _one_or_two(first: Figures, up: _Up) -> Alt:
    """A number, and perhaps the up after it: means the first value, and the up as an Amount or None."""
    few = either(first.units, first.hundreds)
    return Alt(
        (
            *_one_or_two_in_words(first, up).branches,
            (first.digit_by_digit.weight, seq(_value(first.digit_by_digit, _PART), up.below_hundred)),
            (few.weight, seq(_value(few, TAIL), up.named)),
            (0.002, seq(LESS_THAN_ONE, _NO_MORE)),
            (0.0, seq(number(first.all), up.any)),  # all else that the words could mean, and typed numbers
        )
    )


def _one_or_two_in_words(first: Figures, up: _Up) -> Alt:
    tens, others = first.tens, first.two_figures
    return Alt(
        (
            ((1 - WITH_PART) * tens.weight, seq(_value(tens, _NO_PART), up.in_words)),
            (WITH_PART * tens.weight, seq(_value(tens, SOME_TAIL), up.below_hundred)),
            (others.weight, seq(_value(others, _PART), up.below_hundred)),
        )
    )


def _value(whole: Expression, part: Expression) -> Act:
    return Act(seq(whole, part), decimal)


def amounts_words(parts: Amounts) -> str:
    """For a why-line: "52 and 8"."""
    return " and ".join("no return" if a.value is None else str(a.value) for a in parts)
