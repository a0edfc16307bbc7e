"""The "to settle" list: nothing open is silently left out."""

from __future__ import annotations

import pytest
from scripted import ScriptedSession, asked, sheet_of

from handsfree.nouns import Doubt, Fact, PutOff, Sheet
from handsfree.screen.app import HandsfreeApp
from handsfree.screen.settle import settle_lines
from handsfree.screen.styled import plain


def waiting(*keys: int) -> Sheet:
    facts: list[Fact] = []
    for key in keys:
        facts.append(asked(key, "91", "?", Doubt.RANGE).facts[0])
        facts.append(PutOff(len(facts)))
    return sheet_of(facts)


def test_nothing_open_nothing_shown() -> None:
    assert settle_lines(sheet_of(()), 80, 3) == []


def test_the_question_of_the_moment_is_not_in_the_list() -> None:
    assert settle_lines(sheet_of(asked(40, "91", "?").facts), 80, 3) == []


def test_one_line() -> None:
    assert plain(settle_lines(waiting(40, 52), 80, 1)) == ["to settle  C4 91 down?  ·  C5 91 down?"]


def test_one_short_line_counts_what_is_cut() -> None:
    (row,) = plain(settle_lines(waiting(40, 52, 60), 30, 1))
    assert row.startswith("to settle  3: C4 91 down?")
    assert row.endswith("…")
    assert len(row) == 30


def test_a_line_each_with_its_reason() -> None:
    lines = plain(settle_lines(waiting(40, 52), 80, 6))
    assert [row.split("   ")[-1] for row in lines] == [Doubt.RANGE.value] * 2


def test_more_than_fit_are_counted() -> None:
    assert plain(settle_lines(waiting(*range(1, 11)), 80, 4))[-1].strip() == "and 7 more"


@pytest.mark.parametrize("size", [(200, 50), (80, 40)])
async def test_all_that_wait_are_seen_from_the_start(size: tuple[int, int]) -> None:
    facts = [asked(20, "91", "E two?").facts[0], PutOff(1), asked(22, "92", "F sharp two?").facts[0], PutOff(3)]
    app = HandsfreeApp(ScriptedSession({}, facts))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert app.query_one("#settle").size.height == 2
