"""Ears and mouth together, in real time: who begins to speak just before the tool does is heard to the end."""

from __future__ import annotations

import threading
import time

from test_listening import completeness, room, voice

from handsfree.ears.blocks import BLOCK_BYTES, BLOCK_SECONDS
from handsfree.ears.listening import Listener
from handsfree.ears.prospects import Prospects
from handsfree.ears.scripted import Script, ScriptedRecogniser
from handsfree.ears.source import PushedSource
from handsfree.nouns import Context, EarChanged, Earcon, EarState, Heard
from handsfree.screen.mouth import Mouth, Sound

LATE = 0.55
"""Seconds until the recogniser shows the word: onset, and what the net looks ahead."""


class Voice:
    """A loudspeaker that takes its time."""

    def __init__(self) -> None:
        self.began: list[float] = []

    def say(self, text: str) -> None:
        self.began.append(time.monotonic())
        time.sleep(0.3)

    def earcon(self, which: Earcon) -> None: ...

    def stop(self) -> None: ...


def play(source: PushedSource, sound: bytes) -> None:
    began = time.monotonic()
    for number, start in enumerate(range(0, len(sound), BLOCK_BYTES), 1):
        time.sleep(max(0.0, began + number * BLOCK_SECONDS - time.monotonic()))
        source.push(sound[start : start + BLOCK_BYTES])
    source.close()


def test_a_line_waits_for_a_sentence_whose_first_word_is_not_known_yet() -> None:
    source, loudspeaker = PushedSource(), Voice()
    recogniser = ScriptedRecogniser([Script(((LATE, "yes"),))])
    ears = Listener(source, recogniser, Prospects(completeness), lambda: Context.TOUCH)
    mouth = Mouth(loudspeaker, ears)
    threading.Thread(target=mouth.run, daemon=True).start()
    threading.Thread(target=play, args=(source, room(1.0) + voice(0.8) + room(1.5)), daemon=True).start()
    heard_at = 0.0
    for event in ears.events():
        if isinstance(event, EarChanged) and event.state is EarState.HEARING:
            mouth.put(Sound(None, "C five, sixty one down?"))  # the moment somebody begins
        if isinstance(event, Heard):
            heard_at = time.monotonic()
            assert event.text == "yes"
    mouth.stop()
    assert heard_at, "half of it was lost"
    assert len(loudspeaker.began) == 1
    assert loudspeaker.began[0] >= heard_at - BLOCK_SECONDS
