"""Coming back to a sitting, and beginning the next one: what the screen says, and what becomes of it."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
import scripted
from scripted import ScriptedSession, taken, took

from handsfree import screen_command
from handsfree.cli import build_parser
from handsfree.journal.memory import MemoryJournal
from handsfree.journal.reader import JournalReader
from handsfree.journal.sheet import fold
from handsfree.nouns import Context
from handsfree.screen import app
from handsfree.screen.app import NEW_SITTING, HandsfreeApp
from handsfree.screen.ports import Look, SessionPort
from handsfree.screen.said import heard_line
from handsfree.screen.styled import plain
from handsfree.screen.views import Drawn, Grown
from handsfree.session import Session

MAY = Look(title="parlour grand", new_sitting=True)


def test_what_is_gone_on_with_stands_until_something_is_said() -> None:
    assert plain([heard_line(None, "", Context.TOUCH, opened="no. 2")]) == ["sitting    no. 2"]
    assert plain([heard_line(None, "c four", Context.TOUCH, opened="no. 2")]) == ["hearing    c four …"]


async def test_the_instrument_is_named_on_a_small_terminal() -> None:
    shown = HandsfreeApp(ScriptedSession({}), look=MAY)
    async with shown.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert shown.query_one("#title", Drawn).text == "parlour grand"


async def test_twice_begins_a_new_sitting() -> None:
    shown = HandsfreeApp(ScriptedSession({}, took(40, "52", "28")), look=MAY)
    async with shown.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+n")
        await pilot.pause()
        assert "once more" in shown.query_one("#trouble", Grown).text
        assert shown.is_running
        await pilot.press("ctrl+n")
        await pilot.pause()
    assert shown.return_value == NEW_SITTING


async def test_what_still_waits_is_named_first() -> None:
    shown = HandsfreeApp(ScriptedSession({}, scripted.asked(40, "91", "C four, ninety one down?").facts), look=MAY)
    async with shown.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+n")
        await pilot.pause()
        assert "1 to settle will stay unsettled" in " ".join(shown.query_one("#trouble", Grown).text.split())


async def test_a_reading_in_between_takes_the_question_back() -> None:
    shown = HandsfreeApp(ScriptedSession({"c5 50 28": taken(52, "50", "28")}, took(40, "52", "28")), look=MAY)
    async with shown.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+n")
        await pilot.press(*"c5", "space", *"50", "space", *"28", "enter")
        await pilot.pause()
        assert "once more" not in shown.query_one("#trouble", Grown).text
        await pilot.press("ctrl+n")
        await pilot.pause()
        assert shown.is_running


async def test_twice_aloud_begins_one_too() -> None:
    session = Session(MemoryJournal(), renewable=True)
    session.typed("c4 52 28")
    shown = HandsfreeApp(session, look=MAY)
    async with shown.run_test(size=(80, 24)) as pilot:
        shown.take_typed("new sitting")
        await pilot.pause()
        assert "once more" in shown.query_one("#tool", Drawn).text
        shown.take_typed("new sitting")
        await pilot.pause()
    assert shown.return_value == NEW_SITTING


@pytest.mark.parametrize(("look", "told"), [(MAY, "still empty"), (Look(), "")])
async def test_an_empty_sitting_is_gone_on_with_and_a_recording_has_one(look: Look, told: str) -> None:
    shown = HandsfreeApp(ScriptedSession({}), look=look)
    async with shown.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+n", "ctrl+n")
        await pilot.pause()
        assert told in shown.query_one("#trouble", Grown).text
        assert shown.is_running


class Technician:
    """Stands in for the person at the screen: what is typed in each sitting, and how it is left."""

    def __init__(self, *sittings: tuple[list[str], int]) -> None:
        self.sittings = list(sittings)
        self.seen: list[Look] = []
        self.greeted: list[str] = []

    def __call__(self, session: SessionPort, _listener: object, _speaker: object, look: Look) -> int:
        self.seen.append(look)
        self.greeted.append(session.greeting().line)
        texts, left = self.sittings.pop(0)
        for text in texts:
            session.typed(text)
        return left


@contextmanager
def nothing(*_: object, **__: object) -> Iterator[tuple[None, None]]:
    yield None, None


class NoEars:
    name = ""

    def listener(self, *_: object) -> None: ...


@contextmanager
def no_ears(_: object) -> Iterator[NoEars]:
    yield NoEars()


@pytest.fixture
def sit(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> tuple[Path, pytest.MonkeyPatch]:
    for name in ("stdin", "stdout"):
        monkeypatch.setattr(getattr(screen_command.sys, name), "isatty", lambda: True)
    monkeypatch.setattr(screen_command, "sound", nothing)
    monkeypatch.setattr(screen_command, "hearing", no_ears)
    return tmp_path / "pass.journal", monkeypatch


def asked(journal: Path, *options: str) -> argparse.Namespace:
    return build_parser().parse_args(["--journal", str(journal), *options])


def test_the_second_pass_has_the_plan_of_the_first(sit: tuple[Path, pytest.MonkeyPatch]) -> None:
    journal, patched = sit
    technician = Technician((["every key", "52 28", "51 27"], NEW_SITTING), (["50 29"], 0))
    patched.setattr(app, "run", technician)
    assert screen_command.run(asked(journal, "--instrument", "parlour grand")) == 0
    with JournalReader.read(journal) as reader:
        assert [s.instrument for s in reader.sittings()] == ["parlour grand", "parlour grand"]
        first, second = (fold(reader.facts(s.id)) for s in reader.sittings())
    assert [sorted({k for k, _ in sheet.standing}) for sheet in (first, second)] == [[1, 2], [1]]
    assert first.plan == second.plan
    assert technician.greeted[1] == "New sitting. Every key, from A zero."
    assert technician.seen[1].opened == "no. 2, a new one; what was measured before stays as it is"


def test_the_next_day_says_which_sitting_it_is(sit: tuple[Path, pytest.MonkeyPatch]) -> None:
    journal, patched = sit
    technician = Technician((["c4 52 28"], 0), ([], 0), ([], 0))
    patched.setattr(app, "run", technician)
    for name in ("parlour grand", "parlour grand", "parlor grand"):
        assert screen_command.run(asked(journal, "--instrument", name)) == 0
    fresh, next_day, slip = (look.opened for look in technician.seen)
    assert fresh == ""
    assert next_day.startswith("no. 1, begun 20")
    assert slip == "a new instrument, 'parlor grand'; this journal knows parlour grand"
