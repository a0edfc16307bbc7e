"""Says lines and plays earcons; on a machine that cannot, it goes on silently, and the line is on the screen.

Both calls return when the sound is over and never raise: whoever must not wait calls from a thread of its own, and
whoever listens closes the ears around them. Several threads may call; sounds come one after the other.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from handsfree.nouns import Earcon
from handsfree.voice.earcons import earcon_sound
from handsfree.voice.espeak import Espeak, NoVoice
from handsfree.voice.playing import Loudspeaker, NoLoudspeaker, Player
from handsfree.voice.sound import Sound


class Speaker(Protocol):
    """The seam between a turn and the ear of the person."""

    trouble: str
    """Why the last sound was not heard; "" when it was."""

    def say(self, text: str) -> None: ...

    def earcon(self, which: Earcon) -> None: ...

    def play(self, pcm: bytes, rate: int) -> None:
        """A clip (16-bit little-endian mono; hertz), such as a spoken remark."""
        ...

    def stop(self) -> None:
        """Cut short the line or clip that is being said; an earcon is short enough."""
        ...


class Synthesiser(Protocol):
    """Text to sound. May raise NoVoice."""

    def speak(self, line: str) -> Sound: ...


class Silent:
    """A speaker that makes no sound and takes no time: for voice off, and as a stand-in that remembers."""

    def __init__(self) -> None:
        self.trouble = ""
        self.said: list[str | Earcon | Sound] = []
        """Everything asked for, oldest first."""

    def say(self, text: str) -> None:
        self.said.append(text)

    def earcon(self, which: Earcon) -> None:
        self.said.append(which)

    def play(self, pcm: bytes, rate: int) -> None:
        self.said.append(Sound(pcm, rate))

    def stop(self) -> None:
        pass


class Aloud:
    """A speaker that is heard."""

    def __init__(
        self,
        synthesiser: Callable[[], Synthesiser],
        player: Player,
        *,
        earcons: bool = True,
    ) -> None:
        """`synthesiser`: made at the first line."""
        self._make = synthesiser
        self._synthesiser: Synthesiser | None = None
        self._player = player
        self._earcons = earcons
        self._one_at_a_time = threading.Lock()
        self._sounds = {which: earcon_sound(which) for which in Earcon}
        self._cut_short = threading.Event()
        """Of the line or clip that came last: each has one of its own, so that `stop` ends it even while it is still
        being made, and never the sound after it."""
        self.trouble = ""
        """Why the last sound was not heard; "" when it was."""

    def say(self, text: str) -> None:
        with self._one_at_a_time:
            self._cut_short = threading.Event()
            try:
                sound = self._voice().speak(text)
            except NoVoice as error:
                self.trouble = str(error)
                return
            self._play(sound, self._cut_short)

    def earcon(self, which: Earcon) -> None:
        if self._earcons:
            with self._one_at_a_time:
                self._play(self._sounds[which], threading.Event())

    def play(self, pcm: bytes, rate: int) -> None:
        with self._one_at_a_time:
            self._cut_short = threading.Event()
            self._play(Sound(pcm, rate), self._cut_short)

    def stop(self) -> None:
        self._cut_short.set()

    def _voice(self) -> Synthesiser:
        if self._synthesiser is None:
            self._synthesiser = self._make()
        return self._synthesiser

    def _play(self, sound: Sound, cut_short: threading.Event) -> None:
        try:
            self._player.play(sound, cut_short)
            self.trouble = ""
        except NoLoudspeaker as error:
            self.trouble = str(error)


def make_speaker(
    *,
    voice: bool = True,
    words_a_minute: int = 170,
    natural_voice: str = "",
    earcons: bool = True,
    playing: threading.Lock | None = None,
) -> Speaker:
    """The speaker that the settings ask for.

    `natural_voice`: a piper voice file (.onnx), "" = espeak-ng. `playing`: shared with the microphone. Raises
    BadSettings when a natural voice is asked for and cannot be had; a missing loudspeaker is no error.
    """
    if not voice and not earcons:
        return Silent()
    player = Loudspeaker(playing=playing)
    if not voice:
        return Aloud(_no_voice, player, earcons=earcons)
    if natural_voice:
        from handsfree.voice.natural import NaturalVoice

        natural = NaturalVoice(Path(natural_voice).expanduser(), words_a_minute=words_a_minute)
        return Aloud(lambda: natural, player, earcons=earcons)
    return Aloud(lambda: Espeak(words_a_minute=words_a_minute), player, earcons=earcons)


def _no_voice() -> Synthesiser:
    raise NoVoice("")  # wanted so: no trouble
