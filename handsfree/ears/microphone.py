"""Sound from the microphone, which may be missing, busy, of any rate, and pulled out at any moment.

The sound card's own thread only puts bytes into a queue. Whatever goes wrong becomes an EarChanged with a line for
the person; then the device is tried again and again, so that listening resumes by itself when it is back.
"""

from __future__ import annotations

import atexit
import contextlib
import queue
import threading
import time
from collections.abc import Iterator
from typing import Any

import numpy as np

from handsfree.ears.blocks import BLOCK_SAMPLES, BLOCK_SECONDS, RATE, Block
from handsfree.ears.resampling import Reblocker
from handsfree.errors import NoMicrophone
from handsfree.nouns import EarChanged, EarState

RETRY_SECONDS = 1.0
FIRST_SOUND_SECONDS = 5.0
"""How long a device may take to start; virtual ones have taken 2 s."""
STALLED_SECONDS = 2.0
"""A running device that gives nothing for so long has gone."""
LOST_SECONDS = 0.25
"""Sound that is so late was lost on the way: time goes on without it."""

CLOSING_SECONDS = 2.0
"""Longer than any stream needs that comes to an end at all."""
_HANGING: list[threading.Thread] = []
"""Streams of this process that do not come to an end: until they do, PortAudio must not start anew."""
_INVALID_RATE = -9997
_INVALID_CHANNELS = -9998
_UNAVAILABLE = -9985


class Microphone:
    """An input device as a source; never raises while it runs."""

    realtime = True
    open_air = True

    def __init__(self, device: str | int | None = None, *, playing: threading.Lock | None = None) -> None:
        """`device`: name (or a part of it) or number, None: the system's default. `playing`: held by whoever plays
        sound through PortAudio; only when it is free may PortAudio look for devices anew."""
        self._device = device
        self._playing = playing or threading.Lock()
        self._closing = threading.Event()
        self._began = 0.0
        self._position = 0

    def close(self) -> None:
        self._closing.set()

    def blocks(self) -> Iterator[Block | EarChanged]:
        self._began = time.monotonic()
        told = ""
        while not self._closing.is_set():
            try:
                with _Opened(self._device) as opened:
                    for block in self._of(opened):
                        if told:
                            told = ""
                            yield EarChanged(EarState.LISTENING)
                        yield block
            except NoMicrophone as error:
                if str(error) != told:
                    told = str(error)
                    yield EarChanged(EarState.NO_MICROPHONE, told)
                self._closing.wait(RETRY_SECONDS)
                self._look_again()

    def _of(self, opened: _Opened) -> Iterator[Block]:
        """Blocks until the device ends or we are closed; time in which there was no device is skipped."""
        reblocker = Reblocker(opened.rate)
        while not self._closing.is_set():
            for samples, arrived in opened.pieces():
                self._catch_up(arrived)
                for pcm in reblocker.take(samples):
                    yield Block(pcm, self._position, arrived)
                    self._position += BLOCK_SAMPLES

    def _catch_up(self, arrived: float) -> None:
        late = arrived - self._began - self._position / RATE
        if late > LOST_SECONDS:
            self._position += round(late / BLOCK_SECONDS) * BLOCK_SAMPLES

    def _look_again(self) -> None:
        """PortAudio sees devices that came only when it starts anew, and must not while somebody plays."""
        if not closes() or not self._playing.acquire(blocking=False):
            return
        try:
            import sounddevice

            with contextlib.suppress(sounddevice.PortAudioError):
                sounddevice._terminate()
            with contextlib.suppress(sounddevice.PortAudioError):
                sounddevice._initialize()
        except OSError:
            pass  # no PortAudio on this machine; the person has been told
        finally:
            self._playing.release()


def check(device: str | int | None = None) -> None:
    """NoMicrophone, saying why and what to do, when the device cannot be opened now."""
    with _Opened(device):
        pass


