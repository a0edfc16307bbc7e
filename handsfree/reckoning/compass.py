"""The 88 keys: names, colours, and numbers written the way people read them. The one place that knows the names."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from itertools import groupby

from handsfree.reckoning.results import Colour

KEYS = range(1, 89)
_SHARPS = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_FLATS = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
SEMITONE = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
"""Letter -> half steps above its octave's C."""
_NOTE = re.compile(r"([a-g])\s*(#|♯|b|♭|sharp|flat|natural)?\s*(-?\d{1,2})", re.IGNORECASE)
_ALTER = {"": 0, "natural": 0, "#": 1, "♯": 1, "sharp": 1, "b": -1, "♭": -1, "flat": -1}


def note_name(key: int, flats: bool = False) -> str:
    """Scientific pitch notation: "A0" for 1, "C4" for 40, "F#4" for 46 ("Gb4" with flats), "C8" for 88. ValueError
    for what is no key."""
    if key not in KEYS:
        raise ValueError(f"there is no key {key}: keys are {KEYS[0]} to {KEYS[-1]}")
    octave, semitone = divmod(key + 8, 12)
    return f"{(_FLATS if flats else _SHARPS)[semitone]}{octave}"


def key_of(note: str) -> int | None:
    """Key number of "F#4", "Gb4", "f sharp 4"; off the keyboard as it comes (<1, >88); None: no note."""
    match = _NOTE.fullmatch(note.strip())
    if match is None:
        return None
    letter, alter, octave = match.groups()
    return SEMITONE[letter.upper()] + _ALTER[(alter or "").lower()] + 12 * int(octave) - 8


def is_sharp(key: int) -> bool:
    """Whether it is a black key."""
    return "#" in note_name(key)


def colour_of(key: int) -> Colour:
    return "sharp" if is_sharp(key) else "natural"


def grams(value: Decimal | float) -> str:
    """A number to be read: 52, 52.5, 38.25; floats to a tenth. Never "-0"."""
    text = f"{value:.1f}" if isinstance(value, float) else f"{value:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def counted(number: int, noun: str) -> str:
    """ "1 key", "3 keys"."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def listed(keys: Sequence[int], most: int = 12) -> str:
    """Note names, three and more in a row by their ends, the rest counted: "A0, C1 to F1 and 3 more"."""
    names: list[tuple[str, int]] = []
    for _, group in groupby(enumerate(keys), key=lambda pair: pair[1] - pair[0]):
        row = [key for _, key in group]
        if len(row) > 2:
            names.append((f"{note_name(row[0])} to {note_name(row[-1])}", len(row)))
        else:
            names += [(note_name(key), 1) for key in row]
    more = sum(many for _, many in names[most:])
    return ", ".join(name for name, _ in names[:most]) + (f" and {more} more" if more else "")
