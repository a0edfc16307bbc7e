"""The weights of a sentence: one number, two, or named ones. Two bare numbers are down, then up."""

from __future__ import annotations

from decimal import Decimal

from handsfree.nouns import Amount, Quantity
from handsfree.words.expressions import Act, Alt, Expression, Word, meaning, perhaps, phrase, seq
from handsfree.words.likely import Chance, Expectation, around, mixed
from handsfree.words.spoken import LESS_THAN_ONE, number

Amounts = tuple[Amount, ...]

NO_RETURN = Amount(Quantity.UP, None)


def _named(quantity: Quantity, inner: Expression) -> Act:
    return Act(inner, lambda value: Amount(quantity, value))


def _stand_alone(chance: Chance) -> Alt:
    """A number that no other number follows or precedes bare: it may also be "a half" or "point five"."""
    return Alt(((0.998, number(chance)), (0.002, LESS_THAN_ONE)))


def amounts(expected: Expectation) -> Act:
    """All ways to say weights, meaning a tuple of one or two `Amount`s, down before up."""
    down, up = around(expected.down), around(expected.up)
    bare = Act(_stand_alone(mixed(0.6, down, up)), lambda value: Amount(None, value))
    down_number = _named(Quantity.DOWN, number(down))
    named_up = _named(Quantity.UP, seq(Word("up"), _stand_alone(up)))
    no_return = meaning(NO_RETURN, seq(perhaps(0.02, Word("up")), phrase("no return")))
    second = Alt(((0.85, _named(Quantity.UP, number(up))), (0.12, named_up), (0.03, no_return)))
    named_down = _named(Quantity.DOWN, seq(Word("down"), _stand_alone(down)))
    return Act(
        Alt(
            (
                (0.43, bare),
                (0.47, seq(perhaps(0.1, Word("down")), down_number, second)),
                (0.03, named_down),
                (0.04, named_up),
                (0.01, Act(seq(named_up, named_down), lambda up, down: (down, up))),
                (0.02, no_return),
            )
        ),
        _flat,
    )


def _flat(*parts: Amount | Amounts) -> Amounts:
    return tuple(a for part in parts for a in (part if isinstance(part, tuple) else (part,)))


def amounts_words(parts: Amounts) -> str:
    """For a why-line: "52 and 8"."""
    return " and ".join(_value_text(a.value) for a in parts)


def _value_text(value: Decimal | None) -> str:
    return "no return" if value is None else str(value)
