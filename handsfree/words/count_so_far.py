"""How far a count under way has come, from the text so far: for the screen, and for how long a silence ends it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from handsfree.nouns import OTHER_TALK
from handsfree.words.counting import LONGEST_COUNT
from handsfree.words.expressions import Expression, meanings, opening
from handsfree.words.notes import note
from handsfree.words.spoken import TENS, number_words


@dataclass(frozen=True, slots=True)
class SoFar:
    """A count under way."""

    key: int | None
    """The note that was named before it."""
    number: int
    """Where the count is; 0: it is to begin again."""
    started: bool
    """It began at one (or began again): a count, not a total."""


_VALUES = {number_words(Decimal(n)): n for n in range(LONGEST_COUNT + 1)} | {
    "tree": 3,
    "fower": 4,
    "fife": 5,
    "niner": 9,
}


@cache
def _note() -> Expression:
    return note(lambda key: 1.0 if 1 <= key <= 88 else 0.0).any


def count_so_far(text: str) -> SoFar | None:
    """How far the count in a partial text has come, the last one of several; None: there is none in it. Pure and
    quick: it is asked at every new word."""
    words = text.split()
    words = words[max(note_starts(words), default=0) :]
    at = _after_note(words)
    key = next((k for k in meanings(_note(), words[:at]) if isinstance(k, int)), None) if at else None
    run = _run(words[at:])
    return None if run is None else SoFar(key, *run)


def counting(text: str) -> int | None:
    """Where the count in a partial text is, 0 after "again"; None: there is no count in it (a total is none).

    Words not yet told from talk may be a count's first ones: they count as such until the text changes."""
    words = text.split()
    if words and all(word == OTHER_TALK for word in words):
        return min(len(words), LONGEST_COUNT)
    so_far = count_so_far(text)
    return so_far.number if so_far and so_far.started else None


_FIRST_OF_NOTE = opening(_note()).words


def note_starts(words: Sequence[str]) -> list[int]:
    """Where notes begin in a sentence of the swing pass: no other of its words sound like their first."""
    starts = [i for i, word in enumerate(words) if word in _FIRST_OF_NOTE]
    return [i for i in starts if words[i] != "a" or words[max(0, i - 1)] != "and"]


def _after_note(words: Sequence[str]) -> int:
    """Where the shortest note that the words begin with ends; 0: they begin with none."""
    for at in range(2, min(len(words), 4) + 1):
        if meanings(_note(), words[:at]):
            return at
    return 0


def _run(words: Sequence[str]) -> tuple[int, bool] | None:
    number, started, first = 0, False, True
    for value in _numbers(words):
        if value is None:
            number, started, first = 0, True, False
        elif value < number:
            break
        else:
            # a number alone is a total, unless it is a one: that is how counts begin
            started = started or not first or value == 1
            number, first = value, False
    return None if first else (number, started)


def _numbers(words: Sequence[str]) -> list[int | None]:
    """The numbers that the words say, None for "again"; up to the first word that is neither."""
    found: list[int | None] = []
    i = 0
    while i < len(words):
        two = " ".join(words[i : i + 2])
        if words[i] == "again":
            found.append(None)
            i += 1
        elif words[i] in TENS and two in _VALUES:
            found.append(_VALUES[two])
            i += 2
        elif words[i] in _VALUES:
            found.append(_VALUES[words[i]])
            i += 1
        else:
            break
    return found
