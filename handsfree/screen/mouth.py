"""Earcons and lines, one after the other, in a thread of its own: the screen hands over and goes on.

Half duplex: the ears are closed while there is sound of ours, so the tool never hears itself. Nothing said may get
lost by that, so a line waits for the end of a sentence that is under way, and gives way to a newer turn.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from queue import SimpleQueue
from typing import NamedTuple

from handsfree.nouns import Earcon, EarState, Speech, Turn
from handsfree.screen.ports import ListenerPort, SpeakerPort

PATIENCE = 8.0
"""Seconds that a line waits for whoever is talking: no reading takes longer, other talk may never end."""
_GLANCE = 0.05
"""Seconds between two looks at whether somebody talks."""


class Sound(NamedTuple):
    earcon: Earcon | None
    line: str
    clip: tuple[bytes, int] | None = None
    """A spoken remark that was asked for: 16-bit little-endian mono, hertz."""


NOT_KEPT = Sound(Earcon.REFUSED, "Not kept. Look at the screen.")
"""Whoever looks elsewhere would go on, and lose one reading after the other."""
_DEAF = Sound(Earcon.REFUSED, "No microphone.")
_BACK = Sound(Earcon.ACCEPTED, "Listening again.")


def sound_of_ears(before: EarState | None, now: EarState, voiced: frozenset[Speech]) -> Sound | None:
    """What is to be heard when the ears change: that nobody listens any more, and that somebody does again.
    `before`: None = they have not listened yet."""
    if before in (None, now) or EarState.NO_MICROPHONE not in (before, now):
        return None
    return audible(_DEAF if now is EarState.NO_MICROPHONE else _BACK, voiced)


def audible(sound: Sound, voiced: frozenset[Speech]) -> Sound:
    """Where no line is to be spoken, its tone alone."""
    return sound if Speech.REPLY in voiced else sound._replace(line="")


def sound_of(turn: Turn, voiced: frozenset[Speech]) -> Sound | None:
    """What of a turn is to be heard; None: nothing."""
    text = turn.line if turn.speech in voiced else ""
    return Sound(turn.earcon, text) if turn.earcon or text else None


class Mouth:
    """`run` belongs in a thread; `put` and `stop` may be called from anywhere and return at once."""

    def __init__(self, speaker: SpeakerPort, listener: ListenerPort | None, patience: float = PATIENCE) -> None:
        self._speaker = speaker
        self._listener = listener
        self._patience = patience
        self._waiting: SimpleQueue[Sound | None] = SimpleQueue()
        self._talking = False

    def put(self, sound: Sound) -> None:
        """Next, please; a line that is being said is cut short, since somebody has typed on meanwhile."""
        self._waiting.put(sound)
        self._cut_short()

    def stop(self) -> None:
        self._waiting.put(None)
        self._cut_short()

    def _cut_short(self) -> None:
        if self._talking:
            self._speaker.stop()

    def run(self) -> None:
        """Until `stop`."""
        while (sound := self._waiting.get()) is not None:
            if sound.earcon is not None:
                self._earcon(sound.earcon)
            if (sound.line or sound.clip) and self._may_talk():
                with self._ears_closed():
                    self._talking = True
                    if sound.clip is not None:
                        self._speaker.play(*sound.clip)
                    else:
                        self._speaker.say(sound.line)
                    self._talking = False

    def _earcon(self, which: Earcon) -> None:
        if self._someone_talks():
            # a tone in the middle of a sentence does less harm than deaf ears
            self._speaker.earcon(which)
            return
        with self._ears_closed():
            self._speaker.earcon(which)

    def _may_talk(self) -> bool:
        """Waits while somebody talks; False when a newer turn has come meanwhile."""
        until = time.monotonic() + self._patience
        while self._someone_talks() and self._waiting.empty() and time.monotonic() < until:
            time.sleep(_GLANCE)
        return self._waiting.empty()

    def _someone_talks(self) -> bool:
        return self._listener is not None and self._listener.hearing

    @contextmanager
    def _ears_closed(self) -> Iterator[None]:
        if self._listener is None:
            yield
            return
        self._listener.close_ears()
        try:
            yield
        finally:
            self._listener.open_ears()
