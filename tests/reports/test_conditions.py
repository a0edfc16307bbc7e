"""Which of two instruments is in the better condition: only what was graded in both says so."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from handsfree.nouns import Finding, Item, Standing, Walk
from handsfree.reports.conditions import compared, conditions

AT = "2031-03-14T11:00:00.000+00:00"
CALLED = ("Fernhall grand", "Parlour upright")
PARTS = ("hammers", "dampers", "lid", "soundboard", "tuning pins")


def walk(*graded: tuple[str, int | None], standing: Standing = Standing.TAKEN) -> Walk:
    items = (
        Item(n, Finding(part, "worn", "", grade), standing, 0.95, "", AT, None)
        for n, (part, grade) in enumerate(graded, 1)
    )
    return Walk(items=tuple(items))


def test_the_better_one_is_named_for_each_part() -> None:
    first = walk(("hammers", 2), ("hammers", 3), ("dampers", 1), ("lid", 2), ("soundboard", 0))
    second = walk(("hammers", 4), ("dampers", 1), ("lid", 1), ("soundboard", 1), ("tuning pins", None))
    assert list(compared((first, second), CALLED)) == [
        "Better in Fernhall grand, by grades: hammers (3 against 4).",
        "Better in Parlour upright, by grades: lid (1 against 2).",
        "Graded alike in both: 1 part.",
        "Graded in one only, so nothing is said of which is better: 1 part.",
    ]


def test_without_a_part_in_both_nothing_is_claimed() -> None:
    (said,) = compared((walk(("hammers", 2)), walk(("lid", 1))), CALLED)
    assert said == "No part was graded in both: which is in the better condition is not known."
    withdrawn = walk(("hammers", 4), standing=Standing.WITHDRAWN)
    assert list(compared((walk(("hammers", 2)), withdrawn), CALLED)) == [], "the table says that"
    assert conditions((Walk(), Walk()), CALLED) is None


GRADED = st.lists(st.tuples(st.sampled_from(PARTS), st.none() | st.integers(0, 5)), max_size=8)


@given(GRADED, GRADED)
def test_turned_round_it_says_the_same(one: list[tuple[str, int | None]], two: list[tuple[str, int | None]]) -> None:
    first, second = walk(*one), walk(*two)
    assert sorted(compared((first, second), CALLED)) == sorted(compared((second, first), CALLED[::-1]))
