"""The screen of the swing pass: what the table has room for, the beat of counts, and their curve. Made-up figures."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from scripted import sheet_of, took
from test_curve import dots_of
from test_snapshots import says

from handsfree.journal.memory import MemoryJournal
from handsfree.nouns import (
    Asked,
    Doubt,
    Fact,
    Outcome,
    Pass,
    PassSet,
    Proposal,
    Quantity,
    Question,
    Standing,
    Took,
    Turn,
    Went,
)
from handsfree.reckoning.results import Interval
from handsfree.screen.app import HandsfreeApp
from handsfree.screen.compass import KEY_AT, NATURALS
from handsfree.screen.curve import AXIS, curve
from handsfree.screen.ports import Look
from handsfree.screen.rows import rows
from handsfree.screen.spotlight import last
from handsfree.screen.styled import plain
from handsfree.screen.table import ReadingsTable, columns_of
from handsfree.session import Session
from handsfree.words.plans import plan_named

SNAPSHOT = Callable[..., bool]
SWINGING = PassSet(Pass.SWINGS)


def swings(key: int, count: str, beat: float | None = None) -> Took:
    return Took(key, Quantity.SWINGS, Decimal(count), Standing.TAKEN, 1.0, None, beat)


@pytest.mark.parametrize(("facts", "names"), [
    ([SWINGING, swings(49, "7", 0.6)], ["key", "note", "swings", "beat", "standing"]),
    ([*took(49, "52", "28"), SWINGING],
     ["key", "note", "down", "up", "friction", "swings", "beat", "standing"]),
])  # fmt: skip
def test_the_table_shows_what_is_counted(facts: list[Fact], names: list[str]) -> None:
    found = columns_of(rows(sheet_of(facts)).values(), counting=True)
    assert [name for name, _, _ in found] == names


def test_in_the_touch_pass_swings_stand_beside_the_weights() -> None:
    there = rows(sheet_of([*took(49, "52", "28"), swings(49, "7", 0.6)])).values()
    assert "swings" in [name for name, _, _ in columns_of(there, counting=False)]
    assert "beat" not in [name for name, _, _ in columns_of(there, counting=False)]


async def test_the_standing_of_a_count_in_question_is_not_cut_off() -> None:
    """At 80 columns, before any count stands."""
    journal = MemoryJournal()
    journal.append_unheard([*took(40, "52", "28"), SWINGING, Went(49)])
    seven = Proposal(49, Quantity.SWINGS, Decimal(7), 0.8)
    journal.append_unheard([Asked(Question((seven,), Doubt.UNSURE, "A four, seven swings?"))])
    pane = HandsfreeApp(Session(journal), look=Look("Made-up grand"))
    async with pane.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        table = pane.query_one(ReadingsTable)
        assert table.virtual_size.width <= table.size.width


TORQUES = {49: Interval(0.123, 0.354), 50: Interval(0.2, None)}


def test_torque_stands_only_where_there_is_room_and_a_hammer_weighed() -> None:
    sheet = sheet_of([*took(49, "52", "28"), swings(49, "7"), swings(50, "1")])
    there = rows(sheet, TORQUES)
    assert (there[49].torque, there[50].torque) == ("0.12–0.35", "≥0.20")
    for counting in (True, False):
        assert "torque" in [name for name, _, _ in columns_of(there.values(), counting=counting, wide=True)]
        assert "torque" not in [name for name, _, _ in columns_of(there.values(), counting=counting)]
        assert "torque" not in [name for name, _, _ in columns_of(rows(sheet).values(), counting=counting, wide=True)]


async def test_a_wider_terminal_brings_the_torque() -> None:
    journal = MemoryJournal()
    journal.append_unheard([*took(49, "52", "28"), swings(49, "7")])
    pane = HandsfreeApp(Session(journal), look=Look("Made-up grand", torques=lambda _: TORQUES))
    async with pane.run_test(size=(80, 24)) as pilot:
        table = pane.query_one(ReadingsTable)
        assert "torque" not in [column.value for column in table.columns]
        await pilot.resize_terminal(200, 50)
        await pilot.pause()
        assert "torque" in [column.value for column in table.columns]
        assert table.virtual_size.width <= table.size.width


@pytest.mark.parametrize(("beat", "shown"), [(0.6234, "0.62"), (None, "")])
def test_the_beat_stands_in_table_and_spotlight(beat: float | None, shown: str) -> None:
    sheet = sheet_of([SWINGING, swings(49, "7", beat)])
    assert rows(sheet)[49].beat == shown
    spot = last(sheet, Turn(Outcome.TAKEN, key=49))
    assert spot.word == (f"taken, beat {shown} s" if shown else "taken")
    assert last(sheet, None).word == spot.word


def test_counts_are_bars_that_can_be_read_back_to_a_dot() -> None:
    facts: list[Fact] = [SWINGING, *(swings(key, str(key % 10)) for key in range(1, 89))]
    high = 14 * 2 * 2  # 14 swings over 14 rows of four dots
    found = dots_of(plain(curve(sheet_of(facts), AXIS + NATURALS + 1, high // 4 + 2)))
    for x, key in KEY_AT.items():
        column = [y for at, y in found if at == x]
        assert max(column) == key % 10 * high // 14
        assert len(column) == max(column) + 1, "a bar stands on the ground"


def test_the_axis_grows_with_the_counts() -> None:
    lines = plain(curve(sheet_of([SWINGING, swings(40, "31")]), 80, 12))
    assert lines[0] == "⣿ swings"
    assert lines[1].startswith(" 32 ┤")


def app(dark: bool) -> HandsfreeApp:
    """A pass half way, counted aloud."""
    journal = MemoryJournal()
    journal.append_unheard([swings(key, str(4 + key * 3 % 7), 0.58 + key / 500) for key in range(1, 41)])
    session = Session(journal)
    session.set_pass(Pass.SWINGS)
    every_key = plan_named("every key")
    assert every_key is not None
    session.set_plan(every_key)
    return HandsfreeApp(session, look=Look("Made-up grand", dark=dark))


@pytest.mark.parametrize(("dark", "size"), [(True, (80, 24)), (False, (200, 50))], ids=["dark-80x24", "light-200x50"])
def test_swing_pass(snap_compare: SNAPSHOT, dark: bool, size: tuple[int, int]) -> None:
    run: Any = says("c sharp four seven")
    assert snap_compare(app(dark), terminal_size=size, run_before=run)
