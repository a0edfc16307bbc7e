"""The words that people's counts are spliced from: digits one to nine and letters of one speaker, cut out and laid on
the beat of a dying pendulum.

The words are AN4's and the spelled numbers' (../shared/speech, read in place); who trains, tunes and tests is as in
models/training/corpora.py. The beat follows the pass durations of a pendulum with dry friction (mu = 0.10 from 90
degrees, worked out outside the project: 1.1517, 1.0953, 1.0585 ... of half a small period), with the unsteadiness of
a person. A word is set on the beat by its attack, as people do, not by its first faint sound. What goes wrong with a
count is made on purpose: see count_takes.py.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from random import Random

import numpy as np
import numpy.typing as npt
import soundfile

from handsfree.words.notes import ALPHABET

TOP = Path(__file__).parents[2]
SPEECH = TOP.parent / "shared" / "speech"
sys.path.insert(0, str(TOP / "models" / "training"))

from corpora import Clip, read_an4, read_orders, read_spelled, word_times  # noqa: E402

RATE = 16_000
DIGITS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
LETTERS, OCTAVES = tuple(ALPHABET), ("two", "three", "four", "five", "six")
DURATIONS = (1.1517, 1.0953, 1.0585, 1.0336, 1.0172, 1.0072, 1.0028)
"""Of successive passes, in halves of the small period."""
UNSTEADY = 0.03
"""Seconds, standard deviation: how far from the beat a number is said."""
SMOOTH, RISEN, GONE = 0.03, 0.5, 0.1
"""A word is on the beat where its sound, smoothed over so many seconds, has risen to this part of its loudest: the
vowel begins there (perceptual centres, from memory). It ends where it has fallen to the last of these."""
FEWEST = 4
EDGE = 0.04
LOUDNESS = 3000.0
"""Root mean square: about -21 dBFS."""

Wave = npt.NDArray[np.float64]
Pcm = npt.NDArray[np.int16]
Piece = tuple[float, Wave]
"""When it begins, seconds, and how it sounds."""


@dataclass(frozen=True)
class Place:
    """Where a word is said."""

    path: Path
    start: float
    end: float


Words = Mapping[str, list[Place]]


def here() -> bool:
    return (SPEECH / "an4").is_dir()


@cache
def people(split: str) -> dict[str, dict[str, list[Place]]]:
    """Speaker -> word -> where they say it, of those who say at least FEWEST digits from one on without a gap."""
    times = word_times()
    clips: list[Clip] = [*read_an4(SPEECH / "an4", times), *read_spelled(SPEECH / "spelled", times)]
    found: dict[str, dict[str, list[Place]]] = defaultdict(lambda: defaultdict(list))
    for clip in clips:
        if clip.split == split:
            for word in clip.spoken:
                found[clip.speaker][word.word].append(Place(clip.path, word.start, word.end))
    return {who: dict(words) for who, words in sorted(found.items()) if highest(words) >= FEWEST}


def highest(words: Mapping[str, object]) -> int:
    """How far somebody can count with these words, 0..9."""
    return next((n for n, digit in enumerate(DIGITS) if digit not in words), len(DIGITS))


def notes(words: Mapping[str, object]) -> list[str]:
    """What notes can be named with these words."""
    return [
        f"{letter.lower()} {octave}" for letter in LETTERS for octave in OCTAVES if {letter, octave} <= set(words)
    ]


def saying(text: str, words: Words, at: float, rng: Random) -> tuple[list[Piece], float]:
    """ "a four seven" from `at` seconds on, fluently, and when it is over."""
    pieces: list[Piece] = []
    for word in text.split():
        piece = cut(rng.choice(words[word.upper() if len(word) == 1 else word]))
        pieces.append((at, piece))
        at += len(piece) / RATE - EDGE
    return pieces, at


def onsets(count: int, beat: float, rng: Random) -> list[float]:
    """`beat`: seconds of a small swing."""
    at, found = 0.0, []
    for i in range(count):
        found.append(at + rng.gauss(0, UNSTEADY))
        at += beat * DURATIONS[min(i, len(DURATIONS) - 1)]
    found[0] = max(found[0], 0.0)
    return found


@cache
def _recording(path: Path) -> Pcm:
    samples, rate = soundfile.read(path, dtype="int16")
    assert rate == RATE
    return np.asarray(samples)


def cut(place: Place) -> Wave:
    recording = _recording(place.path)
    wave = recording[max(0, round((place.start - EDGE) * RATE)) : round((place.end + EDGE) * RATE)].astype(np.float64)
    return faded(wave * LOUDNESS / max(1.0, float(np.sqrt(np.mean(wave**2)))))


@cache
def _talk(split: str) -> list[Path]:
    return [
        clip.path for clip in read_orders(SPEECH / "orders") if clip.split == ("test" if split == "test" else "train")
    ]


def murmur(split: str, rng: Random) -> Wave:
    """Two seconds of talk under the breath, 16 dB softer than the counting."""
    recording = _recording(rng.choice(_talk(split)))
    first = rng.randrange(max(1, len(recording) - 2 * RATE))
    wave = recording[first : first + 2 * RATE].astype(np.float64)
    return faded(wave * 0.16 * LOUDNESS / max(1.0, float(np.sqrt(np.mean(wave**2)))))


def _envelope(wave: Wave) -> Wave:
    """Loudness, smoothed, as part of the loudest."""
    width = round(SMOOTH * RATE)
    power = np.convolve(wave**2, np.ones(width) / width, mode="same")
    return np.asarray(np.sqrt(power / max(1e-9, float(power.max()))))


def attack(wave: Wave) -> float:
    """Seconds into a word, as it was cut out, at which it is on the beat. The edges of a cut hold the end of the word
    before and the beginning of the next: it begins where it is softest, and ends with its own end."""
    loud = _envelope(wave)[: len(wave) - round(EDGE * RATE)]
    first = int(np.argmin(loud[: round(2 * EDGE * RATE)]))
    return float(first + np.argmax(loud[first:] >= RISEN * loud[first:].max())) / RATE


def end(wave: Wave) -> float:
    """Seconds into a word at which it is over."""
    return float(np.flatnonzero(_envelope(wave) >= GONE)[-1]) / RATE


def faded(wave: Wave) -> Wave:
    wave = wave.copy()
    edge = min(RATE // 100, len(wave) // 4)
    wave[:edge] *= np.linspace(0, 1, edge)
    wave[len(wave) - edge :] *= np.linspace(1, 0, edge)
    return wave


def mixed(pieces: list[Piece], seconds: float, noise: float, rng: Random) -> Pcm:
    """`noise`: its root mean square, everywhere."""
    sound = np.random.default_rng(rng.randrange(2**32)).normal(0, noise, round(seconds * RATE) + RATE)
    for at, piece in pieces:
        first = max(0, round(at * RATE))
        last = min(len(sound), first + len(piece))
        sound[first:last] += piece[: last - first]
    return np.clip(np.rint(sound), -32768, 32767).astype(np.int16)
