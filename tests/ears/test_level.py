"""The meter against NumPy and against the definition of full scale."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handsfree.ears.level import QUIETEST, dbfs

RATE = 16_000


def pcm(wave: np.ndarray) -> bytes:
    return np.clip(np.rint(wave * 32767), -32768, 32767).astype("<i2").tobytes()


@pytest.mark.parametrize(
    ("wave", "expected"),
    [
        # root mean square of a sine is its amplitude / sqrt 2 (mathematics): 20 log10(1 / sqrt 2) = -3.01 dB
        (np.sin(2 * np.pi * 1000 * np.arange(RATE) / RATE), -3.01),
        (0.1 * np.sin(2 * np.pi * 1000 * np.arange(RATE) / RATE), -23.01),
        (np.where(np.arange(RATE) % 16 < 8, 1.0, -1.0), 0.0),
        (np.full(RATE, 0.5), -6.02),
    ],
)
def test_known_waves(wave: np.ndarray, expected: float) -> None:
    assert dbfs(pcm(wave)) == pytest.approx(expected, abs=0.01)


def test_agrees_with_numpy_on_noise() -> None:
    noise = np.random.default_rng(1).integers(-20_000, 20_000, 320).astype("<i2")
    reference = 10 * math.log10(np.mean((noise / 32768.0) ** 2))
    assert dbfs(noise.tobytes()) == pytest.approx(reference, abs=1e-9)


@pytest.mark.parametrize("data", [b"", b"\0", b"\0" * 640])
def test_silence_is_the_lowest(data: bytes) -> None:
    assert dbfs(data) == QUIETEST
