"""The keys of the page of remarks: choose one, hear it, write it down, let a machine do so, put it where it belongs.

It keeps what is chosen and hands everything that is to happen to the port; trouble comes back as one line.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from handsfree.errors import HandsfreeError
from handsfree.nouns import Walk
from handsfree.screen.mouth import Sound
from handsfree.screen.ports import RemarksPort
from handsfree.screen.remarks_page import Desk
from handsfree.words.remark_places import Place, for_machine, place_named


class RemarksKeys:
    def __init__(self, remarks: RemarksPort, walk: Callable[[], Walk]) -> None:
        self._remarks = remarks
        self._walk = walk
        self.desk = Desk()
        self.trouble = ""
        """What could not be done, and what to do; "" when the last thing worked."""

    @property
    def has_machine(self) -> bool:
        return bool(self._remarks.general_model)

    def move(self, way: int) -> None:
        self.desk = self.desk.moved(way, self._walk())

    def leave(self) -> bool:
        """Esc: out of placing; False where there was nothing to leave."""
        was, self.desk, self.trouble = self.desk.placing, replace(self.desk, placing=False), ""
        return was

    def place(self) -> None:
        """Begins to choose a place."""
        if (remark := self.desk.at(self._walk())) is not None:
            self.desk = Desk(remark.n, placing=not self.desk.placing)

    def entered(self, text: str) -> bool:
        """The typed line: the words of the remark, or, while placing, a part (or nothing: the place chosen). False
        where it could not be done."""
        remark = self.desk.at(self._walk())
        if remark is None or not (text or self.desk.placing):
            return False
        if not self.desk.placing:
            return self._done(lambda: self._remarks.write(remark.n, text))
        place = self._place(text)
        if place is None:
            self.trouble = f"No part is called {text!r}. Choose with ↑ ↓ and Enter, or type another name."
            return False
        done = self._done(lambda: self._remarks.put(remark.n, place))
        self.desk = Desk(remark.n, placing=not done)
        return done

    def sound(self) -> Sound | None:
        """What is to be played."""
        remark = self.desk.at(self._walk())
        clips: list[tuple[bytes, int]] = []
        if remark is None or not self._done(lambda: clips.append(self._remarks.sound(remark.n))):
            return None
        return Sound(None, "", clips[0])

    def for_machine(self) -> int | None:
        """Number of the chosen remark, if a machine may write it down."""
        remark = self.desk.at(self._walk())
        if remark is None or not self.has_machine:
            return None
        if not for_machine(remark):
            self.trouble = "That one is written down already." if remark.text else "That one has no sound."
            return None
        self.trouble = f"Writing down remark {remark.n} by machine ..."
        return remark.n

    def words_by_machine(self, number: int) -> tuple[str, str]:
        """(words, trouble); takes its time: for a thread."""
        try:
            return self._remarks.words_by_machine(number), ""
        except HandsfreeError as trouble:
            return "", str(trouble)

    def machine_wrote(self, number: int, words: str, trouble: str) -> None:
        self.trouble = trouble or ("" if words else f"The machine understood nothing of remark {number}.")
        if words:
            self._done(lambda: self._remarks.write_by_machine(number, words))

    def _place(self, text: str) -> Place | None:
        walk = self._walk()
        return place_named(text, walk) if text else self.desk.place_at(walk)

    def _done(self, do: Callable[[], object]) -> bool:
        try:
            do()
        except HandsfreeError as trouble:
            self.trouble = str(trouble)
            return False
        self.trouble = ""
        return True
