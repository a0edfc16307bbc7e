"""What a person is going to say in a sitting: keys and weights of a made-up piano, in words that the person has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from people import Person

from handsfree.nouns import Context, Quantity, Reading
from handsfree.reckoning.compass import note_name
from handsfree.words.grammar import understand

DIGITS = "zero one two three four five six seven eight nine".split()
TENS = "twenty thirty forty fifty sixty seventy".split()
TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
NATURALS = dict(zip("cdefgab", (0, 2, 4, 5, 7, 9, 11), strict=True))

ODD = 4.0
"""Grams: a value farther from what the piano would have is not said, the tool would rightly ask about it."""

Words = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """One reading."""

    key: int
    down: Decimal
    up: Decimal
    note: Words
    """() = not said: the plan knows."""
    down_words: Words
    up_words: Words
    in_parts: bool
    """The up is said after the down was kept: weighed in between."""

    @property
    def parts(self) -> list[list[Words]]:
        """Groups of words, for each utterance."""
        first = [self.note] if self.note else []
        if self.in_parts:
            return [[*first, self.down_words], [self.up_words]]
        return [[*first, self.down_words, self.up_words]]

    def truth(self, quantity: Quantity) -> Decimal:
        return self.down if quantity is Quantity.DOWN else self.up

    def words_for(self, quantity: Quantity) -> Words:
        return self.down_words if quantity is Quantity.DOWN else self.up_words


def script(person: Person, count: int, planned: bool, rng: np.random.Generator) -> list[Said]:
    """Up to `count` readings, upwards, each key once; [] where the person has no words for a piano.

    `planned`: half of them without a note."""
    notes = _notes(person)
    downs, ups = _numbers(person, range(38, 72)), _numbers(person, range(12, 45))
    if len(notes) < 4 or len(downs) < 4 or len(ups) < 4:
        return []
    keys = sorted(rng.permutation(sorted(notes))[:count].tolist())
    heavy = rng.uniform(-3, 3)
    found = []
    for key in keys:
        down_wanted = 54 + heavy - 0.08 * key + rng.normal(0, 1.2)
        down = _nearest(downs, down_wanted)
        up_wanted = down - 2 * (11 + rng.normal(0, 0.8))
        up = _nearest(ups, up_wanted)
        if max(abs(down - down_wanted), abs(up - up_wanted)) > ODD:
            continue
        said = Said(
            key, Decimal(down), Decimal(up),
            () if planned and rng.random() < 0.5 else notes[key],
            _one_of(downs[down], rng), _one_of(ups[up], rng), bool(rng.random() < 0.2),
        )  # fmt: skip
        if _understood(said):
            found.append(said)
    return found


def plan_of(readings: Sequence[Said]) -> str:
    return ", ".join(note_name(said.key) for said in readings)


def _understood(said: Said) -> bool:
    """Whether the language takes these words for these values: else nobody would say them so."""
    whole = " ".join(word for group in (said.note, said.down_words, said.up_words) for word in group)
    meant = understand(whole, Context.TOUCH)
    return isinstance(meant, Reading) and [a.value for a in meant.amounts] == [said.down, said.up]


def _notes(person: Person) -> dict[int, Words]:
    found: dict[int, Words] = {}
    for letter, step in NATURALS.items():
        for octave, word in enumerate(DIGITS[:9]):
            key = 12 * octave + step - 8
            if letter in person.words and word in person.words and 1 <= key <= 88:
                found[key] = (letter, word)
    return found


def _numbers(person: Person, wanted: range) -> dict[int, list[Words]]:
    """Number -> the ways in which the person can say it."""
    have = person.words
    found: dict[int, list[Words]] = {}
    for number in wanted:
        ten, unit = divmod(number, 10)
        tens: Words = (TENS[ten - 2],) if ten >= 2 else ()
        ways: list[Words] = [(*tens, DIGITS[unit])] if tens and unit else [tens] if tens else [(TEENS[unit],)]
        ways = 3 * ways  # radio digits are the rarer way
        ways += [(DIGITS[ten], DIGITS[unit])] if unit else []
        if said := [way for way in ways if all(word in have for word in way)]:
            found[number] = said
    return found


def _nearest(numbers: dict[int, list[Words]], wanted: float) -> int:
    return min(numbers, key=lambda number: abs(number - wanted))


def _one_of(ways: list[Words], rng: np.random.Generator) -> Words:
    return ways[int(rng.integers(len(ways)))]
