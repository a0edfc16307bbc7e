"""The keys of the page of remarks, as the app's actions; what they do is remarks_keys.py's."""

from __future__ import annotations

from textual import on, work
from textual.app import App
from textual.binding import Binding, BindingType

from handsfree.screen.messages import MachineWrote
from handsfree.screen.mouth import Mouth
from handsfree.screen.remarks_keys import RemarksKeys

REMARK_KEYS: tuple[BindingType, ...] = (
    Binding("f6", "pane('remarks')", "Remarks", priority=True),
    Binding("f7", "remark_play", "Play", priority=True),
    Binding("f8", "remark_place", "Place", priority=True),
    Binding("f9", "remark_machine", "By machine", priority=True),
    Binding("up", "remark_move(-1)", show=False, priority=True),
    Binding("down", "remark_move(1)", show=False, priority=True),
)


class RemarksApp(App[int]):
    """What of the app belongs to that page."""

    _remarks: RemarksKeys | None = None
    _mouth: Mouth | None = None

    @property
    def at_remarks(self) -> bool:
        """Whether that page is looked at."""
        raise NotImplementedError

    def show_remarks(self) -> None:
        """Draws what changed on it."""
        raise NotImplementedError

    def remark_offered(self, action: str) -> bool:
        """Whether an action of this page makes sense now."""
        machine = self._remarks is not None and self._remarks.has_machine
        return self.at_remarks and (action != "remark_machine" or machine)

    def action_remark_move(self, way: int) -> None:
        if self._remarks is not None:
            self._remarks.move(way)
            self.show_remarks()

    def action_remark_place(self) -> None:
        if self._remarks is not None:
            self._remarks.place()
            self.show_remarks()

    def action_remark_play(self) -> None:
        if self._remarks is None:
            return
        sound = self._remarks.sound()
        if sound is not None and self._mouth is not None:
            self._mouth.put(sound)
        elif sound is not None:
            self._remarks.trouble = "There is no loudspeaker here."
        self.show_remarks()

    def action_remark_machine(self) -> None:
        if self._remarks is not None:
            if (number := self._remarks.for_machine()) is not None:
                self._write_by_machine(self._remarks, number)
            self.show_remarks()

    @work(thread=True, group="machine", exclusive=True, exit_on_error=False)
    def _write_by_machine(self, remarks: RemarksKeys, number: int) -> None:
        self.post_message(MachineWrote(number, *remarks.words_by_machine(number)))

    @on(MachineWrote)
    def _machine_wrote(self, message: MachineWrote) -> None:
        if self._remarks is not None:
            self._remarks.machine_wrote(message.number, message.words, message.trouble)
            self.show_remarks()
