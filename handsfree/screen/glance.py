"""Everything of the moment that is not in the sheet: what the ears are at, what was said last, what went wrong."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from handsfree.nouns import EarChanged, EarState, Heard, Level, OpenQuestion, Sheet, Took, Turn
from handsfree.screen.said import Last
from handsfree.screen.settle import waiting
from handsfree.screen.styled import Line, Piece, Role, fitted, line, width
from handsfree.words.as_taken import words_for


@dataclass(frozen=True, slots=True)
class Glance:
    ear: EarChanged = field(default_factory=lambda: EarChanged(EarState.NO_MICROPHONE))
    ended: bool = False
    """A recording is over: nothing is wrong with a microphone."""
    level: Level | None = None
    partial: str = ""
    last: Last | None = None
    turn: Turn | None = None
    opening: str = ""
    """The line that stands until the first thing is said."""
    lost: bool = False
    """The last thing said could not be kept."""
    trouble: str = ""
    """One line: what went wrong with the last thing said, and what to do."""


def last_of(heard: Heard) -> Last:
    return Last(heard.text, heard.via, heard.sureness, heard)


def as_taken(last: Last, turn: Turn) -> Last:
    """With the words that a reading was taken from, and how sure that was, where they were not the likeliest ones."""
    took = next((f for f in turn.facts if isinstance(f, Took) and f.key == turn.key), None)
    if took is None or last.heard is None:
        return last
    words = words_for(last.heard.alternatives, last.heard.context, took.key)
    return last if words == last.text else replace(last, text=words, sureness=took.sureness)


def alarm(glance: Glance) -> str:
    """The line that must not be missed: a loss before a missing microphone."""
    return glance.trouble or glance.ear.message


def progress_line(name: str, count: str, sheet: Sheet, columns: int) -> Line:
    """The plan's name, the count, and how many wait; the two numbers are on every screen, however small."""
    queue: tuple[OpenQuestion, ...] = waiting(sheet)
    waits = line("   ", Piece(f"{len(queue)} to settle", Role.ASK)) if queue else ()
    room = columns - len(count) - width(waits) - 1
    named = fitted((Piece(name),), room) if name and room > 1 else ()
    return fitted((Piece(" ".join([*(p.text for p in named), count])), *waits), columns)
