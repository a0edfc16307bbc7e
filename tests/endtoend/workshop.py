"""Where the sitting takes place: sound that is made while it is listened to, in the noise of a workshop.

What is said next depends on what the tool answered, so the sound cannot be made beforehand. A generator gives it
piece by piece; noise, level and telephone band lie on all of it without a seam.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from people import RATE, Wave, telephone

from handsfree.ears.blocks import BLOCK_SAMPLES, BLOCK_SECONDS, Block

BED = 60.0
"""Seconds of noise, repeated."""


@dataclass(frozen=True, slots=True)
class Condition:
    name: str
    noise: str = ""
    """One of models/training/eval_noise.py's, or hum, pink, talk; "" = none."""
    snr: float = 0.0
    """Decibels, against the words."""
    level: float | None = None
    """dBFS of the words (root mean square); None: as recorded."""
    narrow: bool = False
    """8 kHz, 300 to 3400 Hz."""


class Workshop:
    """A source of sound (see ears/blocks.py) fed by a generator of pieces."""

    open_air = False

    def __init__(
        self, pieces: Iterator[Wave], condition: Condition, bed: Wave | None, gain: float, *, realtime: bool = False
    ) -> None:
        """`bed`: noise at the wanted power, before `gain`."""
        self.realtime = realtime
        self.position = 0
        """Samples given so far."""
        self._pieces = pieces
        self._condition = condition
        self._bed = bed
        self._gain = gain

    def blocks(self) -> Iterator[Block]:
        began = time.monotonic()
        rest = np.zeros(0)
        for piece in self._pieces:
            sound = telephone(piece) if self._condition.narrow else piece
            rest = np.concatenate([rest, sound])
            while len(rest) >= BLOCK_SAMPLES:
                block, rest = rest[:BLOCK_SAMPLES], rest[BLOCK_SAMPLES:]
                if self.realtime:
                    due = began + (self.position / BLOCK_SAMPLES + 1) * BLOCK_SECONDS
                    time.sleep(max(0.0, due - time.monotonic()))
                yield Block(self._recorded(block), self.position, time.monotonic())
                self.position += BLOCK_SAMPLES

    def close(self) -> None:
        pass

    def _recorded(self, block: Wave) -> bytes:
        if self._bed is not None:
            at = (self.position + np.arange(BLOCK_SAMPLES)) % len(self._bed)
            block = block + self._bed[at]
        return np.clip(np.rint(block * self._gain), -32768, 32767).astype("<i2").tobytes()


def bed_of(condition: Condition, power: float, talk: list[Wave], rng: np.random.Generator) -> Wave | None:
    """A minute of the condition's noise against words of this power; None for none."""
    if not condition.noise:
        return None
    noise = noise_of(condition.noise, round(BED * RATE), talk, rng)
    return noise * np.sqrt(power / 10 ** (condition.snr / 10) / np.mean(noise**2))


def noise_of(name: str, samples: int, talk: list[Wave], rng: np.random.Generator) -> Wave:
    from eval_noise import NOISES

    if name in OWN:
        return OWN[name](samples, talk, rng)
    return np.asarray(NOISES[name](samples, rng, talk))


def _hum(samples: int, talk: list[Wave], rng: np.random.Generator) -> Wave:
    at = np.arange(samples) / RATE
    mains = rng.choice([50.0, 60.0])
    return np.asarray(sum(rng.uniform(0.2, 1) * np.sin(2 * np.pi * mains * n * at) / n for n in range(1, 10)))


def _pink(samples: int, talk: list[Wave], rng: np.random.Generator) -> Wave:
    spectrum = np.fft.rfft(rng.standard_normal(samples))
    return np.fft.irfft(spectrum / np.sqrt(np.maximum(np.fft.rfftfreq(samples, 1 / RATE), 20)), samples)


def _talk(samples: int, talk: list[Wave], rng: np.random.Generator) -> Wave:
    """Others talking beside, one at a time, with pauses."""
    pieces: list[Wave] = []
    while sum(map(len, pieces)) < samples:
        voice = talk[rng.integers(len(talk))]
        pieces += [voice / np.sqrt(np.mean(voice**2)), np.zeros(round(rng.uniform(0.5, 3) * RATE))]
    return np.concatenate(pieces)[:samples]


OWN: dict[str, Callable[[int, list[Wave], np.random.Generator], Wave]] = {"hum": _hum, "pink": _pink, "talk": _talk}
