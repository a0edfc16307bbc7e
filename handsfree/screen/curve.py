"""The curve along the compass: down and up as marks, friction as bars from zero, in braille, two by four dots a sign.
In the swing pass the swings, as bars.

The three are told apart by shape and place as well as by colour: friction stands on the ground, a down is two dots
high, an up one dot, and down runs above up (it cannot be below). Only values that stand are drawn. With room for 52
columns or more a braille sign, or two or three, make one natural, so that the curve stands exactly over the strip.
"""

from __future__ import annotations

from decimal import Decimal

from handsfree.nouns import Pass, Quantity, Sheet
from handsfree.reckoning.compass import KEYS
from handsfree.screen.compass import NATURALS, PLACE
from handsfree.screen.strip import columns_a_natural, joined, octaves
from handsfree.screen.styled import Line, Piece, Role, fitted

MOST_USUAL_SWINGS = 14
"""Upper end of the axis of swings, until there are more; about twice as many as are wanted."""
AXIS = 5
"""Columns for "100 ┤"."""
_DOT = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
"""Bit of the dot in (row, column) of a braille sign (Unicode block 2800: dots 1-8)."""
_EMPTY = 0x2800
_LAST_PLACE = PLACE[KEYS[-1]]


class _Canvas:
    """Dots of one grid, each cell with the role of whoever drew there last."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns, self.rows = columns, rows
        self._bits = [[0] * columns for _ in range(rows)]
        self._roles = [[Role.PLAIN] * columns for _ in range(rows)]

    def dot(self, x: int, y: int, role: Role) -> None:
        """x from the left, y from the ground, in dots."""
        down = self.rows * 4 - 1 - y
        if 0 <= x < self.columns * 2 and 0 <= down < self.rows * 4:
            row, column = down // 4, x // 2
            self._bits[row][column] |= _DOT[down % 4][x % 2]
            self._roles[row][column] = role

    def line(self, row: int) -> Line:
        cells = [
            Piece(chr(_EMPTY + bits) if bits else " ", role if bits else Role.PLAIN)
            for bits, role in zip(self._bits[row], self._roles[row], strict=True)
        ]
        return joined(cells)


def top_of(values: list[Decimal]) -> int:
    """The upper end of the axis: a multiple of 20 g above every value, at least 80 g, so that it seldom jumps."""
    highest = max(values, default=Decimal(0))
    return max(80, (int(highest) // 20 + 1) * 20)


def place_x(key: int, dots: int) -> int:
    """Dot column of a key: its natural's left dot, or the right one for its sharp, spread over the dots there are."""
    per_place = dots / (2 * NATURALS)
    return int(PLACE[key] * per_place) if per_place != 1 else PLACE[key]


def curve(sheet: Sheet, columns: int, rows: int) -> list[Line]:
    """`rows` lines of at most `columns` columns: title, plot, octaves; empty where it would be unreadable."""
    plot_rows = rows - 2
    room = columns - AXIS
    if plot_rows < 2 or room < 20:
        return []
    wide = columns_a_natural(room) * NATURALS or min(room, NATURALS - 1)
    if sheet.doing is Pass.SWINGS:
        return _swings(sheet.column(Quantity.SWINGS), columns, wide, plot_rows)
    down, up = sheet.column(Quantity.DOWN), sheet.column(Quantity.UP)
    top = top_of([*down.values(), *up.values()])
    canvas = _Canvas(wide, plot_rows)
    _draw(canvas, down, up, top)
    return _plot(_title(down, up), canvas, top, columns)


def _plot(title: Line, canvas: _Canvas, top: int, columns: int) -> list[Line]:
    lines = [fitted(title, columns)]
    lines += [(*_axis(row, canvas.rows, top), *canvas.line(row)) for row in range(canvas.rows)]
    lines.append((Piece(" " * AXIS), *_feet(canvas.columns)))
    return lines


def _swings(counts: dict[int, Decimal], columns: int, wide: int, rows: int) -> list[Line]:
    """Bars; a seized hammer, which swings not at all, is the lowest dot."""
    top = max(MOST_USUAL_SWINGS, 2 * (int(max(counts.values(), default=Decimal(0))) // 2 + 1))
    canvas = _Canvas(wide, rows)
    dots, high = wide * 2, rows * 4
    thick = max(1, dots // (2 * NATURALS))
    for key, count in counts.items():
        for y in range(min(int(count * high / top), high - 1) + 1):
            for x in range(thick):
                canvas.dot(place_x(key, dots) + x, y, Role.UP)
    return _plot((Piece("⣿ swings", Role.UP if counts else Role.FAINT),), canvas, top, columns)


def _draw(canvas: _Canvas, down: dict[int, Decimal], up: dict[int, Decimal], top: int) -> None:
    dots, high = canvas.columns * 2, canvas.rows * 4

    def y(value: Decimal) -> int:
        return min(int(value * high / top), high - 1)

    thick = max(1, dots // (2 * NATURALS))
    for key in sorted(down.keys() & up.keys()):
        if down[key] >= up[key]:
            for i in range((y((down[key] - up[key]) / 2) + 1) * thick):
                canvas.dot(place_x(key, dots) + i % thick, i // thick, Role.FRICTION)
    for values, role, tall in ((up, Role.UP, 1), (down, Role.DOWN, 2)):
        for key, value in values.items():
            for i in range(thick * tall):
                canvas.dot(place_x(key, dots) + i // tall, y(value) + i % tall, role)


def _title(down: dict[int, Decimal], up: dict[int, Decimal]) -> Line:
    both = down.keys() & up.keys()
    parts: list[Piece] = []
    for name, sign, role, some in (
        ("down", "⠶", Role.DOWN, bool(down)),
        ("up", "⠒", Role.UP, bool(up)),
        ("friction", "⣿", Role.FRICTION, bool(both)),
    ):
        parts.append(Piece(f"{sign} {name} ", role if some else Role.FAINT))
    return (*parts, Piece("g", Role.FAINT))


def _axis(row: int, rows: int, top: int) -> Line:
    """The top, the ground, and half of the top where there is room, each at the row that holds its value."""
    half_way = rows - 1 - rows * 2 // 4
    labels = {half_way: top // 2} if rows >= 4 else {}
    label = (labels | {0: top, rows - 1: 0}).get(row)
    text = f"{label:>3} ┤" if label is not None else "    │"
    return (Piece(text, Role.FAINT),)


def _feet(wide: int) -> Line:
    each, rest = divmod(wide, NATURALS)
    if each and not rest:
        return octaves(each)
    text = [" "] * (wide + 1)
    for name, key in (("A0", 1), ("C2", 16), ("C4", 40), ("C6", 64), ("C8", 88)):
        at = min(PLACE[key] * wide // (_LAST_PLACE + 2), wide - 2)
        text[at : at + 2] = name
    return (Piece("".join(text).rstrip(), Role.FAINT),)
