"""Telling a voice from a string that rings: human words against synthetic strings."""

from __future__ import annotations

import random

import numpy as np
import pytest
import soundfile
from spliced_speech import AN4, RATE, random_reading, skip_without_speech, speakers, spoken, words_of

from handsfree.ears.motion import LEAST_MOTION, is_steady_tone, motion


def string(hertz: float, seconds: float, decay: float = 1.0) -> np.ndarray:
    """Partials of a stiff string dying away, with the hammer's knock; equal temperament, 440 Hz (ISO 16)."""
    at = np.arange(round(seconds * RATE)) / RATE
    partials = [
        np.exp(-at * (decay + 0.5 * n)) * np.sin(2 * np.pi * hertz * n * np.sqrt(1 + 4e-4 * n * n) * at) / n
        for n in range(1, 12)
        if hertz * n < 7000
    ]
    knock = np.exp(-at * 200) * np.random.default_rng(5).normal(0, 1, len(at))
    return 6000 * (np.sum(partials, axis=0) + knock) / 2


def pcm(wave: np.ndarray) -> bytes:
    noisy = wave + np.random.default_rng(6).normal(0, 10, len(wave))
    return np.clip(noisy, -32768, 32767).astype("<i2").tobytes()


@pytest.mark.parametrize("key", [1, 7, 13, 25, 37, 49, 61, 73])
def test_strings_keep_their_shape(key: int) -> None:
    assert is_steady_tone(pcm(string(440.0 * 2 ** ((key - 49) / 12), 1.5)))


@pytest.mark.parametrize("hertz", [50.0, 1000.0, 3000.0])
def test_hum_and_whistle_keep_their_shape(hertz: float) -> None:
    at = np.arange(2 * RATE) / RATE
    assert is_steady_tone(pcm(4000 * np.sin(2 * np.pi * hertz * at)))


def test_single_words_of_many_people_move() -> None:
    """Every word of the note and number language that stands in the AN4 recordings, cut out alone."""
    skip_without_speech()
    lowest = []
    for speaker in speakers():
        for word in ("a", "e", "three", "eight", "fifty", "twenty"):
            for name, start, end in words_of(speaker).get(word, [])[:2]:
                samples, _ = soundfile.read(
                    AN4 / name,
                    dtype="int16",
                    start=max(0, round((start - 0.3) * RATE)),
                    stop=round((end + 0.4) * RATE),
                )
                if (found := motion(samples.tobytes())) is not None:
                    lowest.append(found)
    assert len(lowest) > 300
    assert min(lowest) > LEAST_MOTION


def test_speech_over_a_ringing_string_moves() -> None:
    """A close microphone and a note that still rings: speech 5 dB above it (CHECKS 8)."""
    skip_without_speech()
    rng = random.Random(2)
    for speaker in speakers()[::6]:
        voice = spoken(speaker, random_reading(speaker, rng), rng)
        ringing = string(220.0, len(voice) / RATE, 0.3)[: len(voice)]
        ringing *= np.sqrt(np.mean(voice**2) / np.mean(ringing**2)) / 10 ** (5 / 20)
        assert not is_steady_tone(pcm(voice + ringing))


def test_too_short_to_tell() -> None:
    assert motion(b"") is None
    assert motion(pcm(np.zeros(320))) is None
    assert not is_steady_tone(pcm(string(220.0, 0.15)))
