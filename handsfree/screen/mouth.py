"""Earcons and lines, one after the other, in a thread of its own: the screen hands over and goes on.

Half duplex: the ears are closed from the first sound to the last of a turn, so the tool never hears itself.
"""

from __future__ import annotations

from queue import SimpleQueue
from typing import NamedTuple

from handsfree.nouns import Earcon, Speech, Turn
from handsfree.screen.ports import ListenerPort, SpeakerPort


class Sound(NamedTuple):
    earcon: Earcon | None
    line: str


def sound_of(turn: Turn, voiced: frozenset[Speech]) -> Sound | None:
    """What of a turn is to be heard; None: nothing."""
    text = turn.line if turn.speech in voiced else ""
    return Sound(turn.earcon, text) if turn.earcon or text else None


class Mouth:
    """`run` belongs in a thread; `put` and `stop` may be called from anywhere and return at once."""

    def __init__(self, speaker: SpeakerPort, listener: ListenerPort | None) -> None:
        self._speaker = speaker
        self._listener = listener
        self._waiting: SimpleQueue[Sound | None] = SimpleQueue()

    def put(self, sound: Sound) -> None:
        self._waiting.put(sound)

    def stop(self) -> None:
        self._waiting.put(None)

    def run(self) -> None:
        """Until `stop`."""
        while (sound := self._waiting.get()) is not None:
            if self._listener is not None:
                self._listener.close_ears()
            try:
                if sound.earcon is not None:
                    self._speaker.earcon(sound.earcon)
                if sound.line:
                    self._speaker.say(sound.line)
            finally:
                if self._listener is not None:
                    self._listener.open_ears()
