"""Updating never waits: one more reading on a full sheet is shown in milliseconds."""

from __future__ import annotations

import time
from collections.abc import Callable
from statistics import median

from scripted import ScriptedSession, sheet_of, taken, took

from handsfree.nouns import Fact, Plan, PlanSet, Quantity
from handsfree.screen.app import HandsfreeApp
from handsfree.screen.curve import curve
from handsfree.screen.rows import rows
from handsfree.screen.strip import strip

WANTED = frozenset({Quantity.DOWN, Quantity.UP})
FULL: list[Fact] = [PlanSet(Plan("every key", tuple(range(1, 89))))]
for _key in range(1, 89):
    FULL += took(_key, "52.5", "28")


def seconds(what: Callable[[], object]) -> float:
    """Median of nine: other work on the machine is not what is measured."""
    times = []
    for _ in range(9):
        began = time.perf_counter()
        what()
        times.append(time.perf_counter() - began)
    return median(times)


def test_the_pure_part_of_a_full_sheet() -> None:
    sheet = sheet_of(FULL)
    assert seconds(lambda: (rows(sheet), strip(sheet, WANTED, 120), curve(sheet, 120, 30))) < 0.05


async def test_a_reading_on_a_full_sheet() -> None:
    script = {str(i): taken(44, f"5{i}.5", "28") for i in range(9)}
    app = HandsfreeApp(ScriptedSession(script, FULL))
    async with app.run_test(size=(200, 50)) as pilot:
        await pilot.pause()
        said = iter(script)
        assert seconds(lambda: app.take_typed(next(said))) < 0.1
