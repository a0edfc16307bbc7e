"""What the pure files of the screen give to the shell: lines of pieces, each with the name of a role, not a colour.

The roles are resolved against the theme when they are drawn, so that light and dark need no second drawing.
"""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple


class Role(StrEnum):
    """What a piece of text is for; themes.py says how each looks."""

    PLAIN = "plain"
    STRONG = "strong"
    FAINT = "faint"
    DOWN = "down"
    UP = "up"
    FRICTION = "friction"
    GOOD = "good"
    ASK = "ask"
    BAD = "bad"


class Piece(NamedTuple):
    text: str
    role: Role = Role.PLAIN


Line = tuple[Piece, ...]


def line(*pieces: Piece | str) -> Line:
    """A line of pieces; bare strings are plain."""
    return tuple(Piece(p) if isinstance(p, str) else p for p in pieces)


def plain(lines: tuple[Line, ...] | list[Line]) -> list[str]:
    """The letters alone, for tests and for whoever cannot see colours."""
    return ["".join(p.text for p in pieces) for pieces in lines]


def width(pieces: Line) -> int:
    """Columns that a line takes: every sign the screen uses is one column wide."""
    return sum(len(p.text) for p in pieces)


def fitted(pieces: Line, columns: int) -> Line:
    """The line, cut to `columns` with an ellipsis, so that a cut is never mistaken for the end of a sentence."""
    if width(pieces) <= columns:
        return pieces
    kept: list[Piece] = []
    room = max(columns - 1, 0)
    for text, role in pieces:
        if len(text) >= room:
            kept.append(Piece(text[:room] + "…", role))
            break
        kept.append(Piece(text, role))
        room -= len(text)
    return tuple(kept)


def folded(pieces: Line, columns: int, rows: int) -> list[Line]:
    """The first piece as a label, the rest over at most `rows` lines beside it; what is too long even so is cut."""
    if rows < 2 or width(pieces) <= columns:
        return [fitted(pieces, columns)]
    label, *rest = pieces
    indent = Piece(" " * len(label.text))
    lines: list[list[Piece]] = [[label]]
    for text, role in rest:
        for n, word in enumerate(text.split()):
            here = lines[-1]
            gap = "" if len(here) == 1 else " " if n else "   "
            if len(here) > 1 and len(lines) < rows and width(tuple(here)) + len(gap) + len(word) > columns:
                lines.append([indent, Piece(word, role)])
            else:
                here.append(Piece(gap + word, role))
    return [fitted(_joined(one), columns) for one in lines]


def _joined(pieces: list[Piece]) -> Line:
    """Neighbours of one role as one piece."""
    made: list[Piece] = []
    for text, role in pieces:
        if made and made[-1].role is role:
            made[-1] = Piece(made[-1].text + text, role)
        else:
            made.append(Piece(text, role))
    return tuple(made)


def wrapped(text: str, columns: int) -> list[str]:
    """Words in lines of at most `columns`; a longer word stands alone."""
    lines: list[str] = []
    for word in text.split():
        if lines and len(lines[-1]) + 1 + len(word) <= columns:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines
