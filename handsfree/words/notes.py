"""Keys and their names: 1..88, A0..C8, spoken with letters, with the spelling alphabet, or by number.

Scientific pitch notation: the octave number belongs to the letter, so C flat 4 is B3 and B sharp 3 is C4.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from handsfree.nouns import OffKeyboard
from handsfree.reckoning.compass import KEYS, SEMITONE, is_sharp, note_name
from handsfree.reckoning.compass import key_of as key_written
from handsfree.words.expressions import EMPTY, Act, Alt, Expression, Numeral, Word, either, meaning, seq
from handsfree.words.likely import Chance
from handsfree.words.spoken import UNITS, digit, figures, number_words

ALPHABET = {"A": "alfa", "B": "bravo", "C": "charlie", "D": "delta", "E": "echo", "F": "foxtrot", "G": "golf"}
"""ITU Radio Regulations, Appendix 14, spells "alfa"; "alpha" is understood when typed."""
ACCIDENTALS = ("", "natural", "sharp", "flat")


def key_of(letter: str, accidental: str, octave: int) -> int | None:
    """Key 1..88 of a letter A..G, "", "natural", "sharp" or "flat", and an octave; None: off the keyboard."""
    key = key_written(f"{letter}{accidental}{octave}")
    return key if key in KEYS else None


def spoken_note(key: int, flats: bool = False) -> str:
    """46 -> "F sharp four"."""
    written = note_name(key, flats)
    name = written[:-1].replace("#", " sharp").replace("b", " flat")
    return f"{name} {UNITS[int(written[-1])]}"


# ---------------------------------------------------------------- as expressions

OCTAVES = range(10)
"""0..8 exist; nine is listened for only to be refused aloud."""
OFF_KEYBOARD = 0.0002
"""Chance of a note that no piano has, relative to all notes: heard and refused rather than mistaken."""
SPELLED = 0.25
"""Share of the spelling alphabet among letters."""
BY_NUMBER = 0.05
"""Share of "key forty nine" among notes."""


def letter(name: str) -> Alt:
    return Alt(((1 - SPELLED, Word(name.lower())), (SPELLED, Word(ALPHABET[name]))))


def _share(key: int, accidental: str) -> float:
    """How often a key is called with this accidental: C4 is hardly ever "C natural four" or "B sharp three"."""
    if is_sharp(key):
        return {"sharp": 0.7, "flat": 0.3}[accidental]
    return {"": 0.97, "natural": 0.02, "sharp": 0.005, "flat": 0.005}[accidental]


def _off(name: str, accidental: str, octave: int) -> OffKeyboard:
    return OffKeyboard(" ".join(filter(None, [name, accidental, UNITS[octave]])))


def _octaves(name: str, accidental: str, chance: Chance) -> Alt:
    """The octaves of one letter and accidental, meaning the key, or OffKeyboard."""
    branches: list[tuple[float, Expression]] = []
    for octave in OCTAVES:
        key = key_of(name, accidental, octave)
        value = _off(name, accidental, octave) if key is None else key
        weight = OFF_KEYBOARD if key is None else chance(key) * _share(key, accidental)
        branches.append((weight, meaning(value, digit(octave, oh=True))))
    return Alt(tuple(branches))


def named_note(chance: Chance) -> Alt:
    """ "F sharp four", "foxtrot sharp four": a key number, or OffKeyboard."""
    letters: list[tuple[float, Expression]] = []
    for name in SEMITONE:
        accidentals: list[tuple[float, Expression]] = []
        for accidental in ACCIDENTALS:
            octaves = _octaves(name, accidental, chance)
            word = Word(accidental) if accidental else EMPTY
            accidentals.append((octaves.weight, seq(word, octaves)))
        rest = Alt(tuple(accidentals))
        letters.append((rest.weight, seq(letter(name), rest)))
    return Alt(tuple(letters))


def _key_or_off(number: int) -> int | OffKeyboard:
    if number in KEYS:
        return number
    return OffKeyboard(f"key {number_words(Decimal(number))}")


@dataclass(frozen=True, slots=True)
class Note:
    """A note in all its ways: by letter, spelled, or "key forty nine"; each means a key number, or OffKeyboard."""

    clear: Alt
    """A digit after it is not of the note."""
    open: Alt
    """Key numbers that a digit would continue: "key forty", "key four"."""
    any: Alt
    """All, also typed."""

    def before(self, rest: Expression, rest_in_words: Expression) -> Alt:
        """The note, then `rest`; for the ear, `rest_in_words` (which begins with no digit) after an open one."""
        return Alt(
            (
                (self.clear.weight, seq(self.clear, rest)),
                (self.open.weight, seq(self.open, rest_in_words)),
                (0.0, seq(self.any, rest)),
            )
        )


def note(chance: Chance) -> Note:
    letters = named_note(lambda key: (1 - BY_NUMBER) * chance(key))
    numbers = figures(lambda key: BY_NUMBER * (chance(key) or OFF_KEYBOARD))
    clear = Alt(
        (
            (letters.weight, letters),
            (numbers.two_figures.weight, _by_number(numbers.two_figures)),
            (numbers.digit_by_digit.weight, _by_number(numbers.digit_by_digit)),
        )
    )
    unclear = either(numbers.units, numbers.tens)
    open_ones = Alt(((unclear.weight, _by_number(unclear)),))
    typed = Alt(((0.0, _by_number(Numeral(999, whole=True))),))
    return Note(clear, open_ones, either(clear, open_ones, typed))


def _by_number(number: Expression) -> Act:
    return Act(seq(Word("key"), number), _key_or_off)


def any_note() -> Act:
    """ "F sharp four" where all keys are alike; smaller than `named_note`, for lists."""
    letters = Alt(tuple((1.0, meaning(name, letter(name))) for name in SEMITONE))
    octave = Alt(tuple((1.0 if o < 9 else OFF_KEYBOARD, meaning(o, digit(o, oh=True))) for o in OCTAVES))

    def make(name: str, accidental: str, octave_number: int) -> int | OffKeyboard:
        key = key_of(name, accidental, octave_number)
        return _off(name, accidental, octave_number) if key is None else key

    return Act(seq(letters, accidental_or_none(), octave), make)


def accidental_or_none() -> Alt:
    return Alt(
        (
            (0.6, meaning("", EMPTY)),
            (0.25, meaning("sharp", "sharp")),
            (0.1, meaning("flat", "flat")),
            (0.05, meaning("natural", "natural")),
        )
    )
