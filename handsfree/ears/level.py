"""How loud a block is: for the meter, and for telling sound from silence."""

from __future__ import annotations

import math
import sys
from array import array
from functools import lru_cache

from handsfree.ears.blocks import BLOCK_BYTES

QUIETEST = -96.0
"""dBFS that a silent block counts as: one bit of sixteen."""

_FULL_SCALE = 32768.0


def mean_square(pcm: bytes) -> float:
    """Mean square of 16-bit little-endian samples, 0 (silence) to 1 (full scale)."""
    samples = array("h")
    samples.frombytes(pcm[: len(pcm) // 2 * 2])
    if sys.byteorder == "big":
        samples.byteswap()
    if not samples:
        return 0.0
    return math.fsum(s * s for s in samples) / len(samples) / _FULL_SCALE**2


def dbfs(pcm: bytes) -> float:
    """Root mean square in decibels below full scale, -96..0; a full-scale sine is -3.01."""
    power = mean_square(pcm)
    return max(QUIETEST, 10.0 * math.log10(power)) if power > 0 else QUIETEST


@lru_cache(maxsize=1)
def levels_of(pcm: bytes) -> tuple[float, ...]:
    """dBFS of each whole block; asked for every way in which an utterance may have been heard, hence remembered."""
    return tuple(dbfs(pcm[i : i + BLOCK_BYTES]) for i in range(0, len(pcm) - BLOCK_BYTES + 1, BLOCK_BYTES))
