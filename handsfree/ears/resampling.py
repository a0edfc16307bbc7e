"""Any sample rate and any number of channels to blocks in the model's format, as a stream."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
import soxr

from handsfree.ears.blocks import BLOCK_BYTES, RATE

Samples = npt.NDArray[np.float32]


class Reblocker:
    """Takes sound in pieces of any length, gives whole blocks; keeps the rest for the next piece."""

    def __init__(self, rate: int) -> None:
        """`rate`: hertz of what comes in."""
        self._resampler = soxr.ResampleStream(rate, RATE, 1, dtype="float32") if rate != RATE else None
        self._rest = b""

    def take(self, samples: Samples, *, last: bool = False) -> Iterator[bytes]:
        """`samples`: frames x channels, -1..1. `last`: the sound ends here; the last block is filled with silence."""
        mono = _mono(samples)
        if self._resampler is not None:
            mono = self._resampler.resample_chunk(mono, last=last)
        pcm = self._rest + _to_int16(mono)
        whole = len(pcm) // BLOCK_BYTES * BLOCK_BYTES
        for start in range(0, whole, BLOCK_BYTES):
            yield pcm[start : start + BLOCK_BYTES]
        self._rest = pcm[whole:]
        if last and self._rest:
            yield self._rest.ljust(BLOCK_BYTES, b"\0")
            self._rest = b""


def _mono(samples: Samples) -> Samples:
    return np.ascontiguousarray(samples.mean(axis=1, dtype=np.float32) if samples.ndim > 1 else samples)


def _to_int16(samples: Samples) -> bytes:
    scaled = np.nan_to_num(samples, posinf=1.0, neginf=-1.0) * 32768.0
    return bytes(np.clip(np.rint(scaled), -32768, 32767).astype("<i2").tobytes())
