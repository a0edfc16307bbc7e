"""The page of remarks, on a real session and journal of an invented instrument: by keyboard alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Input

from handsfree.errors import NoModel
from handsfree.journal.store import Journal
from handsfree.nouns import Alternative, Context, Earcon, Heard, Pass, Remark, Utterance
from handsfree.remarks import Remarks
from handsfree.screen.app import HandsfreeApp
from handsfree.screen.ports import Look
from handsfree.screen.remarks_page import Desk, remarks_lines
from handsfree.screen.styled import plain, width
from handsfree.screen.views import Drawn, Page
from handsfree.session import Session

PCM = (b"\x10\x00\xf0\xff" * 8000)[:16000]
AT = "2031-03-14T11:00:00.000+01:00"


def heard(text: str, context: Context) -> Heard:
    return Heard((Alternative(text, 1.0),), context, utterance=Utterance(PCM, 16000, 0.0, 0.4))


@dataclass
class Loud:
    """A loudspeaker that remembers."""

    played: list[tuple[bytes, int]] = field(default_factory=list)

    trouble = ""

    def say(self, text: str) -> None: ...

    def earcon(self, which: Earcon) -> None: ...

    def play(self, pcm: bytes, rate: int) -> None:
        self.played.append((pcm, rate))

    def stop(self) -> None: ...


class Machine(Remarks):
    """Remarks whose general model hears what it is told to."""

    def words_by_machine(self, number: int) -> str:
        if "broken" in self.general_model:
            raise NoModel("that is no model", do="Name another one.")
        return f"words of {number}"


@dataclass
class Stage:
    session: Session
    app: HandsfreeApp
    loud: Loud

    @property
    def remarks(self) -> tuple[Remark, ...]:
        return self.session.walk.remarks

    @property
    def page(self) -> str:
        return self.app.query_one("#remarks", Page).text

    @property
    def trouble(self) -> str:
        return self.app.query_one("#trouble", Drawn).text


Opened = Callable[..., Stage]


@pytest.fixture
def opened(tmp_path: Path) -> Iterator[Opened]:
    """Hammers grooved (2) with a spoken remark (5); lid cracked (6); a typed remark of the lid (8)."""
    with Journal.open(tmp_path / "j", "Made-up grand", keep_clips=False) as journal:
        session = Session(journal)
        session.set_pass(Pass.WALKTHROUGH)
        session.typed("hammers grooved three")
        session.typed("remark")
        session.hear(heard("[unk]", Context.REMARK))
        session.typed("lid cracked two")
        session.typed("remark along the hinge")

        def stage(model: str = "") -> Stage:
            desk = Machine(lambda: session.walk, session.write_down, journal.clips_folder, model)
            loud = Loud()
            look = Look("Made-up grand", walk=lambda: session.walk, remarks=desk)
            return Stage(session, HandsfreeApp(session, speaker=loud, look=look), loud)

        yield stage


async def type_in(pilot: Any, text: str) -> None:
    pilot.app.query_one("#typed", Input).value = text
    await pilot.press("enter")
    await pilot.pause()


async def test_they_are_listed_and_one_is_written_down(opened: Opened) -> None:
    stage = opened()
    async with stage.app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f6")
        assert "2 remarks, 1 not written down" in stage.page
        assert "hammers, grooved" in stage.page
        assert "(sound only)" in stage.page
        await pilot.press("up")
        typed = stage.app.query_one("#typed", Input)
        assert typed.placeholder == f"type what remark {stage.remarks[0].n} says, then Enter"
        await type_in(pilot, "rough <b>crowns</b>")
        assert (stage.remarks[0].text, stage.remarks[0].by) == ("rough <b>crowns</b>", "keyboard")
        assert "rough <b>crowns</b>" in stage.page
        assert typed.value == ""
        await pilot.press("escape")
        assert stage.app.query_one("#walk", Page).display
        await type_in(pilot, "dampers good")
        assert [i.finding.part for i in stage.session.walk.stands][-1] == "dampers"


async def test_one_is_put_elsewhere_by_choosing_and_by_name(opened: Opened) -> None:
    stage = opened()
    async with stage.app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f6", "f8", "down", "enter")
        await pilot.pause()
        placed = stage.remarks[1]
        assert (placed.part, placed.item) == ("hammers", stage.session.walk.stands[0].n)
        await pilot.press("f8")
        await type_in(pilot, "no such part")
        assert "No part is called" in stage.trouble
        await type_in(pilot, "wrest pins")
        assert (stage.remarks[1].part, stage.remarks[1].item) == ("tuning pins", None)
        assert not stage.trouble
        await pilot.press("f8", "down", "down", "escape")
        assert stage.remarks[1].part == "tuning pins", "Esc leaves it where it is"
        assert stage.app.query_one("#remarks", Page).display


async def test_one_is_played_and_one_without_sound_says_so(opened: Opened) -> None:
    stage = opened()
    async with stage.app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f6", "f7")
        assert "has no sound" in stage.trouble
        await pilot.press("up", "f7")
        while not stage.loud.played:
            await pilot.pause(0.01)
        assert stage.loud.played == [(PCM, 16000)]
        assert not stage.trouble


async def test_a_machine_writes_down_and_is_marked(opened: Opened) -> None:
    stage = opened("general")
    async with stage.app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f6", "f9")
        assert "written down already" in stage.trouble
        await pilot.press("up", "f9")
        while not stage.remarks[0].text:
            await pilot.pause(0.01)
        assert (stage.remarks[0].text, stage.remarks[0].by) == (f"words of {stage.remarks[0].n}", "machine")
        await pilot.pause()
        assert "(by machine, not checked)" in stage.page
        await type_in(pilot, "by hand")
        assert (stage.remarks[0].text, stage.remarks[0].by) == ("by hand", "keyboard")


async def test_a_model_that_is_none_is_a_line_not_a_crash(opened: Opened) -> None:
    stage = opened("broken")
    async with stage.app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f6", "up", "f9")
        while "that is no model" not in stage.trouble:
            await pilot.pause(0.01)
        assert stage.remarks[0].text == ""


async def test_the_keys_are_offered_only_where_they_do_something(opened: Opened) -> None:
    stage = opened()
    async with stage.app.run_test(size=(80, 24)) as pilot:
        assert not stage.app.check_action("remark_play", ())
        await pilot.press("f6")
        assert stage.app.check_action("remark_play", ())
        assert not stage.app.check_action("remark_machine", ())  # no general model is set
        before = stage.app.theme
        await pilot.press("f3")
        assert stage.app.theme == before


async def test_what_is_said_meanwhile_goes_on(opened: Opened) -> None:
    stage = opened()
    async with stage.app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f6")
        stage.app.take_typed("remark new one")
        await pilot.pause()
        assert "3 remarks" in stage.page


@pytest.mark.parametrize("columns", [20, 40, 80, 200])
@pytest.mark.parametrize("placing", [False, True])
def test_no_line_is_wider_than_the_screen(opened: Opened, columns: int, placing: bool) -> None:
    stage = opened()
    stage.session.typed("remark " + "long " * 100 + "x" * 10)
    lines = remarks_lines(Desk(placing=placing), stage.session.walk, columns)
    assert all(width(line) <= columns for line in lines)
    assert placing or "long" in "\n".join(plain(lines))


def test_an_empty_page_says_how() -> None:
    from handsfree.nouns import Walk

    assert "Say “remark”" in "\n".join(plain(remarks_lines(Desk(), Walk(), 80)))
    assert Desk().moved(1, Walk()) == Desk()
