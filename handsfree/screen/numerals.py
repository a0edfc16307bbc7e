"""Big letters and numerals, for eyes two metres away.

Our own letter shapes, five dots by seven and, for tight rooms, four by seven. They are drawn in whole blocks two
columns wide, in half blocks (two dots high in one row), or in quarter blocks (two by two). `fit` takes the largest
drawing that the room allows, so that note, down and up, or the longest part, stand big even on a terminal of 80x24.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Size = Literal["full", "full narrow", "half", "half narrow", "quarter", "plain"]
SIZES: tuple[Size, ...] = ("full", "full narrow", "half", "half narrow", "quarter", "plain")
HIGH = {"full": 7, "full narrow": 7, "half": 4, "half narrow": 4, "quarter": 4, "plain": 1}
"""Rows that each size takes."""

_DOTS = 7
_BLANK = ("",) * _DOTS
_QUARTERS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
"""By the bits of upper left, upper right, lower left, lower right."""


def _glyphs(*blocks: str) -> dict[str, tuple[str, ...]]:
    """Each block: the sign, then seven lines of dots."""
    glyphs: dict[str, tuple[str, ...]] = {}
    for block in blocks:
        sign, *dots = block.split()
        wide = max(map(len, dots))
        glyphs[sign] = tuple(d.ljust(wide, ".") for d in dots)
    return glyphs


GLYPHS = _glyphs(
    "0 .###. #...# #...# #...# #...# #...# .###.",
    "1 ..#.. .##.. #.#.. ..#.. ..#.. ..#.. #####",
    "2 .###. #...# ....# ..##. .#... #.... #####",
    "3 .###. #...# ....# ..##. ....# #...# .###.",
    "4 ...#. ..##. .#.#. #..#. ##### ...#. ...#.",
    "5 ##### #.... ####. ....# ....# #...# .###.",
    "6 ..##. .#... #.... ####. #...# #...# .###.",
    "7 ##### ....# ...#. ..#.. ..#.. ..#.. ..#..",
    "8 .###. #...# #...# .###. #...# #...# .###.",
    "9 .###. #...# #...# .#### ....# ...#. .##..",
    "A .###. #...# #...# ##### #...# #...# #...#",
    "B ####. #...# #...# ####. #...# #...# ####.",
    "C .###. #...# #.... #.... #.... #...# .###.",
    "D ####. #...# #...# #...# #...# #...# ####.",
    "E ##### #.... #.... ####. #.... #.... #####",
    "F ##### #.... #.... ####. #.... #.... #....",
    "G .###. #...# #.... #.### #...# #...# .###.",
    "H #...# #...# #...# ##### #...# #...# #...#",
    "I ### .#. .#. .#. .#. .#. ###",
    "J ..### ...#. ...#. ...#. ...#. #..#. .##..",
    "K #...# #..#. #.#.. ##... #.#.. #..#. #...#",
    "L #.... #.... #.... #.... #.... #.... #####",
    "M #...# ##.## #.#.# #.#.# #...# #...# #...#",
    "N #...# ##..# #.#.# #.#.# #..## #...# #...#",
    "O ##### #...# #...# #...# #...# #...# #####",
    "P ####. #...# #...# ####. #.... #.... #....",
    "Q .###. #...# #...# #...# #.#.# #..#. .##.#",
    "R ####. #...# #...# ####. #.#.. #..#. #...#",
    "S .#### #.... #.... .###. ....# ....# ####.",
    "T ##### ..#.. ..#.. ..#.. ..#.. ..#.. ..#..",
    "U #...# #...# #...# #...# #...# #...# .###.",
    "V #...# #...# #...# #...# .#.#. .#.#. ..#..",
    "W #...# #...# #...# #.#.# #.#.# ##.## #...#",
    "X #...# .#.#. .#.#. ..#.. .#.#. .#.#. #...#",
    "Y #...# #...# .#.#. ..#.. ..#.. ..#.. ..#..",
    "Z ##### ....# ...#. ..#.. .#... #.... #####",
    "# .#.#. .#.#. ##### .#.#. ##### .#.#. .#.#.",
    "? .###. #...# ....# ..##. ..#.. ..... ..#..",
    ". .. .. .. .. .. ## ##",
    "- .... .... .... #### .... .... ....",
    "/ ....# ....# ...#. ..#.. .#... #.... #....",
    "n ..... ..... #.##. ##..# #...# #...# #...#",
    "o ..... ..... .###. #...# #...# #...# .###.",
    "r .... .... #.## ##.. #... #... #...",
    "e ..... ..... .###. #...# ##### #.... .###.",
    "t .#.. .#.. #### .#.. .#.. .#.. ..##",
)

NARROW = GLYPHS | _glyphs(
    "0 .##. #..# #..# #..# #..# #..# .##.",
    "1 .#. ##. .#. .#. .#. .#. ###",
    "2 .##. #..# ...# ..#. .#.. #... ####",
    "3 ###. ...# ...# .##. ...# ...# ###.",
    "4 ..#. .##. #.#. #.#. #### ..#. ..#.",
    "5 #### #... ###. ...# ...# #..# .##.",
    "6 .##. #... #... ###. #..# #..# .##.",
    "7 #### ...# ..#. ..#. .#.. .#.. .#..",
    "8 .##. #..# #..# .##. #..# #..# .##.",
    "9 .##. #..# #..# .### ...# ...# .##.",
    "A .##. #..# #..# #### #..# #..# #..#",
    "B ###. #..# #..# ###. #..# #..# ###.",
    "C .##. #..# #... #... #... #..# .##.",
    "D ###. #..# #..# #..# #..# #..# ###.",
    "E #### #... #... ###. #... #... ####",
    "F #### #... #... ###. #... #... #...",
    "G .##. #..# #... #.## #..# #..# .##.",
    "H #..# #..# #..# #### #..# #..# #..#",
    "J ..## ...# ...# ...# ...# #..# .##.",
    "K #..# #.#. ##.. ##.. #.#. #.#. #..#",
    "L #... #... #... #... #... #... ####",
    "N #..# ##.# ##.# #.## #.## #..# #..#",
    "O #### #..# #..# #..# #..# #..# ####",
    "P ###. #..# #..# ###. #... #... #...",
    "Q .##. #..# #..# #..# #..# #.## .###",
    "R ###. #..# #..# ###. #.#. #.#. #..#",
    "S .### #... #... .##. ...# ...# ###.",
    "T ### .#. .#. .#. .#. .#. .#.",
    "U #..# #..# #..# #..# #..# #..# .##.",
    "V #..# #..# #..# #..# #..# .##. .##.",
    "X #..# #..# .##. .##. .##. #..# #..#",
    "Y #.# #.# #.# .#. .#. .#. .#.",
    "Z #### ...# ..#. ..#. .#.. #... ####",
    "? .##. #..# ...# ..#. .#.. .... .#..",
    ". . . . . . # #",
    "- ... ... ... ### ... ... ...",
    "n .... .... ###. #..# #..# #..# #..#",
    "o .... .... .##. #..# #..# #..# .##.",
    "r ... ... #.# ##. #.. #.. #..",
    "e .... .... .##. #..# #### #... .##.",
    "t .#. .#. ### .#. .#. .#. .##",
)


@dataclass(frozen=True, slots=True)
class Big:
    lines: tuple[str, ...]
    """All equally long."""
    size: Size

    @property
    def wide(self) -> int:
        """Columns."""
        return len(self.lines[0])


def _dots(text: str, glyphs: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    """Seven rows of '#' and '.', signs one dot apart; a space is two dots more."""
    rows = list(_BLANK)
    for i, sign in enumerate(text):
        glyph = ("..",) * _DOTS if sign == " " else glyphs[sign]
        gap = "." if i else ""
        rows = [row + gap + dots for row, dots in zip(rows, glyph, strict=True)]
    return tuple(rows)


def draw(text: str, size: Size) -> Big:
    """`text` (digits, capitals, "#", ".", "?", "-", "/", "no ret", spaces) in the given size."""
    if size == "plain":
        return Big((text,), size)
    dots = _dots(text, NARROW if "narrow" in size else GLYPHS)
    if size.startswith("full"):
        return Big(tuple("".join("██" if d == "#" else "  " for d in row) for row in dots), size)
    if size == "quarter":
        return Big(_quarters(dots), size)
    pairs = [(dots[i], dots[i + 1] if i + 1 < _DOTS else "." * len(dots[i])) for i in range(0, _DOTS, 2)]
    block = {("#", "#"): "█", ("#", "."): "▀", (".", "#"): "▄", (".", "."): " "}
    return Big(tuple("".join(block[p] for p in zip(*pair, strict=True)) for pair in pairs), size)


def _quarters(dots: tuple[str, ...]) -> tuple[str, ...]:
    """Two by two dots a sign."""
    wide = len(dots[0]) + len(dots[0]) % 2
    rows = [row.ljust(wide, ".") for row in (*dots, "")]
    return tuple(
        "".join(
            _QUARTERS[sum(bit for bit, dot in zip((1, 2, 4, 8), above[x : x + 2] + below[x : x + 2], strict=True)
                          if dot == "#")]
            for x in range(0, wide, 2)
        )
        for above, below in zip(rows[::2], rows[1::2], strict=True)
    )  # fmt: skip


def fit(text: str, columns: int, rows: int) -> Big:
    """The largest drawing of `text` in the room given; plain letters where no drawing fits."""
    for size in SIZES:
        if HIGH[size] <= rows and (big := draw(text, size)).wide <= columns:
            return big
    return draw(text, "plain")
