"""The curve: each value is read back from its braille dots; the dots are named by the Unicode character database."""

from __future__ import annotations

import unicodedata
from decimal import Decimal

import pytest
from scripted import asked, sheet_of, took

from handsfree.screen.compass import KEY_AT, NATURALS
from handsfree.screen.curve import AXIS, curve, top_of
from handsfree.screen.styled import plain

# Unicode Standard, block Braille Patterns: dots 1 2 3 7 run down the left, 4 5 6 8 down the right
PLACE_OF_DOT = {
    "1": (0, 0),
    "2": (1, 0),
    "3": (2, 0),
    "7": (3, 0),
    "4": (0, 1),
    "5": (1, 1),
    "6": (2, 1),
    "8": (3, 1),
}


def dots_of(lines: list[str]) -> set[tuple[int, int]]:
    """(x from the left edge of the plot, y from the ground) of every dot of the plot."""
    plot = [row[AXIS:] for row in lines[1:-1]]
    found: set[tuple[int, int]] = set()
    for row, text in enumerate(plot):
        for column, sign in enumerate(text):
            name = unicodedata.name(sign)
            if name.startswith("BRAILLE PATTERN DOTS-"):
                for dot in name.removeprefix("BRAILLE PATTERN DOTS-"):
                    down, right = PLACE_OF_DOT[dot]
                    found.add((column * 2 + right, len(plot) * 4 - 1 - (row * 4 + down)))
    return found


def test_values_can_be_read_back_to_a_dot() -> None:
    facts = [fact for i, key in enumerate(range(1, 89)) for fact in took(key, str(56 - i // 10), str(31 - i // 10))]
    rows, high = 22, 80
    found = dots_of(plain(curve(sheet_of(facts), AXIS + NATURALS + 1, rows + 2)))
    for x in range(2 * NATURALS - 1):
        if (key := KEY_AT.get(x)) is None:
            continue
        column = sorted(y for at, y in found if at == x)
        i = key - 1
        down, up, friction = 56 - i // 10, 31 - i // 10, Decimal("12.5")
        gram = rows * 4 / high
        assert int(down * gram) in column, key
        assert int(up * gram) in column, key
        bar = [y for y in column if y < int(up * gram)]
        assert bar == list(range(int(friction * Decimal(gram)) + 1)), key


def test_a_value_in_question_is_not_drawn() -> None:
    assert not dots_of(plain(curve(sheet_of(asked(40, "91", "?").facts), 80, 12)))


def test_a_key_that_does_not_return_has_a_down_and_no_bar() -> None:
    found = dots_of(plain(curve(sheet_of(took(40, "60", "no return")), 80, 12)))
    assert found
    assert min(y for _, y in found) > 0


@pytest.mark.parametrize(("values", "top"), [([], 80), ([52], 80), ([80], 100), ([119], 120)])
def test_the_axis_is_above_every_value(values: list[int], top: int) -> None:
    assert top_of([Decimal(v) for v in values]) == top


@pytest.mark.parametrize("columns", [25, 27, 40, 57, 109, 160])
@pytest.mark.parametrize("rows", [4, 5, 9, 30])
def test_it_keeps_to_its_room(columns: int, rows: int) -> None:
    facts = [fact for key in range(1, 89) for fact in took(key, "52.5", "28")]
    lines = plain(curve(sheet_of(facts), columns, rows))
    assert len(lines) == rows
    assert all(len(row) <= columns for row in lines), [len(row) for row in lines]
    assert lines[1].startswith(" 80 ┤")
    assert lines[-2].startswith("  0 ┤")


def test_too_little_room_draws_nothing() -> None:
    assert curve(sheet_of(()), 20, 10) == []
    assert curve(sheet_of(()), 80, 3) == []
