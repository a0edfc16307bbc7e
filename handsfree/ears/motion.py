"""Does the spectrum move as it does in speech? A string that rings, a hum, a whistle keep their shape: no utterance.

Pure. The recogniser was made to find words and finds some in a ringing string; this asks about the sound alone. In
speech the mouth moves, so the level of each band against the others changes by several decibels within 80 ms.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handsfree.ears.blocks import BLOCK_SAMPLES, RATE

BANDS = (100, 300, 500, 800, 1200, 1700, 2400, 3400, 5000)
"""Hertz; edges."""
WINDOW_BLOCKS = 2
"""40 ms are looked at as one: in less, the partials of a bass string are not told apart and beat within a band, which
looks like a mouth that moves."""
STEP_BLOCKS = 4
"""80 ms: about as long as the mouth takes from one sound to the next, and two windows."""
LOUD_WITHIN = 25.0
"""dB below the loudest block: only those above count."""
DEPTH = 40.0
"""dB below the loudest band of all: what is softer is only the room's noise."""
LEAST_LOUD = 10
"""Blocks; of less than 0.2 s nothing can be said."""
LEAST_MOTION = 2.1
"""dB. Measured: of 6,208 single words of 122 people none lies below (lowest 2.14, the others above 2.7); of 88
synthetic strings, one a key, 87 do, of 132 unisons of strings that beat against each other 83, all of the bass."""

_FFT = 1024


def is_steady_tone(pcm: bytes) -> bool:
    """Whether an utterance (16-bit mono at 16 kHz) is a sound whose spectrum hardly moves."""
    found = motion(pcm)
    return found is not None and found < LEAST_MOTION


def motion(pcm: bytes) -> float | None:
    """Upper quartile, over the loud part, of the mean change of band levels within 80 ms, dB; None: too short."""
    blocks = _blocks(pcm)
    if len(blocks) <= STEP_BLOCKS:
        return None
    power = 10 * np.log10((blocks**2).mean(axis=1) + 1)
    loud = power > power.max() - LOUD_WITHIN
    both = loud[STEP_BLOCKS:] & loud[:-STEP_BLOCKS]
    if both.sum() < LEAST_LOUD:
        return None
    shape = _band_shape(blocks)
    changes = np.abs(shape[STEP_BLOCKS:] - shape[:-STEP_BLOCKS]).mean(axis=1)
    return float(np.percentile(changes[both], 75))


def _blocks(pcm: bytes) -> npt.NDArray[np.float64]:
    """One window a block."""
    samples = np.frombuffer(pcm, "<i2").astype(np.float64)
    window = WINDOW_BLOCKS * BLOCK_SAMPLES
    if len(samples) < window:
        return np.zeros((0, window))
    return np.lib.stride_tricks.sliding_window_view(samples, window)[::BLOCK_SAMPLES]


def _band_shape(blocks: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Blocks x bands: level of each band above the mean of all, decibels; a change of loudness alone is none."""
    spectrum = np.abs(np.fft.rfft(blocks * np.hanning(WINDOW_BLOCKS * BLOCK_SAMPLES), _FFT)) ** 2
    edges = [round(hertz * _FFT / RATE) for hertz in BANDS]
    bands = np.add.reduceat(spectrum[:, : edges[-1]], edges[:-1], axis=1)
    levels = 10 * np.log10(bands + 1)
    levels = np.maximum(levels, levels.max() - DEPTH)
    return np.asarray(levels - levels.mean(axis=1, keepdims=True))
