"""The running screen, driven by messages and keys: what it shows is read from its widgets and cells."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from decimal import Decimal
from queue import SimpleQueue

import pytest
from scripted import FULL, ScriptedSession, asked, sheet_of, taken, took
from textual.events import Paste
from textual.pilot import Pilot
from textual.widgets import ContentSwitcher

from handsfree.errors import NoModel
from handsfree.measured import measured
from handsfree.nouns import (
    Alternative,
    Asked,
    Context,
    Doubt,
    EarChanged,
    Earcon,
    EarEvent,
    EarState,
    Heard,
    Level,
    Partial,
    Plan,
    PlanSet,
    Proposal,
    PutOff,
    Quantity,
    Question,
    Sheet,
    Standing,
    Took,
    Went,
)
from handsfree.reckoning.results import Figures
from handsfree.reckoning.summary import figures
from handsfree.screen.app import HandsfreeApp
from handsfree.screen.messages import EarSaid
from handsfree.screen.ports import Look
from handsfree.screen.table import ReadingsTable
from handsfree.screen.themes import DARK, LIGHT
from handsfree.screen.typed_line import TypedLine
from handsfree.screen.views import Drawn, Page


class Ears:
    """A listener fed by the test."""

    def __init__(self, *first: EarEvent) -> None:
        self.queue: SimpleQueue[EarEvent | Exception | None] = SimpleQueue()
        for event in first:
            self.queue.put(event)
        self.calls: list[str] = []
        self.hearing = False

    def events(self) -> Iterator[EarEvent]:
        while (event := self.queue.get()) is not None:
            if isinstance(event, Exception):
                raise event
            yield event

    def close_ears(self) -> None:
        self.calls.append("closed")

    def open_ears(self) -> None:
        self.calls.append("open")

    def mute(self, on: bool) -> None:
        self.queue.put(EarChanged(EarState.MUTED if on else EarState.LISTENING))

    def close(self) -> None:
        self.queue.put(None)


class Loudspeaker:
    """Writes down what it would play."""

    def __init__(self) -> None:
        self.trouble = ""
        self.played: list[Earcon | str] = []
        self.spoken = threading.Event()

    def say(self, text: str) -> None:
        self.played.append(text)
        self.spoken.set()

    def earcon(self, which: Earcon) -> None:
        self.played.append(which)

    def stop(self) -> None: ...


def heard(text: str, context: Context = Context.TOUCH) -> Heard:
    return Heard((Alternative(text, 0.93),), context)


def text(app: HandsfreeApp, where: str) -> str:
    return app.query_one(where, Drawn).text


def row(app: HandsfreeApp, key: int) -> list[str]:
    return [cell.plain.strip() for cell in app.query_one(ReadingsTable).get_row(str(key))]


async def type_line(pilot: Pilot[int], line: str) -> None:
    typed = pilot.app.query_one(TypedLine)
    typed.value = line
    await pilot.press("enter")
    await pilot.pause()


async def wait_for(pilot: Pilot[int], what: str, where: str) -> None:
    """Messages of a thread take a moment."""
    for _ in range(100):
        if what in pilot.app.query_one(where, Drawn).text:
            return
        await pilot.pause(0.02)
    raise AssertionError(f"{what!r} not in {pilot.app.query_one(where, Drawn).text!r}")


async def heard_by(pilot: Pilot[int], loudspeaker: Loudspeaker, *sounds: Earcon | str) -> None:
    """These were played last."""
    for _ in range(100):
        if tuple(loudspeaker.played[-len(sounds) :]) == sounds:
            return
        await pilot.pause(0.02)
    raise AssertionError(f"{sounds} not the end of {loudspeaker.played}")


# ------------------------------------------------------------ by keyboard


async def test_a_typed_reading_stands_in_its_row(session: ScriptedSession) -> None:
    app = HandsfreeApp(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"c4", "space", *"52", "space", *"28", "enter")
        await pilot.pause()
        assert session.said == ["c4 52 28"]
        assert row(app, 40) == ["40", "C4", "52", "28", "12", "40", "taken"]
        assert app.query_one(TypedLine).value == ""
        assert text(app, "#now").startswith("NOW")
        assert text(app, "#last").startswith("TAKEN")
        assert text(app, "#progress") == "1 key"


async def test_what_is_typed_before_the_sentence_is_kept_stays(session: ScriptedSession) -> None:
    app = HandsfreeApp(session)
    async with app.run_test() as pilot:
        typed = app.query_one(TypedLine)
        typed.value = "c4 52 28"
        await typed.action_submit()
        typed.value = "52."
        await pilot.pause()
        assert session.said == ["c4 52 28"]
        assert typed.value == "52."
        typed.value = "a4 50 20"
        await typed.action_submit()
        typed.value = "52."
        await pilot.pause()
        assert "a4 50 20" in text(app, "#heard")
        assert typed.value == "52."


async def test_pasted_lines_become_one(session: ScriptedSession) -> None:
    app = HandsfreeApp(session)
    async with app.run_test() as pilot:
        app.query_one(TypedLine).post_message(Paste("c4\n52 28\n"))
        await pilot.pause()
        assert app.query_one(TypedLine).value == "c4 52 28"


async def test_an_empty_line_is_nothing(session: ScriptedSession) -> None:
    app = HandsfreeApp(session)
    async with app.run_test() as pilot:
        await type_line(pilot, "   ")
        assert session.said == []


async def test_only_the_row_that_changed_is_touched(
    session: ScriptedSession, monkeypatch: pytest.MonkeyPatch
) -> None:
    app = HandsfreeApp(session)
    async with app.run_test() as pilot:
        await type_line(pilot, "c4 52 28")
        touched: list[tuple[str, str]] = []
        table = app.query_one(ReadingsTable)
        monkeypatch.setattr(table, "update_cell", lambda key, column, value: touched.append((key, column)))
        monkeypatch.setattr(table, "add_row", lambda *cells, key: touched.append((key, "new")))
        monkeypatch.setattr(table, "sort", lambda *columns, key: None)
        await type_line(pilot, "52.5")
        assert touched == [("41", "new")]


async def test_a_question_stands_big_until_it_is_answered(session: ScriptedSession) -> None:
    app = HandsfreeApp(session)
    async with app.run_test() as pilot:
        await type_line(pilot, "c5 91")
        assert text(app, "#last").startswith("ASKING")
        assert "C five, ninety one down?" in text(app, "#tool")
        assert Doubt.RANGE.value in text(app, "#tool")
        assert row(app, 52)[2] == "91?"


async def test_what_cannot_be_kept_is_said_and_the_line_stays(session: ScriptedSession) -> None:
    app = HandsfreeApp(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await type_line(pilot, "a4 50 20")
        assert "Not kept" in text(app, "#trouble")
        assert "Make room" in text(app, "#trouble").replace("\n  ", " ")
        assert app.query_one("#trouble").display
        assert app.query_one(TypedLine).value == "a4 50 20"
        assert app.query_one(ReadingsTable).row_count == 0
        await type_line(pilot, "c4 52 28")
        assert not app.query_one("#trouble").display
        assert row(app, 40)[2] == "52"


async def test_the_row_read_last_stays_in_view_when_a_trouble_takes_room(session: ScriptedSession) -> None:
    facts = [fact for key in range(1, 40) for fact in took(key, "52", "28")]
    script = {"c4 52 28": taken(40, "52", "28", go=41), "a4 50 20": FULL}
    app = HandsfreeApp(ScriptedSession(script, facts))
    async with app.run_test(size=(80, 24)) as pilot:
        await type_line(pilot, "c4 52 28")
        await type_line(pilot, "a4 50 20")
        await pilot.pause()
        table = app.query_one(ReadingsTable)
        index = table.get_row_index("40")
        assert table.scroll_offset.y <= index < table.scroll_offset.y + table.size.height - 1
        assert "Nothing was taken" in text(app, "#tool")


async def test_stand_by_by_key_and_back(session: ScriptedSession) -> None:
    ears = Ears(EarChanged(EarState.LISTENING))
    app = HandsfreeApp(session, ears)
    async with app.run_test() as pilot:
        await pilot.press("f5")
        await wait_for(pilot, "STANDING BY", "#state")
        await pilot.press("f5")
        await wait_for(pilot, "LISTENING", "#state")
        assert session.said == ["stand by", "go ahead"]


async def test_a_loss_is_heard_and_nothing_taken_is_left_standing_big(session: ScriptedSession) -> None:
    loudspeaker = Loudspeaker()
    app = HandsfreeApp(session, speaker=loudspeaker)
    async with app.run_test(size=(80, 24)) as pilot:
        await type_line(pilot, "c4 52 28")
        assert text(app, "#last").startswith("TAKEN")
        await type_line(pilot, "a4 50 20")
        assert text(app, "#last") == "NOT KEPT: SAY IT AGAIN"
        await heard_by(pilot, loudspeaker, Earcon.REFUSED, "Not kept. Look at the screen.")
        await type_line(pilot, "52.5")
        assert text(app, "#last").startswith("TAKEN")


async def test_a_microphone_that_goes_and_comes_back_is_heard(session: ScriptedSession) -> None:
    ears, loudspeaker = Ears(EarChanged(EarState.LISTENING)), Loudspeaker()
    app = HandsfreeApp(session, ears, loudspeaker)
    async with app.run_test() as pilot:
        ears.queue.put(EarChanged(EarState.NO_MICROPHONE, "The microphone is gone."))
        await heard_by(pilot, loudspeaker, Earcon.REFUSED, "No microphone.")
        ears.queue.put(EarChanged(EarState.LISTENING))
        await heard_by(pilot, loudspeaker, Earcon.ACCEPTED, "Listening again.")


async def test_a_missing_loudspeaker_is_told_once(session: ScriptedSession) -> None:
    loudspeaker = Loudspeaker()
    app = HandsfreeApp(session, speaker=loudspeaker)
    async with app.run_test(size=(80, 24)) as pilot:
        loudspeaker.trouble = "no output device"
        await type_line(pilot, "c4 52 28")
        assert text(app, "#trouble") == "! No loudspeaker (no output device): questions stand here alone."
        await type_line(pilot, "52.5")
        assert not app.query_one("#trouble").display


async def test_settle_list() -> None:
    question = Question((Proposal(20, Quantity.DOWN, took(20, "91")[0].value, 0.6),), Doubt.RANGE, "?")
    app = HandsfreeApp(ScriptedSession({}, (Asked(question), PutOff(1), Went(21))))
    async with app.run_test(size=(80, 24)):
        assert text(app, "#settle") == "to settle  E2 91 down?"
        assert "1 to settle" in text(app, "#progress")
        assert text(app, "#state").strip() == "! NO MICROPHONE"


async def test_a_sitting_taken_up_again_shows_all_its_rows() -> None:
    start = (PlanSet(Plan("every key", tuple(range(1, 89)))), *took(40, "52", "28"), *took(3, "55", "30"), Went(41))
    app = HandsfreeApp(ScriptedSession({}, start))
    async with app.run_test():
        table = app.query_one(ReadingsTable)
        assert [r.value for r in table.rows] == ["3", "40"]
        assert text(app, "#progress") == "every key 2 of 88"
        assert "next C one" in text(app, "#tool")


async def test_swings_get_a_column_of_their_own_and_nothing_is_cut() -> None:
    swings = Took(40, Quantity.SWINGS, Decimal("6.5"), Standing.TAKEN, 0.9)
    app = HandsfreeApp(ScriptedSession({}, (*took(40, "52", "28"), swings)))
    async with app.run_test(size=(80, 24)):
        assert row(app, 40) == ["40", "C4", "52", "28", "12", "40", "6.5", "taken"]
        table = app.query_one(ReadingsTable)
        assert table.virtual_size.width <= table.size.width


# ------------------------------------------------------------ by ear


async def test_ears_fill_the_table_and_the_lines(session: ScriptedSession) -> None:
    ears = Ears(EarChanged(EarState.LISTENING), Level(-20.0))
    app = HandsfreeApp(session, ears)
    async with app.run_test(size=(100, 30)) as pilot:
        await wait_for(pilot, "LISTENING", "#state")
        await wait_for(pilot, "█", "#meter")
        ears.queue.put(EarChanged(EarState.HEARING))
        ears.queue.put(Partial("c4 fifty"))
        await wait_for(pilot, "HEARING", "#state")
        await wait_for(pilot, "c4 fifty …", "#heard")
        ears.queue.put(heard("c4 52 28"))
        await wait_for(pilot, "93% sure", "#heard")
        assert row(app, 40)[-1] == "taken"


async def test_the_words_are_those_of_the_key_that_was_taken() -> None:
    """By ear F was likelier, by plan it was A; to show F beside A would look like a mistake."""
    both = (Alternative("f four fifty", 0.6), Alternative("a four fifty", 0.4))
    app = HandsfreeApp(ScriptedSession({"f four fifty": taken(49, "50")}), Ears(Heard(both, Context.TOUCH)))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_for(pilot, "a four fifty   97% sure", "#heard")


async def test_no_microphone_says_what_to_do_and_typing_goes_on(session: ScriptedSession) -> None:
    message = "The microphone is gone. Plug it in again, or type"
    ears = Ears(EarChanged(EarState.NO_MICROPHONE, message))
    app = HandsfreeApp(session, ears)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_for(pilot, "NO MICROPHONE", "#state")
        assert message in text(app, "#trouble")
        await type_line(pilot, "c4 52 28")
        assert row(app, 40)[2] == "52"
        ears.queue.put(EarChanged(EarState.LISTENING))
        await wait_for(pilot, "LISTENING", "#state")
        assert not app.query_one("#trouble").display


async def test_no_model_and_worse_leave_the_keyboard(session: ScriptedSession) -> None:
    for trouble, part in (
        (NoModel("there is no model", do="Install it."), "Install it."),
        (RuntimeError("decoder"), "Type the readings"),
    ):
        ears = Ears()
        app = HandsfreeApp(session, ears)
        async with app.run_test(size=(100, 24)) as pilot:
            ears.queue.put(trouble)
            await wait_for(pilot, part, "#trouble")
            await type_line(pilot, "c4 52 28")
            assert row(app, 40)[2] == "52"


async def test_what_was_heard_and_not_kept_is_shown(session: ScriptedSession) -> None:
    ears = Ears(heard("a4 50 20"))
    app = HandsfreeApp(session, ears)
    async with app.run_test() as pilot:
        await wait_for(pilot, "Not kept", "#trouble")
        assert "a4 50 20" in text(app, "#heard")


async def test_mute_by_key(session: ScriptedSession) -> None:
    ears = Ears(EarChanged(EarState.LISTENING))
    app = HandsfreeApp(session, ears)
    async with app.run_test() as pilot:
        await wait_for(pilot, "LISTENING", "#state")
        await pilot.press("f4")
        await wait_for(pilot, "MUTED", "#state")
        await pilot.press("f4")
        await wait_for(pilot, "LISTENING", "#state")


async def test_counting(session: ScriptedSession, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ScriptedSession, "context", Context.SWINGS)
    app = HandsfreeApp(session, Ears(EarChanged(EarState.HEARING)))
    async with app.run_test() as pilot:
        await wait_for(pilot, "COUNTING", "#state")


async def test_lines_are_voiced_with_the_ears_closed(session: ScriptedSession) -> None:
    ears, loudspeaker = Ears(EarChanged(EarState.LISTENING)), Loudspeaker()
    app = HandsfreeApp(session, ears, loudspeaker)
    async with app.run_test() as pilot:
        assert loudspeaker.spoken.wait(2)  # the greeting
        loudspeaker.spoken.clear()
        await type_line(pilot, "c5 91")
        assert loudspeaker.spoken.wait(2)
        await pilot.pause(0.05)
        assert loudspeaker.played[-2:] == [Earcon.QUESTION, "C five, ninety one down?"]
        assert ears.calls == ["closed", "open"] * 3


# ------------------------------------------------------------ how it looks


async def test_light_and_dark(session: ScriptedSession) -> None:
    app = HandsfreeApp(session, look=Look(dark=False))
    async with app.run_test() as pilot:
        assert app.theme == LIGHT
        await pilot.press("f3")
        assert app.theme == DARK


async def test_it_follows_a_resize(session: ScriptedSession) -> None:
    app = HandsfreeApp(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await type_line(pilot, "c4 52 28")
        small = app.query_one("#last").size
        for columns, rows in ((200, 50), (60, 15), (80, 24), (120, 36)):
            await pilot.resize_terminal(columns, rows)
            await pilot.pause()
            table = app.query_one(ReadingsTable)
            assert app.query_one("#now").region.bottom <= rows
            assert table.size.height >= 2, (columns, rows)
            # header and the last row are inside what is shown
            assert table.region.bottom <= rows - 2
        assert app.query_one("#last").size.width > small.width


@pytest.mark.parametrize("size", [(80, 24), (60, 15), (200, 50)])
async def test_the_last_row_and_the_current_key_show(size: tuple[int, int]) -> None:
    facts = [fact for key in range(1, 60) for fact in took(key, "52", "28")]
    app = HandsfreeApp(ScriptedSession({"x": taken(60, "51.5", "27.5", go=61)}, facts))
    async with app.run_test(size=size) as pilot:
        await type_line(pilot, "x")
        await pilot.pause()
        table = app.query_one(ReadingsTable)
        index = table.get_row_index("60")
        assert table.scroll_offset.y <= index < table.scroll_offset.y + table.size.height - 1
        assert table.cursor_row == index
        assert "NOW" in text(app, "#now")


async def test_help_and_figures_and_back(session: ScriptedSession) -> None:
    def worked_out(sheet: Sheet) -> Figures:
        return figures(measured(sheet))

    app = HandsfreeApp(session, look=Look(figures=worked_out))
    async with app.run_test(size=(80, 24)) as pilot:
        panes = app.query_one("#panes", ContentSwitcher)
        await pilot.press("f2")
        await pilot.pause()
        assert panes.current == "figures"
        assert app.query_one("#figures", Page).text.startswith("No figures yet")
        await type_line(pilot, "c4 52 28")
        assert app.query_one("#figures", Page).text.startswith("C4: fine")
        await pilot.press("f1")
        assert panes.current == "help"
        assert "disregard" in app.query_one("#help", Page).text
        await pilot.press("escape")
        assert panes.current == "readings"


async def test_quit(session: ScriptedSession) -> None:
    app = HandsfreeApp(session)
    async with app.run_test() as pilot:
        await pilot.press("ctrl+q")
        await pilot.pause()
    assert app.return_value == 0


async def test_messages_are_enough(session: ScriptedSession) -> None:
    """A thread needs nothing but post_message."""
    app = HandsfreeApp(session)
    async with app.run_test() as pilot:
        app.post_message(EarSaid(heard("c4 52 28")))
        await pilot.pause()
        assert row(app, 40)[2] == "52"


async def test_a_silence_changes_nothing(session: ScriptedSession) -> None:
    app = HandsfreeApp(session)
    async with app.run_test() as pilot:
        await type_line(pilot, "c5 91")
        before = text(app, "#tool"), text(app, "#last")
        app.post_message(EarSaid(heard("")))
        await pilot.pause()
        assert (text(app, "#tool"), text(app, "#last")) == before


def test_asked_helper_is_a_question() -> None:
    assert sheet_of(asked(40, "91", "?").facts).asking is not None


async def test_the_end_of_a_recording_is_no_missing_microphone(session: ScriptedSession) -> None:
    ears = Ears()
    app = HandsfreeApp(session, ears)
    async with app.run_test() as pilot:
        ears.queue.put(None)
        await wait_for(pilot, "ENDED", "#state")
        assert "Ctrl+Q quits" in text(app, "#trouble")
