"""The strip of 88 keys: which have readings, told by shape, drawn as a keyboard so that places are found at a glance.

From above: the key that is on now, the sharps (each over the gap to the right of its natural), the naturals, the
names where the octaves begin.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from handsfree.nouns import Quantity, Sheet
from handsfree.reckoning.compass import KEYS, is_sharp, note_name
from handsfree.screen.compass import NATURALS, PLACE
from handsfree.screen.rows import complete
from handsfree.screen.styled import Line, Piece, Role


class Mark(Enum):
    """What there is of a key: (sign, role, word of the legend)."""

    DONE = ("▊", Role.GOOD, "done")
    PART = ("▄", Role.DOWN, "part")
    OPEN = ("?", Role.ASK, "to settle")
    DUE = ("○", Role.PLAIN, "due")
    NONE = ("·", Role.FAINT, "none")

    @property
    def sign(self) -> str:
        return self.value[0]

    @property
    def role(self) -> Role:
        return self.value[1]

    @property
    def word(self) -> str:
        return self.value[2]


def marks(sheet: Sheet, wanted: frozenset[Quantity]) -> dict[int, Mark]:
    """Key -> mark, for all 88."""
    asked = {p.key for q in sheet.questions for p in q.question.proposals}
    planned = set(sheet.plan.keys)
    read = {key for key, _ in sheet.standing}

    def mark(key: int) -> Mark:
        if key in asked:
            return Mark.OPEN
        if key in read:
            return Mark.DONE if complete(sheet, key, wanted) else Mark.PART
        return Mark.DUE if key in planned else Mark.NONE

    return {key: mark(key) for key in KEYS}


_LEGEND = 26
"""Columns that the legend takes, with its distance."""


@dataclass(frozen=True, slots=True)
class Strip:
    lines: tuple[Line, ...]
    """Marker, sharps, naturals (the legend beside them where there is room), octaves."""
    columns: int
    """Columns a natural takes."""


def columns_a_natural(columns: int) -> int:
    """The widest drawing that fits: 52 columns times 1, 2 or 3, and one for the name of the last key; 0 = no room."""
    return max(min((columns - 1) // NATURALS, 3), 0)


def strip(sheet: Sheet, wanted: frozenset[Quantity], columns: int) -> Strip:
    """The keyboard in at most `columns` columns; without lines where even one column a natural does not fit."""
    each = columns_a_natural(columns)
    if each == 0:
        return Strip((), 0)
    state = marks(sheet, wanted)
    wide = NATURALS * each

    def row(keep: Callable[[int], bool], cell: Callable[[int], Piece]) -> Line:
        cells: list[Piece] = [Piece(" ")] * wide
        for key in KEYS:
            if keep(key):
                cells[column(key, each)] = cell(key)
        return joined(cells)

    def draw(key: int) -> Piece:
        return Piece(state[key].sign, state[key].role)

    keyboard: tuple[Line, ...] = (
        row(lambda key: key == sheet.place, lambda key: Piece("▼", Role.STRONG)),
        row(is_sharp, draw),
        row(lambda key: not is_sharp(key), draw),
    )
    if columns >= wide + _LEGEND:
        keyboard = tuple((*left, Piece("   "), *right) for left, right in zip(keyboard, legend(), strict=True))
    return Strip((*keyboard, octaves(each)), each)


def column(key: int, each: int) -> int:
    """Left edge 0; a sharp stands half a natural to the right, at one column a natural over its left neighbour."""
    return PLACE[key] * each // 2


def octaves(each: int) -> Line:
    """A0 and every C, under their keys; C1 gives way to A0 where they would touch."""
    text = [" "] * (NATURALS * each + 1)
    for key in KEYS:
        name = note_name(key)
        if key == KEYS.start or (name.startswith("C") and not is_sharp(key) and column(key, each) > 2):
            at = column(key, each)
            text[at : at + 2] = name
    return (Piece("".join(text).rstrip(), Role.FAINT),)


def joined(cells: list[Piece]) -> Line:
    """Neighbours of one role become one piece: fewer pieces to draw."""
    pieces: list[Piece] = []
    for cell in cells:
        if pieces and pieces[-1].role is cell.role:
            pieces[-1] = Piece(pieces[-1].text + cell.text, cell.role)
        else:
            pieces.append(cell)
    return tuple(pieces)


def legend() -> tuple[Line, ...]:
    """What the shapes mean, in three lines beside marker, sharps and naturals."""

    def entry(mark: Mark, wide: int = 0) -> tuple[Piece, Piece]:
        return Piece(f"{mark.sign} ", mark.role), Piece(f"{mark.word:<{wide}}", Role.FAINT)

    return (
        (*entry(Mark.DONE, 10), *entry(Mark.OPEN)),
        (*entry(Mark.PART, 10), *entry(Mark.DUE)),
        entry(Mark.NONE),
    )
