"""The terminal: takes in what ears and keyboard bring, hands it to the session, shows and voices what comes of it.

It decides nothing about meaning. One thread listens, one speaks; both only post messages or empty a queue, so neither
the loudspeaker nor the microphone ever holds up the screen.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.driver import Driver
from textual.widgets import Footer

from handsfree.errors import HandsfreeError
from handsfree.nouns import Context, EarChanged, EarState, Level, NewSitting, Outcome, Partial, Turn
from handsfree.screen.board import METER, READINGS, REMARKS, Board
from handsfree.screen.glance import Glance, as_taken, last_of
from handsfree.screen.messages import EarSaid, EarsEnded
from handsfree.screen.mouth import NOT_KEPT, Mouth, Sound, audible, sound_of, sound_of_ears
from handsfree.screen.ports import ListenerPort, Look, SessionPort, SpeakerPort
from handsfree.screen.remarks_app import REMARK_KEYS, RemarksApp
from handsfree.screen.remarks_keys import RemarksKeys
from handsfree.screen.remarks_page import invitation
from handsfree.screen.said import Last
from handsfree.screen.state import bar_cells
from handsfree.screen.svg import tidy
from handsfree.screen.terminal import own_terminal
from handsfree.screen.themes import DARK, LIGHT, theme
from handsfree.screen.typed_line import TypedLine

NEW_SITTING = -1
"""What `run` returns instead of an exit code when a new sitting was asked for."""
INVITATION = "type what you would say, then Enter"


class HandsfreeApp(RemarksApp):
    """The screen of one sitting."""

    TITLE = "handsfree"
    CSS_PATH = "app.tcss"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = [(0, "-cramped"), (76, "-narrow"), (116, "-wide")]  # noqa: RUF012
    VERTICAL_BREAKPOINTS = [(0, "-shortest"), (16, "-short"), (22, "-normal"), (36, "-tall")]  # noqa: RUF012
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "pane('help')", "Help", priority=True),
        Binding("f2", "pane('figures')", "Figures", priority=True),
        Binding("f3", "light_or_dark", "Light/dark", priority=True),
        Binding("f4", "mute", "Mute", priority=True),
        Binding("f5", "stand_by", "Stand by", priority=True),
        *REMARK_KEYS,
        Binding("ctrl+n", "new_sitting", show=False, priority=True),
        Binding("ctrl+q", "quit", "Quit", priority=True),
        Binding("pageup", "page(-1)", show=False, priority=True),
        Binding("pagedown", "page(1)", show=False, priority=True),
        Binding("escape", "leave", show=False, priority=True),
    ]

    def __init__(
        self,
        session: SessionPort,
        listener: ListenerPort | None = None,
        speaker: SpeakerPort | None = None,
        look: Look | None = None,
        driver: type[Driver] | None = None,
    ) -> None:
        super().__init__(driver_class=driver)
        self._session = session
        self._listener = listener
        self._speaker = speaker
        self._silent = ""
        self._mouth = Mouth(speaker, listener) if speaker else None
        self._look = look or Look()
        self._new_sitting_asked = False
        for name in (DARK, LIGHT):
            self.register_theme(theme(name))
        self.theme = DARK if self._look.dark else LIGHT
        if self._look.remarks and self._look.walk:
            self._remarks = RemarksKeys(self._look.remarks, self._look.walk)
        self._glance = Glance(EarChanged(EarState.LISTENING if listener else EarState.NO_MICROPHONE))

    @property
    def level(self) -> Level | None:
        """The last that the ears reported."""
        return self._glance.level

    # ------------------------------------------------------------ what it is made of

    def compose(self) -> ComposeResult:
        yield Board(self._look)
        typed = TypedLine(placeholder=INVITATION, id="typed", compact=True)
        typed.cursor_blink = False
        yield typed
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        self.query_one(TypedLine).focus()
        if self._listener is not None:
            self._listen(self._listener)
        if self._mouth is not None:
            self._voice(self._mouth)
        self._greet()

    def _greet(self) -> None:
        greeting = self._session.greeting()
        asked = greeting.outcome is Outcome.ASKED
        self._glance = replace(self._glance, turn=greeting if asked else None, opening=greeting.line)
        self._show_all(self._session.sheet.place)
        self._say(greeting)

    def on_unmount(self) -> None:
        if self._mouth is not None:
            self._mouth.stop()
        if self._listener is not None:
            self._listener.close()

    # ------------------------------------------------------------ threads: they only post

    @work(thread=True, group="ears", exit_on_error=False)
    def _listen(self, listener: ListenerPort) -> None:
        lit = -1
        why = ""
        try:
            for event in listener.events():
                if isinstance(event, Level):
                    # many blocks a second, few of which change the bar
                    if (cells := bar_cells(event, METER)) == lit:
                        continue
                    lit = cells
                self.post_message(EarSaid(event))
        except HandsfreeError as trouble:
            why = str(trouble)
        except Exception as trouble:
            # a fault of the ears must not take the table away from someone whose hands are full
            why = f"Listening stopped: {trouble!r}. Type the readings, or quit and start again: all is kept"
        self.post_message(EarsEnded(why))

    @work(thread=True, group="mouth", exit_on_error=False)
    def _voice(self, mouth: Mouth) -> None:
        mouth.run()

    # ------------------------------------------------------------ what comes in

    @on(EarSaid)
    def _ear_said(self, message: EarSaid) -> None:
        event = message.event
        if isinstance(event, Level):
            self._glance = replace(self._glance, level=event)
            self._board.show_level(self._glance)
        elif isinstance(event, Partial):
            self._glance = replace(self._glance, partial=event.text)
            self._show_lines()
        elif isinstance(event, EarChanged):
            self._sound(sound_of_ears(self._glance.ear.state, event.state, self._look.voiced))
            gone = event.state in (EarState.NO_MICROPHONE, EarState.MUTED)  # nothing will come of half a sentence
            self._glance = replace(self._glance, ear=event, partial="" if gone else self._glance.partial)
            self._show_state()
            self._show_lines()
        else:
            self._glance = replace(self._glance, partial="")
            self._take(lambda: self._session.hear(event), last_of(event))

    @on(EarsEnded)
    def _ears_ended(self, message: EarsEnded) -> None:
        why = message.why or "The sound has ended. The keyboard works; Ctrl+Q quits."
        ear = EarChanged(EarState.NO_MICROPHONE, why)
        if message.why:
            self._sound(sound_of_ears(self._glance.ear.state, ear.state, self._look.voiced))
        self._glance = replace(self._glance, ear=ear, ended=not message.why, level=None, partial="")
        self._show_state()
        self._show_lines()

    @on(TypedLine.Submitted, "#typed")
    def _submitted(self, message: TypedLine.Submitted) -> None:
        text = message.value.strip()
        if self.at_remarks:
            done = self._remarks is not None and self._remarks.entered(text)
            self.show_remarks()
        else:
            done = not text or self.take_typed(text)
        if not done:
            self.query_one(TypedLine).give_back(message.value)

    def take_typed(self, text: str) -> bool:
        """As if `text` had been typed and Enter pressed; False if it could not be kept."""
        return self._take(lambda: self._session.typed(text), Last(text, "keyboard", 1.0))

    def _take(self, turn_of: Callable[[], Turn], said: Last) -> bool:
        """Hands one thing said to the session; False, and a line that says so, if it could not be kept."""
        self._new_sitting_asked = False
        try:
            turn = turn_of()
        except HandsfreeError as trouble:
            untaken = "Nothing was taken."
            self._glance = replace(
                self._glance, last=said, turn=None, opening=untaken, lost=True, trouble=f"Not kept: {trouble}"
            )
            self._sound(audible(NOT_KEPT, self._look.voiced))
            self._show_all(None)
            return False
        if turn.outcome is Outcome.IGNORED and not said.text:
            return True
        if isinstance(turn.said, NewSitting) and turn.outcome is Outcome.TAKEN:
            self.exit(NEW_SITTING)
            return True
        said = as_taken(said, turn)
        self._glance = replace(self._glance, last=said, turn=turn, lost=False, trouble=self._lasting())
        self._say(turn)  # whoever looks elsewhere waits for the tone
        self._show_all(turn.key)
        return True

    def _lasting(self) -> str:
        """A trouble that lasts, in one line."""
        lasting = self._look.watch() if self._look.watch else ""
        return lasting or self._unheard()

    def _unheard(self) -> str:
        """That nothing is heard of us, told once: the screen shows all of it."""
        silent = self._speaker.trouble if self._speaker is not None else ""
        before, self._silent = self._silent, silent
        return f"No loudspeaker ({silent}): questions stand here alone." if silent and silent != before else ""

    def _say(self, turn: Turn) -> None:
        self._sound(sound_of(turn, self._look.voiced))

    def _sound(self, sound: Sound | None) -> None:
        if self._mouth is not None and sound is not None:
            self._mouth.put(sound)

    # ------------------------------------------------------------ what is shown

    @property
    def _board(self) -> Board:
        return self.query_one(Board)

    def _show_all(self, latest: int | None) -> None:
        self._board.show_all(self._session.sheet, self._session.context, self._glance, latest)
        if self.at_remarks:
            self.show_remarks()

    def _show_state(self) -> None:
        self._board.show_state(self._session.context, self._glance)

    def _show_lines(self) -> None:
        self._board.show_lines(self._session.context, self._glance)

    # ------------------------------------------------------------ keys

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Only what makes sense now is offered: muting where there are ears, remarks where there can be any."""
        if action.startswith("remark_"):
            return self.remark_offered(action)
        if action == "new_sitting":
            return self._look.new_sitting
        if action == "mute":
            return self._listener is not None
        if action == "pane" and parameters == (REMARKS,):
            return self._remarks is not None
        other = action in ("light_or_dark", "stand_by") or parameters == ("figures",)
        return not (self.at_remarks and other)  # the page's own keys need the room

    def action_pane(self, wanted: str) -> None:
        self._turn_to(READINGS if self._board.pane == wanted else wanted)

    def action_leave(self) -> None:
        if self.at_remarks and self._remarks is not None and self._remarks.leave():
            self.show_remarks()
        elif self._board.pane != READINGS:
            self._turn_to(READINGS)
        else:
            self.query_one(TypedLine).clear()

    def _turn_to(self, pane: str) -> None:
        self._board.turn_to(pane)
        self.show_remarks()

    # ------------------------------------------------------------ remarks

    @property
    def at_remarks(self) -> bool:
        return self._remarks is not None and self.is_running and self._board.pane == REMARKS

    def show_remarks(self) -> None:
        walk = self._look.walk() if self._look.walk else None
        here = self._remarks if self.at_remarks else None
        if here is not None and walk is not None:
            self._board.show_remarks(here.desk, walk)
        trouble = here.trouble if here is not None else ""
        self._glance = replace(self._glance, trouble=trouble or self._lasting())
        self._board.show_lines(self._session.context, self._glance)
        typed = self.query_one(TypedLine)
        typed.placeholder = invitation(here.desk, walk) if here is not None and walk is not None else INVITATION
        self.refresh_bindings()

    def action_page(self, way: int) -> None:
        self._board.page(way)

    def action_light_or_dark(self) -> None:
        self.theme = LIGHT if self.theme == DARK else DARK

    def action_mute(self) -> None:
        if self._listener is not None:
            self._listener.mute(self._glance.ear.state is not EarState.MUTED)

    def action_stand_by(self) -> None:
        self.take_typed("go ahead" if self._session.context is Context.STANDING_BY else "stand by")

    def action_new_sitting(self) -> None:
        """Asked for twice, since a sitting that was left is not gone on with."""
        if self._new_sitting_asked:
            self.exit(NEW_SITTING)
            return
        read = bool(self._session.sheet.entries or (self._look.walk and self._look.walk().items))
        self._new_sitting_asked = read
        told = "This sitting is still empty: go on in it."
        if read:
            walk = self._look.walk().questions if self._look.walk else ()
            open_ones = len(self._session.sheet.questions) + len(walk)
            waits = f" {open_ones} to settle will stay unsettled." if open_ones else ""
            told = f"Ctrl+N once more: a new sitting at this instrument; this one stays as it is.{waits}"
        self._glance = replace(self._glance, trouble=told)
        self._show_lines()

    def export_screenshot(self, *, title: str | None = None, simplify: bool = False) -> str:
        """The screen as SVG, the same for the same screen, whole without a network."""
        return tidy(super().export_screenshot(title=title, simplify=simplify))

    async def action_quit(self) -> None:
        self.exit(0)


def run(
    session: SessionPort,
    listener: ListenerPort | None = None,
    speaker: SpeakerPort | None = None,
    look: Look | None = None,
) -> int:
    """Opens the screen and returns when the person quits: the exit code of the command, or NEW_SITTING."""
    with own_terminal() as terminal:
        app = HandsfreeApp(session, listener, speaker, look, terminal.driver)
        result = app.run()
        terminal.broke = bool(app.return_code)
    return result if result is not None else app.return_code or 0
