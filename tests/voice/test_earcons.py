"""Earcons: told apart by shape, soft, short, at once; measured on the samples as played."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from handsfree.nouns import Earcon
from handsfree.voice.earcons import PEAK_DBFS, RATE, earcon_sound

A4 = 440.0
"""Hertz, ISO 16."""


def samples(which: Earcon) -> np.ndarray:
    return np.frombuffer(earcon_sound(which).pcm, "<i2").astype(float)


def pitch(wave: np.ndarray) -> float:
    """Strongest frequency, hertz, by NumPy's Fourier transform."""
    spectrum = np.abs(np.fft.rfft(wave * np.hanning(len(wave)), 1 << 18))
    return float(np.argmax(spectrum)) * RATE / (1 << 18)


def contour(which: Earcon) -> tuple[int, ...]:
    """How the pitch moves from the first to the last third, and whether there is a gap: the shape."""
    wave = samples(which)
    third = len(wave) // 3
    first, last = pitch(wave[:third]), pitch(wave[-third:])
    moves = 0 if abs(last / first - 1) < 0.03 else (1 if last > first else -1)
    loud = np.array([np.abs(wave[i : i + 240]).max() > 20 for i in range(0, len(wave) - 240, 240)])
    notes = 1 + int(np.sum(~loud[:-1] & loud[1:]))
    return moves, notes, int(first < A4)


def test_each_has_a_shape_of_its_own() -> None:
    assert contour(Earcon.QUESTION)[0] == 1, "rising"
    assert contour(Earcon.WITHDRAWN)[0] == -1, "falling"
    assert contour(Earcon.ACCEPTED)[0] == 0
    assert contour(Earcon.REFUSED)[1] == 2
    for one, other in combinations(Earcon, 2):
        assert contour(one) != contour(other)


@pytest.mark.parametrize("which", list(Earcon))
def test_soft_short_and_at_once(which: Earcon) -> None:
    wave = samples(which)
    assert earcon_sound(which).seconds <= 0.3
    peak = 20 * np.log10(np.abs(wave).max() / 32767)
    assert PEAK_DBFS - 6 < peak <= PEAK_DBFS + 0.1
    assert np.argmax(np.abs(wave) > 100) / RATE < 0.005
    assert abs(wave[0]) < 50, "no click at the beginning"
    assert abs(wave[-1]) < 50, "no click at the end"


@pytest.mark.parametrize("which", list(Earcon))
def test_no_pitch_is_that_of_a_string(which: Earcon) -> None:
    """Keys are whole semitones from A4 = 440 Hz (equal temperament); earcons keep a quarter tone away."""
    wave = samples(which)
    for part in (wave[: len(wave) // 3], wave[-len(wave) // 3 :]):
        semitones = 12 * np.log2(pitch(part) / A4)
        assert abs(semitones - round(semitones)) > 0.25


def test_the_same_each_time() -> None:
    assert earcon_sound(Earcon.QUESTION) == earcon_sound(Earcon.QUESTION)
