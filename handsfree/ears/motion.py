"""Does the spectrum move as it does in speech? A string that rings, a hum, a whistle keep their shape: no utterance.

Pure. The recogniser was made to find words and finds some in a ringing string; this asks about the sound alone. In
speech the mouth moves, so the level of each band against the others changes by several decibels within 60 ms.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from handsfree.ears.blocks import BLOCK_SAMPLES, RATE

BANDS = (100, 300, 500, 800, 1200, 1700, 2400, 3400, 5000)
"""Hertz; edges."""
STEP_BLOCKS = 3
"""60 ms: about as long as the mouth takes from one sound to the next."""
LOUD_WITHIN = 25.0
"""dB below the loudest block: only those above count."""
DEPTH = 40.0
"""dB below the loudest band of all: what is softer is only the room's noise."""
LEAST_LOUD = 10
"""Blocks; of less than 0.2 s nothing can be said."""
LEAST_MOTION = 2.0
"""dB. Measured: nine of ten of 810 synthetic strings lie below (the others are bass strings: some beating partials
look like a mouth), 2,793 single words of 122 people never below 2.16."""

_FFT = 512


def is_steady_tone(pcm: bytes) -> bool:
    """Whether an utterance (16-bit mono at 16 kHz) is a sound whose spectrum hardly moves."""
    found = motion(pcm)
    return found is not None and found < LEAST_MOTION


def motion(pcm: bytes) -> float | None:
    """Upper quartile, over the loud part, of the mean change of band levels within 60 ms, dB; None: too short."""
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
    samples = np.frombuffer(pcm, "<i2").astype(np.float64)
    whole = len(samples) // BLOCK_SAMPLES
    return samples[: whole * BLOCK_SAMPLES].reshape(whole, BLOCK_SAMPLES)


def _band_shape(blocks: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Blocks x bands: level of each band above the mean of all, decibels; a change of loudness alone is none."""
    spectrum = np.abs(np.fft.rfft(blocks * np.hanning(BLOCK_SAMPLES), _FFT)) ** 2
    edges = [round(hertz * _FFT / RATE) for hertz in BANDS]
    bands = np.add.reduceat(spectrum[:, : edges[-1]], edges[:-1], axis=1)
    levels = 10 * np.log10(bands + 1)
    levels = np.maximum(levels, levels.max() - DEPTH)
    return np.asarray(levels - levels.mean(axis=1, keepdims=True))
