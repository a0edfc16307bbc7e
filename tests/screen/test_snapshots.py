"""A few whole screens as pictures; after a change that is meant run --snapshot-update, and look at the result."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from scripted import ScriptedSession, asked, taken, took

from handsfree.nouns import Fact, Plan, PlanSet, PutOff, Went
from handsfree.screen.app import HandsfreeApp
from handsfree.screen.ports import Look

SNAPSHOT = Callable[..., bool]


def half_way() -> ScriptedSession:
    """45 made-up keys, one question waiting, one key that does not return, one down without its up."""
    facts: list[Fact] = [PlanSet(Plan("every key", tuple(range(1, 89))))]
    for key in range(1, 46):
        up = "no return" if key == 9 else None if key == 30 else str(30 - key // 10)
        facts += took(key, f"{58 - key // 8}{'.5' if key % 3 else ''}", up)
    facts.append(asked(20, "91", "E two, ninety one down?").facts[0])
    facts += [PutOff(len(facts)), Went(46)]
    script = {"52.5 28.5": taken(46, "52.5", "28.5", go=47), "91": asked(47, "91", "G four, ninety one down?")}
    return ScriptedSession(script, facts)


def app(dark: bool) -> HandsfreeApp:
    return HandsfreeApp(half_way(), look=Look("Made-up grand", dark=dark))


def says(*lines: str) -> Callable[[Any], Any]:
    async def run(pilot: Any) -> None:
        for text in lines:
            pilot.app.take_typed(text)
            await pilot.pause()
        await pilot.pause()

    return run


@pytest.mark.parametrize(
    ("dark", "size", "lines"),
    [
        (True, (80, 24), ("52.5 28.5",)),
        (False, (80, 24), ("52.5 28.5", "91")),
        (True, (200, 50), ("52.5 28.5",)),
        (False, (120, 36), ("52.5 28.5", "91")),
    ],
    ids=["dark-80x24-taken", "light-80x24-asking", "dark-200x50-taken", "light-120x36-asking"],
)
def test_screen(snap_compare: SNAPSHOT, dark: bool, size: tuple[int, int], lines: tuple[str, ...]) -> None:
    assert snap_compare(app(dark), terminal_size=size, run_before=says(*lines))
