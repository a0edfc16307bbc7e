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

    def say(self, text: str) -> None: ...

    def earcon(self, which: Earcon) -> None: ...

    def play(self, pcm: bytes, rate: int) -> None:
        """A clip (16-bit little-endian mono; hertz), such as a spoken remark."""
        ...

    def stop(self) -> None:
        """Cut short what is being said."""
        ...


class Synthesiser(Protocol):
    """Text to sound. May raise NoVoice."""

    def speak(self, line: str) -> Sound: ...


class Silent:
    """A speaker that makes no sound and takes no time: for voice off, and as a stand-in that remembers."""

    def __init__(self) -> None:
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
        on_start: Callable[[], None] = lambda: None,
        on_end: Callable[[], None] = lambda: None,
    ) -> None:
        """`synthesiser`: made at the first line. `on_start`, `on_end`: around each spoken line (half duplex)."""
        self._make = synthesiser
        self._synthesiser: Synthesiser | None = None
        self._player = player
        self._earcons = earcons
        self._on_start = on_start
        self._on_end = on_end
        self._one_at_a_time = threading.Lock()
        self._sounds = {which: earcon_sound(which) for which in Earcon}
        self.busy = False
        """Whether a line is being spoken now."""
        self.trouble = ""
        """Why the last sound was not heard; "" when it was."""

    def say(self, text: str) -> None:
        with self._one_at_a_time:
            try:
                sound = self._voice().speak(text)
            except NoVoice as error:
                self.trouble = str(error)
                return
            self.busy = True
            self._on_start()
            try:
                self._play(sound)
            finally:
                self._on_end()
                self.busy = False

    def earcon(self, which: Earcon) -> None:
        if self._earcons:
            with self._one_at_a_time:
                self._play(self._sounds[which])

    def play(self, pcm: bytes, rate: int) -> None:
        with self._one_at_a_time:
            self._play(Sound(pcm, rate))

    def stop(self) -> None:
        self._player.stop()

    def _voice(self) -> Synthesiser:
        if self._synthesiser is None:
            self._synthesiser = self._make()
        return self._synthesiser

    def _play(self, sound: Sound) -> None:
        try:
            self._player.play(sound)
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
    raise NoVoice("the voice is switched off")