class _Opened:
    """An open input stream and the queue that its thread fills."""

    def __init__(self, device: str | int | None) -> None:
        self._name = "the microphone" if device is None else f"the microphone {device}"
        self._queue: queue.SimpleQueue[tuple[bytes, float]] = queue.SimpleQueue()
        self._ended = threading.Event()
        self._patience = FIRST_SOUND_SECONDS
        self._last = time.monotonic()
        self._channels = 1
        self.rate = RATE
        self._stream = self._open(device)

    def pieces(self) -> Iterator[tuple[np.ndarray[Any, np.dtype[np.float32]], float]]:
        """(samples x channels, when they arrived) of what is there, or comes within a moment; NoMicrophone when
        nothing will come any more."""
        try:
            pcm, arrived = self._queue.get(timeout=0.1)
        except queue.Empty:
            if self._ended.is_set() or time.monotonic() - self._last > self._patience:
                raise NoMicrophone(
                    f"{self._name} has gone", do="Plug it in again; the keyboard works meanwhile."
                ) from None
            return
        self._last, self._patience = arrived, STALLED_SECONDS
        samples = np.frombuffer(pcm, "<i2").astype(np.float32) / 32768.0
        yield samples.reshape(-1, self._channels), arrived

    def _take(self, pcm: Any, frames: int, when: object, status: object) -> None:
        """In the sound card's thread: nothing here may wait."""
        self._queue.put((bytes(pcm), time.monotonic()))

    def _open(self, device: str | int | None) -> Any:
        try:
            import sounddevice
        except OSError as error:
            raise NoMicrophone(
                f"PortAudio is missing ({error})", do="Install it (Debian: libportaudio2) and start again."
            ) from error
        try:
            about = sounddevice.query_devices(device, "input")
        except (ValueError, sounddevice.PortAudioError) as error:
            raise NoMicrophone(
                f"{self._name} is not there", do=f"Plug one in{_others(sounddevice, device)}; the keyboard works."
            ) from error
        trouble: Exception | None = None
        for rate in dict.fromkeys((int(about["default_samplerate"]), 48_000, 44_100, RATE)):
            for channels in dict.fromkeys((1, min(2, int(about["max_input_channels"])))):
                try:
                    return self._start(sounddevice, device, rate, channels)
                except sounddevice.PortAudioError as error:
                    trouble = error
                    if _code(error) not in (_INVALID_RATE, _INVALID_CHANNELS):
                        raise self._refused(error) from error
        raise NoMicrophone(
            f"{self._name} takes no sample rate that we know ({trouble})", do="Choose another; the keyboard works."
        ) from trouble

    def _start(self, sounddevice: Any, device: str | int | None, rate: int, channels: int) -> Any:
        self.rate, self._channels = rate, channels
        stream = sounddevice.RawInputStream(
            samplerate=rate,
            blocksize=round(rate * BLOCK_SECONDS),
            device=device,
            channels=channels,
            dtype="int16",
            latency="high",  # still 40 ms; "low" wakes the machine hundreds of times a second
            callback=self._take,
            finished_callback=self._ended.set,
        )
        try:
            stream.start()
        except sounddevice.PortAudioError:
            stream.close(ignore_errors=True)
            raise
        return stream

    def _refused(self, error: Exception) -> NoMicrophone:
        if _code(error) == _UNAVAILABLE:
            return NoMicrophone(
                f"{self._name} is busy", do="Close the program that uses it; the keyboard works meanwhile."
            )
        return NoMicrophone(
            f"{self._name} cannot be opened ({_text(error)})", do="Plug it in again or choose another."
        )

    def __enter__(self) -> _Opened:
        return self

    def __exit__(self, *exc: object) -> None:
        # a device that was pulled out can keep PortAudio waiting for ever (seen): then it is left behind
        closing = threading.Thread(target=self._close, daemon=True)
        closing.start()
        closing.join(CLOSING_SECONDS)
        if closing.is_alive():
            _HANGING.append(closing)
            _end_without_portaudio()

    def _close(self) -> None:
        # abort, not stop: what is still in the buffers is of no use
        self._stream.abort(ignore_errors=True)
        self._stream.close(ignore_errors=True)


def _end_without_portaudio() -> None:
    """At the program's end sounddevice waits for PortAudio, which would wait for the stream that hangs."""
    import sounddevice

    waits = getattr(sounddevice, "_exit_handler", None)
    if waits is not None:
        atexit.unregister(waits)


def closes() -> bool:
    """Whether every stream of this process has come to its end, so that PortAudio may be started anew."""
    return not any(closing.is_alive() for closing in _HANGING)


def _others(sounddevice: Any, device: str | int | None) -> str:
    """The names to choose from, when a certain one was asked for."""
    names = [d["name"] for d in sounddevice.query_devices() if d["max_input_channels"] > 0]
    return f", or choose one of: {', '.join(names)}" if device is not None and names else ""


def _code(error: Exception) -> int | None:
    return error.args[1] if len(error.args) > 1 and isinstance(error.args[1], int) else None


def _text(error: Exception) -> str:
    return str(error.args[0]) if error.args else str(error)
