"""The loudspeaker: plays a sound to its end, or as far as it may."""

from __future__ import annotations

import threading
from typing import Any, Protocol

import numpy as np

from handsfree.voice.sound import Sound

_PIECE_SECONDS = 0.02
"""How soon a sound that is cut short ends."""


class NoLoudspeaker(Exception):
    """Nothing can be played here now; the reason is the message."""


class Player(Protocol):
    """What plays; returns when the sound is over. May raise NoLoudspeaker."""

    def play(self, sound: Sound, cut_short: threading.Event) -> None:
        """`cut_short`: once set, by another thread and at any moment, nothing more is played."""
        ...


class Loudspeaker:
    """The sound card's output, opened for each sound, so that a device that comes or goes is no matter."""

    def __init__(self, device: str | int | None = None, *, playing: threading.Lock | None = None) -> None:
        """`playing`: held while a stream is open, so that nobody starts PortAudio anew meanwhile (see microphone)."""
        self._device = device
        self._playing = playing or threading.Lock()

    def play(self, sound: Sound, cut_short: threading.Event | None = None) -> None:
        """Raises NoLoudspeaker."""
        with self._playing:
            try:
                import sounddevice
            except OSError as error:
                raise NoLoudspeaker(f"PortAudio is missing ({error})") from error
            try:
                self._play(sounddevice, sound, cut_short or threading.Event())
            except (sounddevice.PortAudioError, ValueError) as error:
                raise NoLoudspeaker(str(error.args[0] if error.args else error)) from error

    def _play(self, sounddevice: Any, sound: Sound, cut_short: threading.Event) -> None:
        rate = int(sounddevice.query_devices(self._device, "output")["default_samplerate"])
        pcm = at_rate(sound, rate).pcm
        piece = 2 * round(rate * _PIECE_SECONDS)
        with sounddevice.RawOutputStream(
            samplerate=rate, device=self._device, channels=1, dtype="int16", latency="high"
        ) as stream:
            for start in range(0, len(pcm), piece):
                if cut_short.is_set():
                    stream.abort()
                    return
                stream.write(pcm[start : start + piece])
            stream.stop()  # returns when all of it has been played


def at_rate(sound: Sound, rate: int) -> Sound:
    """The same sound at another sample rate."""
    if rate == sound.rate:
        return sound
    import soxr

    samples = soxr.resample(np.frombuffer(sound.pcm, "<i2"), sound.rate, rate)
    return Sound(samples.astype("<i2").tobytes(), rate)
