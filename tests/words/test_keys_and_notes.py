"""Keys 1..88 and their names, against the table of keys and against MIDI's numbering."""

from __future__ import annotations

import pytest

from handsfree.nouns import Context, GoTo, OffKeyboard
from handsfree.reckoning.compass import is_sharp, note_name
from handsfree.words.expressions import every
from handsfree.words.grammar import understand
from handsfree.words.likely import any_key
from handsfree.words.notes import ALPHABET, any_note, key_of, note, spoken_note
from handsfree.words.spoken import UNITS
from tests.words.outside import table

KEYS = range(1, 89)


def midi(name: str) -> int:
    """MIDI note number of "C#4", "Bb3": middle C = C4 = 60 (MIDI's numbering, from memory)."""
    pitch = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}[name[0]]
    accidental = name[1:-1].count("#") - name[1:-1].count("b")
    return 12 * (int(name[-1]) + 1) + pitch + accidental


def test_all_keys_against_the_table() -> None:
    # CHECKS 3: key = MIDI - 20; names and colours of all 88 keys, computed there.
    rows = table("keys88.csv")
    assert [int(r["key"]) for r in rows] == list(KEYS)
    for row in rows:
        key = int(row["key"])
        assert (note_name(key), note_name(key, flats=True)) == (row["sharp"], row["flat"])
        assert is_sharp(key) == (row["colour"] == "black")
        assert midi(row["sharp"]) == int(row["midi"]) == key + 20


@pytest.mark.parametrize("key", KEYS)
def test_a_key_is_its_midi_number_less_20(key: int) -> None:
    # Standard: A4 = key 49 = MIDI 69.
    assert midi(note_name(key)) - 20 == key == midi(note_name(key, flats=True)) - 20


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("flats", [False, True])
def test_every_key_is_understood_in_all_its_ways(key: int, flats: bool) -> None:
    spoken = spoken_note(key, flats)
    spelled = " ".join([ALPHABET[spoken[0]], *spoken.split()[1:]])
    for text in (spoken, spelled, note_name(key, flats), f"key {key}"):
        assert understand(text, Context.TOUCH) == GoTo(key), text


def test_there_are_52_naturals_and_36_sharps() -> None:
    # CHECKS 3: 52 white, 36 black keys.
    assert [sum(is_sharp(k) is sharp for k in KEYS) for sharp in (False, True)] == [52, 36]


@pytest.mark.parametrize(
    ("letter", "accidental", "octave", "key"),
    [
        ("A", "", 0, 1), ("C", "", 1, 4), ("C", "", 4, 40), ("A", "", 4, 49), ("C", "", 8, 88),  # landmarks
        ("B", "sharp", 3, 40), ("C", "flat", 4, 39), ("E", "sharp", 4, 45), ("F", "flat", 4, 44),
        ("B", "sharp", 7, 88), ("C", "flat", 8, 87),  # legal
        ("G", "sharp", 0, None), ("A", "flat", 0, None), ("C", "sharp", 8, None), ("B", "sharp", 8, None),
        ("A", "sharp", -1, None),
    ],
)  # fmt: skip
def test_enharmonics_meet_and_the_octave_goes_with_the_letter(
    letter: str, accidental: str, octave: int, key: int | None
) -> None:
    # CHECKS 3: enharmonics, landmarks and what is off the keyboard.
    assert key_of(letter, accidental, octave) == key


@pytest.mark.parametrize("expression", [note(any_key).any, any_note()], ids=["note", "note in a list"])
def test_every_note_that_can_be_said_is_where_midi_says(expression) -> None:  # type: ignore[no-untyped-def]
    letters = {word: name for name, spelled in ALPHABET.items() for word in (name.lower(), spelled)}
    digits = {**{w: i for i, w in enumerate(UNITS)}, "oh": 0, "tree": 3, "fower": 4, "fife": 5, "niner": 9}
    signs = {"sharp": "#", "flat": "b", "natural": ""}
    seen = 0
    for words, (meaning,) in every(expression):
        if words[0] == "key":
            continue
        sign = signs[words[1]] if len(words) == 3 else ""
        key = midi(f"{letters[words[0]]}{sign}{digits[words[-1]]}") - 20
        if key in KEYS:
            assert meaning == key, words
        else:
            assert isinstance(meaning, OffKeyboard), words
        seen += 1
    assert seen == 14 * 4 * 15  # letters in two ways, accidentals or none, digits in all ways


@pytest.mark.parametrize("key", [0, 89, -1])
def test_there_is_no_name_off_the_keyboard(key: int) -> None:
    with pytest.raises(ValueError, match="1 to 88"):
        note_name(key)
    with pytest.raises(ValueError, match="1 to 88"):
        spoken_note(key)
