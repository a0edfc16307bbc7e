"""A count under way on the screen: the number follows the voice, and gives way to what became of it."""

from __future__ import annotations

import time
from decimal import Decimal
from statistics import median

import pytest
from scripted import ScriptedSession, sheet_of, taken, took

from handsfree.nouns import Context, EarState, Partial, Pass, PassSet, Quantity, Standing, Took, Went
from handsfree.screen.app import HandsfreeApp
from handsfree.screen.messages import EarSaid
from handsfree.screen.spotlight import Spot, counting, last
from handsfree.screen.state import state_word
from handsfree.screen.styled import Role
from handsfree.screen.views import SpotView

COUNT = (Took(49, Quantity.SWINGS, Decimal(7), Standing.TAKEN, 0.9),)
FACTS = (*took(49, "52", "28"), PassSet(Pass.SWINGS), Went(49))


@pytest.mark.parametrize(
    ("partial", "big"),
    [
        ("one two three", "3"),
        ("a four one two", "A4 2"),
        ("seven", "7"),
        ("one two again", "0"),
        ("twenty twenty one", "21"),
    ],
)
def test_the_number_so_far_stands_big(partial: str, big: str) -> None:
    spot = counting(Context.SWINGS, partial)
    assert spot is not None
    assert (spot.word, spot.big) == ("counting", big)


@pytest.mark.parametrize("partial", ["", "a four", "next", "[unk]", "stand by"])
def test_what_is_no_count_leaves_the_last_reading(partial: str) -> None:
    assert counting(Context.SWINGS, partial) is None


def test_nobody_counts_in_the_touch_pass() -> None:
    assert counting(Context.TOUCH, "one two three") is None


def test_the_swing_pass_shows_swings_not_weights() -> None:
    assert last(sheet_of(FACTS), None) == Spot("", "", "", Role.FAINT)
    assert last(sheet_of((*FACTS, *COUNT)), None) == Spot("taken", "A4", "7", Role.GOOD)
    assert last(sheet_of(FACTS[:2]), None).big == "A4 52 28"


def test_a_question_about_a_count_is_asking() -> None:
    assert state_word(EarState.LISTENING, Context.SWINGS_ANSWER) == "asking"
    assert state_word(EarState.HEARING, Context.SWINGS) == "counting"


async def test_each_number_is_on_the_screen_within_150_ms_of_its_text() -> None:
    session = ScriptedSession({"x": taken(49, "52", "28")}, FACTS)
    app = HandsfreeApp(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        view, words, times = app.query_one("#last", SpotView), "one two three four five six seven".split(), []
        shown = []
        for count in range(1, 8):
            began = time.perf_counter()
            app.post_message(EarSaid(Partial(" ".join(words[:count]))))
            await pilot.pause()
            times.append(time.perf_counter() - began)
            shown.append(view.text)
        assert len(set(shown)) == 7
        assert all("COUNTING" in one for one in shown)
        assert median(times) < 0.15
        app.post_message(EarSaid(Partial("")))
        await pilot.pause()
        assert "COUNTING" not in view.text
