"""What sounds beside a count: knocks, coughs, keys; and a voice turned into a whisper. Synthetic, since no open
recording of a workshop was found (CHECKS 8)."""

from __future__ import annotations

from random import Random

import numpy as np
import numpy.typing as npt

RATE = 16_000
Wave = npt.NDArray[np.float64]
ORDER = 18
"""Of the linear prediction that a whisper is made by."""


def _noise(rng: Random, count: int) -> Wave:
    return np.random.default_rng(rng.randrange(2**32)).normal(0, 1, count)


def knock(rng: Random, loudness: float = 14_000) -> Wave:
    """Wood on wood."""
    at = np.arange(round(0.35 * RATE)) / RATE
    body = np.sin(2 * np.pi * rng.uniform(150, 500) * at)
    return np.asarray(loudness * np.exp(-at * rng.uniform(12, 40)) * (0.7 * _noise(rng, len(at)) + body))


def cough(rng: Random) -> Wave:
    """Two bursts of breath through a throat: noise with a wide resonance, rising fast and falling slowly."""
    from scipy.signal import lfilter

    bursts = []
    for loudness in (9000.0, 6000.0):
        at = np.arange(round(rng.uniform(0.16, 0.28) * RATE)) / RATE
        swell = np.minimum(1.0, at / 0.015) * np.exp(-at * rng.uniform(8, 14))
        breath = _noise(rng, len(at))
        for middle, width in ((rng.uniform(550, 800), 250), (rng.uniform(1300, 1700), 300)):
            radius = np.exp(-np.pi * width / RATE)
            breath = breath + 3 * lfilter(
                [1 - radius], [1, -2 * radius * np.cos(2 * np.pi * middle / RATE), radius**2], breath
            )
        bursts += [loudness * swell * breath / np.abs(breath).max(), np.zeros(round(rng.uniform(0.05, 0.15) * RATE))]
    return np.concatenate(bursts)


def keys(rng: Random, seconds: float) -> Wave:
    """An action being handled: soft knocks of wood on felt, two to five a second."""
    sound, at = np.zeros(round((seconds + 1) * RATE)), rng.uniform(0, 0.4)
    while at < seconds:
        one, first = knock(rng, rng.uniform(400, 2500)), round(at * RATE)
        sound[first : first + len(one)] += one[: len(sound) - first]
        at += rng.uniform(0.2, 0.5)
    return sound


def whispered(voice: Wave, rng: Random) -> Wave:
    """The same words without a voice: each 30 ms of it as noise through the same resonances (linear prediction)."""
    from scipy.linalg import solve_toeplitz
    from scipy.signal import lfilter

    size, hop = round(0.03 * RATE), round(0.015 * RATE)
    window, made = np.hanning(size), np.zeros(len(voice) + size)
    for first in range(0, len(voice) - size, hop):
        frame = voice[first : first + size] * window
        power = np.correlate(frame, frame, "full")[size - 1 : size + ORDER]
        if power[0] < 1.0:
            continue
        power[0] *= 1.001
        ways = solve_toeplitz(power[:-1], power[1:])
        breath = lfilter([1.0], np.concatenate([[1.0], -ways]), _noise(rng, size)) * window
        made[first : first + size] += breath * np.sqrt(power[0] / max(1e-9, float(np.sum(breath**2))))
    # a whisper has no low voice in it and is 20 dB softer than speech (from memory)
    return np.asarray(0.1 * lfilter([1.0, -0.9], [1.0], made[: len(voice)]))
