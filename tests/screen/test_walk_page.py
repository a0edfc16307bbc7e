"""The walkthrough on the screen: a real session of an invented instrument, driven by the keyboard."""

from __future__ import annotations

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.nouns import Context, EarState, Pass
from handsfree.screen.app import HandsfreeApp
from handsfree.screen.numerals import fit
from handsfree.screen.ports import Look
from handsfree.screen.state import state_word
from handsfree.screen.styled import plain, width
from handsfree.screen.views import Drawn, Page, SpotView
from handsfree.screen.walk_page import walk_lines, walk_progress, walk_spot
from handsfree.session import Session
from handsfree.words import parts

SAID = ("grand", "hammers grooved three", "remark rough", "wrest plank cracked four", "dampers good",
        "soundboard not looked at", "humidity 45")  # fmt: skip


def session(*said: str) -> Session:
    made = Session(MemoryJournal())
    made.set_pass(Pass.WALKTHROUGH)
    for text in said:
        made.typed(text)
    return made


def shown(*said: str, columns: int = 80) -> list[str]:
    return plain(walk_lines(session(*said).walk, columns))


def test_findings_stand_with_grade_as_number_and_word() -> None:
    page = "\n".join(shown(*SAID))
    assert "3 worn           grooved   remark" in page
    assert "4 failing        cracked" in page
    assert "0 not looked at" in page
    assert "humidity 45 %" in page


def test_what_was_not_looked_at_stands_there_too() -> None:
    page = shown(*SAID)
    missing = " ".join(page[page.index("Not looked at") :])
    assert "soundboard" in missing
    assert "castors" in missing
    assert "hammers" not in missing.replace("hammer ", "")
    assert "bridle straps" not in missing  # it is a grand


def test_progress_counts_parts_of_this_kind() -> None:
    assert plain([walk_progress(session(*SAID).walk)]) == ["3 of 65 parts"]


def test_the_part_stands_big_and_an_open_question_until_it_is_answered() -> None:
    made = session("dampers good four")
    spot = walk_spot(made.walk, None)
    assert (spot.word, spot.big) == ("asking: dampers, good", "DAMPERS 4?")
    assert any("failing?" in one for one in plain(walk_lines(made.walk, 80)))
    turn = made.typed("one")
    spot = walk_spot(made.walk, turn)
    assert (spot.word, spot.big) == ("taken: dampers, good", "DAMPERS 1")
    turn = made.typed("next")
    spot = walk_spot(made.walk, turn)
    assert (spot.word, spot.big) == ("asked about now", "DAMPER FELTS")
    turn = made.typed("dampers")
    spot = walk_spot(made.walk, turn)
    assert (spot.word, spot.big) == ("asked about now: good, 1", "DAMPERS")


@pytest.mark.parametrize("part", parts.PARTS, ids=lambda part: part.name)
def test_every_part_stands_big_with_its_grade_on_a_terminal_of_80_columns(part: parts.Part) -> None:
    assert fit(f"{part.name.upper()} 3?", 78, 5).size != "plain"


@pytest.mark.parametrize("columns", [20, 40, 80, 200])
def test_no_line_is_wider_than_the_screen(columns: int) -> None:
    made = session(*SAID, "strings rusty C one to C two three", "place " + "x" * 300)
    assert all(width(line) <= columns for line in walk_lines(made.walk, columns))


def test_a_remark_is_recorded_and_the_screen_says_so() -> None:
    made = session("remark")
    assert state_word(EarState.LISTENING, made.context) == "recording"
    assert walk_spot(made.walk, None).big == "REMARK"
    in_one_breath = walk_spot(session("hammers").walk, None, "remark [unk] [unk]")
    assert in_one_breath.word.startswith("recording")
    assert state_word(EarState.LISTENING, Context.WALK_ANSWER) == "asking"


def test_a_remark_stands_where_its_part_has_no_finding() -> None:
    page = shown("remark moved in June", "castors loose", "remark rusty too", "disregard", "lid", "remark heavy",
                 "hammers grooved", "remark filed", "correction four")  # fmt: skip
    assert "  the instrument     remark: moved in June" in page
    assert not any("rusty too" in line for line in page)  # withdrawn
    assert "  lid                remark: heavy" in page
    assert any("4 failing" in line and line.endswith("remark") for line in page)


def test_which_kind_it_is_stands_big_while_that_is_asked() -> None:
    spot = walk_spot(session("lead me").walk, None)
    assert (spot.word, spot.big) == ("say which it is, or “next”", "GRAND/UPRIGHT?")
    assert fit(spot.big, 78, 5).size != "plain"


async def test_the_parts_take_the_place_of_the_keys_and_give_it_back() -> None:
    made = session()
    app = HandsfreeApp(made, look=Look("Made-up grand", walk=lambda: made.walk))
    async with app.run_test(size=(80, 24)) as pilot:
        app.take_typed("hammers grooved three")
        await pilot.pause()
        assert app.query_one("#walk", Page).display
        assert not app.query_one("#readings").display
        assert "grooved" in app.query_one("#walk", Page).text
        assert "HAMMERS" in app.query_one("#now", SpotView).text
        assert "1 of 76 parts" in app.query_one("#progress", Drawn).text
        await pilot.press("f1")
        assert app.query_one("#help").display
        await pilot.press("f1")
        assert app.query_one("#walk", Page).display
        app.take_typed("touch pass")
        await pilot.pause()
        assert app.query_one("#readings").display
        app.take_typed("walkthrough")
        await pilot.pause()
        assert app.query_one("#walk", Page).display
