"""Test conditions: what a workshop does to a voice, made with NumPy; training has its own noises (noises.py).

Speech level is the root mean square over the frames within 30 dB of the loudest; SNR is against the noise's over all.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import signal

RATE = 16000
FULL_SCALE = 32767.0
Samples = np.ndarray
"""One channel, float, full scale 1."""


@dataclass(frozen=True, slots=True)
class Condition:
    name: str
    noise: str = ""
    """One of NOISES, "" = none."""
    snr: float = 0.0
    """Decibels."""
    level: float | None = None
    """Peak in dBFS; above 0 clips. None: as recorded."""
    headset: bool = False
    """8 kHz telephone band, 300 to 3400 Hz."""


def speech_power(samples: Samples) -> float:
    frames = samples[: len(samples) // 320 * 320].reshape(-1, 320)
    power = (frames**2).mean(axis=1)
    return float(power[power > power.max() / 1000].mean())


def fan(length: int, rng: np.random.Generator, talk: list[Samples]) -> Samples:
    """Broadband hiss falling 4 dB an octave, with the hum of a blower."""
    spectrum = np.fft.rfft(rng.standard_normal(length))
    hertz = np.fft.rfftfreq(length, 1 / RATE)
    noise = np.fft.irfft(spectrum / np.maximum(hertz, 60) ** 0.66, length)
    time = np.arange(length) / RATE
    blades = sum(np.sin(2 * np.pi * rng.uniform(90, 140) * order * time) / order for order in (1, 2, 3))
    return noise / noise.std() + 0.5 * blades


def babble(length: int, rng: np.random.Generator, talk: list[Samples]) -> Samples:
    """Five people talking."""
    total = np.zeros(length)
    for _ in range(5):
        voice = talk[rng.integers(len(talk))]
        voice = np.tile(voice, length // len(voice) + 2)
        start = rng.integers(len(voice) - length)
        total += voice[start : start + length] / np.sqrt(speech_power(voice))
    return total


def knocks(length: int, rng: np.random.Generator, talk: list[Samples]) -> Samples:
    """Two to four blows a second on wood and metal."""
    total = np.zeros(length)
    for _ in range(max(1, round(length / RATE * rng.uniform(2, 4)))):
        time = np.arange(min(length, 4000)) / RATE
        blow = np.zeros(len(time))
        for _ in range(5):
            tone = np.sin(2 * np.pi * rng.uniform(120, 3500) * time)
            blow += rng.uniform(0.3, 1) * tone * np.exp(-time * rng.uniform(25, 120))
        start = rng.integers(length - len(time) + 1)
        total[start : start + len(time)] += blow * rng.uniform(0.4, 1)
    return total + 1e-4 * rng.standard_normal(length)


def ringing(length: int, rng: np.random.Generator, talk: list[Samples]) -> Samples:
    """Struck strings: keys of the compass in equal temperament, eight slightly stretched partials dying away."""
    total, time = np.zeros(length), np.arange(length) / RATE
    for _ in range(max(1, round(length / RATE * 1.5))):
        fundamental = 440 * 2 ** ((rng.integers(1, 76) - 49) / 12)
        start = rng.uniform(0, length / RATE)
        after = np.maximum(time - start, 0)
        for partial in range(1, 9):
            hertz = partial * fundamental * np.sqrt(1 + 4e-4 * partial**2)
            if hertz < 7500:
                fall = np.exp(-after * (0.8 + 0.5 * partial)) * (time >= start)
                total += rng.uniform(0.3, 1) / partial * np.sin(2 * np.pi * hertz * after) * fall
    return total


NOISES = {"fan": fan, "babble": babble, "knocks": knocks, "ringing": ringing}
SNRS = (20, 10, 5)

CLEAN = Condition("clean")
CONDITIONS = (
    CLEAN,
    *(Condition(f"{noise} {snr} dB", noise=noise, snr=snr) for noise in NOISES for snr in SNRS),
    *(Condition(f"peak {level} dBFS", level=level) for level in (-35, -20, 0)),
    Condition("8 kHz headset", headset=True),
)


def under(condition: Condition, samples: np.ndarray, rng: np.random.Generator, talk: list[Samples]) -> np.ndarray:
    """16-bit samples as they would have been recorded under `condition`."""
    if condition == CLEAN:
        return samples
    sound = samples.astype(np.float64) / FULL_SCALE
    if condition.noise:
        noise = NOISES[condition.noise](len(sound), rng, talk)
        wanted = speech_power(sound) / 10 ** (condition.snr / 10)
        sound = sound + noise * np.sqrt(wanted / (noise**2).mean())
        sound *= min(1.0, 0.98 / np.abs(sound).max())
    if condition.headset:
        narrow = signal.butter(4, (300, 3400), "bandpass", fs=RATE, output="sos")
        sound = signal.resample_poly(signal.resample_poly(signal.sosfilt(narrow, sound), 1, 2), 2, 1)[: len(sound)]
    if condition.level is not None:
        sound = sound / np.abs(sound).max() * 10 ** (condition.level / 20)
    return np.clip(np.round(sound * FULL_SCALE), -32768, 32767).astype(np.int16)
