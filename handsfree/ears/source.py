"""Sound from a file, and sound pushed in by a program; the microphone is in microphone.py."""

from __future__ import annotations

import queue
import time
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType

import numpy as np
import soundfile

from handsfree.ears.blocks import BLOCK_BYTES, BLOCK_SAMPLES, BLOCK_SECONDS, Block
from handsfree.ears.resampling import Reblocker
from handsfree.errors import NoSound
from handsfree.nouns import EarChanged

LOWEST_RATE = 6_000
"""Hertz; below, a telephone's band is not there and no word can be told from another."""
HIGHEST_RATE = 768_000

_PIECE_SECONDS = 0.5


class FileSource:
    """A recording: WAV, FLAC, Ogg and whatever else libsndfile reads; any rate, any number of channels.

    NoSound at the making for a file that cannot be read or holds nothing, and from `blocks` where it breaks off.
    """

    open_air = False

    def __init__(self, path: Path | str, *, realtime: bool = False) -> None:
        """`realtime`: give it at its own speed, as a microphone would, else as fast as it is taken."""
        self.realtime = realtime
        self._path = Path(path)
        self._closed = False
        self._file = _opened(self._path)

    def blocks(self) -> Iterator[Block | EarChanged]:
        began = time.monotonic()
        with self._file:
            for number, pcm in enumerate(self._pcm()):
                if self._closed:
                    return
                if self.realtime:
                    # a block has arrived when its last sample has
                    time.sleep(max(0.0, began + (number + 1) * BLOCK_SECONDS - time.monotonic()))
                yield Block(pcm, number * BLOCK_SAMPLES, time.monotonic())

    def close(self) -> None:
        self._closed = True

    def _pcm(self) -> Iterator[bytes]:
        rate = self._file.samplerate
        reblocker = Reblocker(rate)
        piece = max(1, int(rate * _PIECE_SECONDS))
        while True:
            try:
                samples = self._file.read(piece, dtype="float32", always_2d=True)
            except (soundfile.LibsndfileError, RuntimeError) as error:
                at = self._file.tell() / rate
                raise NoSound(
                    f"{self._path} breaks off after {at:.1f} s ({error})",
                    do="What came before stands; record the rest again.",
                ) from error
            last = len(samples) < piece
            yield from reblocker.take(samples, last=last)
            if last:
                return

    def __enter__(self) -> FileSource:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()
        self._file.close()


def _opened(path: Path) -> soundfile.SoundFile:
    if not path.is_file():
        raise NoSound(f"there is no audio file {path}", do="Give the name of a WAV or FLAC file.")
    try:
        file = soundfile.SoundFile(str(path))
    except (soundfile.LibsndfileError, RuntimeError, OSError, TypeError) as error:
        raise NoSound(f"{path} cannot be read as audio ({error})", do="Give a WAV or FLAC file.") from error
    problem = ""
    if file.frames <= 0:
        problem = "holds no sound"
    elif not LOWEST_RATE <= file.samplerate <= HIGHEST_RATE:
        problem = f"has a sample rate of {file.samplerate} Hz, which no speech can be heard at"
    if problem:
        file.close()
        raise NoSound(f"{path} {problem}", do="Give a recording of 8 kHz or more, best 16 kHz mono.")
    return file


class PushedSource:
    """A stand-in: sound that a program pushes in, at whatever speed; used for tests and for other programs."""

    def __init__(self, *, realtime: bool = True, open_air: bool = True) -> None:
        self.realtime = realtime
        self.open_air = open_air
        self._queue: queue.SimpleQueue[tuple[bytes, float] | EarChanged | None] = queue.SimpleQueue()

    def push(self, pcm: bytes) -> None:
        """`pcm`: 16-bit little-endian mono at 16 kHz, any length; the last block is filled with silence."""
        for start in range(0, len(pcm), BLOCK_BYTES):
            block = pcm[start : start + BLOCK_BYTES].ljust(BLOCK_BYTES, b"\0")
            self._queue.put((block, time.monotonic()))

    def push_silence(self, seconds: float) -> None:
        """Digital silence."""
        self.push(np.zeros(round(seconds / BLOCK_SECONDS) * BLOCK_SAMPLES, "<i2").tobytes())

    def push_change(self, change: EarChanged) -> None:
        """What a device would report: gone, or back."""
        self._queue.put(change)

    def blocks(self) -> Iterator[Block | EarChanged]:
        position = 0
        while (item := self._queue.get()) is not None:
            if isinstance(item, EarChanged):
                yield item
                continue
            yield Block(item[0], position, item[1])
            position += BLOCK_SAMPLES

    def close(self) -> None:
        self._queue.put(None)
