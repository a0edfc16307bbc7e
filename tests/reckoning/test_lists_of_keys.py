"""Keys in a sentence: none is left out without being counted."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.reckoning.compass import KEYS, key_of, listed


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ([], ""),
        ([40], "C4"),
        ([40, 41], "C4, C#4"),
        ([40, 41, 42], "C4 to D4"),
        ([1, 2, 3, 5, 8, 9], "A0 to B0, C#1, E1, F1"),
        (list(KEYS), "A0 to C8"),
        ([49, 40], "A4, C4"),
    ],
)
def test_three_in_a_row_are_their_ends(keys: list[int], said: str) -> None:
    # A0 is key 1, C4 key 40, A4 key 49, C8 key 88: usual numbering, ISO 16's A4 (from memory)
    assert listed(keys) == said


def test_the_rest_is_counted() -> None:
    sharps_apart = [*range(2, 40, 3), 50, 51, 52, 53]
    assert listed(sharps_apart, most=12).endswith(" and 5 more")


@given(st.sets(st.sampled_from(KEYS)).map(sorted), st.integers(0, 20))
def test_every_key_is_named_or_counted(keys: list[int], most: int) -> None:
    said = listed(keys, most)
    found = re.fullmatch(r"(.*?)(?: and (\d+) more)?", said)
    assert found is not None
    named = 0
    for one in filter(None, found[1].split(", ")):
        ends = [key_of(name) for name in one.split(" to ")]
        named += (ends[-1] or 0) - (ends[0] or 0) + 1
    assert named + int(found[2] or 0) == len(keys)
