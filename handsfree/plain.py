"""A pass without a screen: one line of JSON a turn on standard output, troubles on standard error."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from datetime import datetime

from handsfree.errors import DiskTrouble, JournalBusy
from handsfree.hearing import RecordingClock
from handsfree.journal.store import local_time
from handsfree.nouns import Alternative, Heard, Turn
from handsfree.opening import OpenPass
from handsfree.turn_json import turn_line


class Plain:
    """Prints a turn once it is kept, and goes on after a full disk or one that another program held."""

    def __init__(self, opened: OpenPass, clock: Callable[[], datetime] = local_time) -> None:
        """`clock`: the journal's."""
        self._opened = opened
        self._journal = opened.journal
        self._session = opened.session
        self._clock = clock
        self._trouble = ""
        self.exit_code = 0
        """That of the last thing that could not be kept, else 0."""
        self.greeting = opened.session.greeting()
        """What to say at the opening."""
        if opened.news:
            self.tell(opened.news)
        opened.after_turn()

    def type(self, text: str) -> Turn | None:
        """A sentence from the keyboard."""
        began = time.monotonic()
        heard = Heard((Alternative(text, 1.0),), self._session.context, via="keyboard")
        return self._turn(heard, lambda: self._session.typed(text), lambda: (time.monotonic() - began) * 1000)

    def hear(self, heard: Heard, ms_since_speech_end: Callable[[Heard], float]) -> Turn | None:
        """What was said aloud; None: it could not be kept."""
        if isinstance(self._clock, RecordingClock):
            self._clock.reach(heard)
        return self._turn(heard, lambda: self._session.hear(heard), lambda: ms_since_speech_end(heard))

    def _turn(self, heard: Heard, hear: Callable[[], Turn], ms: Callable[[], float]) -> Turn | None:
        try:
            turn = hear()
        except (DiskTrouble, JournalBusy) as trouble:
            self.tell(f"not kept: {heard.text!r}: {trouble}")
            self.exit_code = trouble.exit_code
            return None
        took = ms()
        print(
            turn_line(heard, turn, at=self._journal.last_at, ms=took, last_n=self._session.sheet.last_n), flush=True
        )
        before, self._trouble = self._trouble, self._opened.after_turn()
        if before != self._trouble:
            self.tell(self._trouble or "all is well again")
        return turn

    def tell(self, message: str) -> None:
        """A line for the person that is no turn."""
        print(f"handsfree: {message}", file=sys.stderr, flush=True)
