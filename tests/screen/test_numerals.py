"""Big numerals: legible means that no two signs look alike, and that a real reading fits where it must."""

from __future__ import annotations

from itertools import combinations

import pytest

from handsfree.nouns import HIGHEST_KEY, LOWEST_KEY
from handsfree.reckoning.compass import note_name
from handsfree.screen.numerals import GLYPHS, HIGH, NARROW, SIZES, draw, fit

WIDEST = "F#4 100.5 88.5"


@pytest.mark.parametrize("glyphs", [GLYPHS, NARROW], ids=["usual", "narrow"])
def test_every_sign_is_seven_dots_high_and_even(glyphs: dict[str, tuple[str, ...]]) -> None:
    for sign, dots in glyphs.items():
        assert len(dots) == 7, sign
        assert len({len(row) for row in dots}) == 1, sign


@pytest.mark.parametrize("glyphs", [GLYPHS, NARROW], ids=["usual", "narrow"])
def test_no_two_signs_differ_by_less_than_two_dots(glyphs: dict[str, tuple[str, ...]]) -> None:
    for (a, left), (b, right) in combinations(glyphs.items(), 2):
        if len(left[0]) == len(right[0]):
            assert sum(x != y for x, y in zip("".join(left), "".join(right), strict=True)) >= 2, (a, b)


@pytest.mark.parametrize("size", SIZES)
def test_every_note_can_be_drawn_in_every_size(size: str) -> None:
    for key in range(LOWEST_KEY, HIGHEST_KEY + 1):
        big = draw(f"{note_name(key)} 52.5 no ret?", size)  # type: ignore[arg-type]
        assert len(big.lines) == HIGH[big.size]
        assert len({len(row) for row in big.lines}) == 1


def test_half_blocks_hold_two_dots_a_row() -> None:
    assert draw("1", "half").lines == (" ▄█  ", "▀ █  ", "  █  ", "▀▀▀▀▀")


def test_the_largest_that_fits_is_taken() -> None:
    assert fit("C4", 200, 10).size == "full"
    assert fit("C4", 19, 10).size == "full narrow"
    assert fit("C4", 200, 5).size == "half"
    assert fit("C4", 10, 5).size == "half narrow"
    assert fit("C4", 5, 5).size == "plain"
    assert fit("C4", 200, 3).size == "plain"


def test_a_sharp_with_two_half_grams_stands_big_at_80_columns() -> None:
    # 80 columns less the block of the current key (20) and the edges (2)
    assert fit("F#4 52.5 28.5", 58, 5).size == "half narrow"


def test_what_is_too_wide_is_still_there_as_letters() -> None:
    assert fit(WIDEST, 20, 5).lines == (WIDEST,)
