"""The strip: each key in its place, its state told by shape alone."""

from __future__ import annotations

import pytest
from scripted import asked, sheet_of, took

from handsfree.nouns import Plan, PlanSet, Quantity, Went
from handsfree.reckoning.compass import KEYS, is_sharp
from handsfree.screen.compass import PLACE
from handsfree.screen.strip import Mark, columns_a_natural, marks, strip
from handsfree.screen.styled import plain

BOTH = frozenset({Quantity.DOWN, Quantity.UP})

FACTS = (
    PlanSet(Plan("every key", (40, 41, 42, 43, 44))),
    *took(40, "52", "28"),
    *took(41, "53"),
    *asked(42, "91", "D four, ninety one down?").facts,
    Went(43),
)


def test_88_keys_are_52_naturals_and_36_sharps() -> None:
    # the standard keyboard of 88 keys, common practice, no source
    sharps = [key for key in KEYS if is_sharp(key)]
    assert (len(KEYS), len(sharps)) == (88, 36)
    assert len(set(PLACE.values())) == 88


def test_marks() -> None:
    state = marks(sheet_of(FACTS), BOTH)
    assert [state[key] for key in (40, 41, 42, 43, 60)] == [Mark.DONE, Mark.PART, Mark.OPEN, Mark.DUE, Mark.NONE]
    assert len({mark.sign for mark in Mark}) == len(Mark)


def test_narrow_strip() -> None:
    marker, sharps, naturals, octaves = plain(strip(sheet_of(FACTS), BOTH, 60).lines)
    # C4 is natural number 23 from the left, counting from 0: A0, B0, then three octaves of seven
    assert naturals[23:26] == "▊?○"
    assert sharps[23:25] == "▄○"
    assert marker.rstrip() == " " * 24 + "▼"
    assert octaves.startswith("A0")
    assert octaves[23:25] == "C4"


@pytest.mark.parametrize(("columns", "each"), [(0, 0), (52, 0), (53, 1), (104, 1), (105, 2), (200, 3)])
def test_width_follows_the_room(columns: int, each: int) -> None:
    assert columns_a_natural(columns) == each
    drawn = strip(sheet_of(FACTS), BOTH, columns)
    assert drawn.columns == each
    assert all(len(row) <= columns for row in plain(drawn.lines))


def test_legend_only_where_there_is_room() -> None:
    assert "to settle" not in "".join(plain(strip(sheet_of(()), BOTH, 77).lines))
    with_legend = "".join(plain(strip(sheet_of(()), BOTH, 78).lines))
    assert all(mark.word in with_legend for mark in Mark)
