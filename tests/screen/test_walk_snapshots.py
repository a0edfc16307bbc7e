"""Whole screens of a walkthrough and of its remarks as pictures: an invented instrument. See test_snapshots.py."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.nouns import Alternative, Context, Heard, Pass
from handsfree.remarks import Remarks
from handsfree.screen.app import HandsfreeApp
from handsfree.screen.ports import Look
from handsfree.session import Session

SNAPSHOT = Callable[..., bool]
SAID = ("grand", "temperature 21", "humidity 34", "case scratch bass cheek one", "hammers grooved three",
        "remark: rough at the crowns, see the picture", "hard bass two", "dampers good", "soundboard not looked at",
        "wrest plank cracked four", "remark")  # fmt: skip


def app(dark: bool, *more: str) -> HandsfreeApp:
    session = Session(MemoryJournal())
    session.set_pass(Pass.WALKTHROUGH)
    for text in SAID:
        session.typed(text)
    session.hear(Heard((Alternative("[unk]", 1.0),), Context.REMARK))
    for text in more:
        session.typed(text)
    remarks = Remarks(lambda: session.walk, session.write_down, Path("clips"), "general")
    look = Look("Made-up grand", dark=dark, walk=lambda: session.walk, remarks=remarks)
    return HandsfreeApp(session, look=look)


def presses(*keys: str) -> Callable[[Any], Any]:
    async def run(pilot: Any) -> None:
        for key in keys:
            await pilot.press(key)
            await pilot.pause()
        await pilot.pause()

    return run


@pytest.mark.parametrize(
    ("dark", "size", "more", "keys"),
    [
        (True, (80, 24), ("lead me", "good"), ()),
        (False, (80, 24), ("repetition springs good four",), ()),
        (True, (200, 50), ("hammer flanges tight four",), ()),
        (True, (80, 24), (), ("f6",)),
        (False, (200, 50), (), ("f6", "f8", "down")),
    ],
    ids=["led-dark-80x24", "asking-light-80x24", "taken-dark-200x50", "remarks-dark-80x24", "placing-light-200x50"],
)
def test_walkthrough(
    snap_compare: SNAPSHOT, dark: bool, size: tuple[int, int], more: tuple[str, ...], keys: tuple[str, ...]
) -> None:
    assert snap_compare(app(dark, *more), terminal_size=size, run_before=presses(*keys))
