"""Human words of one speaker spliced into readings, from the AN4 recordings beside the project (read in place).

AN4: CMU's census database, letters and numbers read aloud by 74 people (see ../shared/speech/README.md); word times
from its word_times.tsv are rough, so a splice may clip a word: choose clips that are clear.
"""

from __future__ import annotations

import csv
import random
from collections import defaultdict
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
import soundfile

RATE = 16_000
AN4 = Path(__file__).parents[3] / "shared" / "speech" / "an4"

Wave = npt.NDArray[np.float64]

LETTERS, OCTAVES = "abcdefg", ("two", "three", "four", "five", "six")
TENS = ("twenty", "thirty", "forty", "fifty", "sixty")
UNITS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")

EDGE = 0.04
"""Seconds of the recording kept on either side of a word."""
BETWEEN = 0.02
LOUDNESS = 3000.0
"""Root mean square of a reading: about -21 dBFS."""
SILENCE_NOISE = 30.0
"""Root mean square of the noise added everywhere: 40 dB below the speech."""


def skip_without_speech() -> None:
    if not AN4.is_dir():
        pytest.skip("needs the human speech in ../shared/speech/an4, which is not on this machine")


@cache
def words_of(speaker: str) -> dict[str, list[tuple[str, float, float]]]:
    """Word -> where it stands in the speaker's recordings: (file, start, end) in seconds."""
    return _index()[speaker]


def speakers() -> list[str]:
    """Those who said a letter, an octave, a ten and a unit."""
    return [s for s in sorted(_index()) if all(_known(s, kind) for kind in (LETTERS, OCTAVES, TENS, UNITS))]


def random_reading(speaker: str, rng: random.Random) -> str:
    """ "c four fifty two", of words that the speaker said."""
    return " ".join(rng.choice(_known(speaker, kind)) for kind in (LETTERS, OCTAVES, TENS, UNITS))


def spoken(speaker: str, text: str, rng: random.Random) -> Wave:
    """The words one after the other, at LOUDNESS, in 16-bit steps."""
    pieces: list[Wave] = []
    for word in text.split():
        pieces += [_cut(*rng.choice(words_of(speaker)[word])), np.zeros(round(BETWEEN * RATE))]
    wave = np.concatenate(pieces)
    return wave * LOUDNESS / np.sqrt(np.mean(wave**2))


def with_pauses(
    waves: Sequence[Wave], pause: float, noise: float = SILENCE_NOISE
) -> tuple[npt.NDArray[np.int16], list[tuple[float, float]]]:
    """A recording with silence before, between and after; and (start, end) of each, in seconds."""
    gap = np.zeros(round(pause * RATE))
    pieces, places, at = [gap], [], pause
    for wave in waves:
        seconds = len(wave) / RATE
        places.append((at, at + seconds - EDGE - BETWEEN))
        pieces += [wave, gap]
        at += seconds + pause
    sound = np.concatenate(pieces)
    sound += np.random.default_rng(7).normal(0, noise, len(sound))
    return np.clip(np.rint(sound), -32768, 32767).astype(np.int16), places


def _known(speaker: str, kind: Sequence[str]) -> list[str]:
    return [word for word in kind if words_of(speaker).get(word)]


@cache
def _index() -> dict[str, dict[str, list[tuple[str, float, float]]]]:
    index: dict[str, dict[str, list[tuple[str, float, float]]]] = defaultdict(lambda: defaultdict(list))
    with (AN4 / "word_times.tsv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file, delimiter="\t"):
            place = (row["file"], float(row["start_s"]), float(row["end_s"]))
            index[row["file"].split("/")[0]][row["word"].lower()].append(place)
    return index


@cache
def _recording(name: str) -> npt.NDArray[np.int16]:
    samples, rate = soundfile.read(AN4 / name, dtype="int16")
    assert rate == RATE
    return np.asarray(samples)


def _cut(name: str, start: float, end: float) -> Wave:
    recording = _recording(name)
    first = max(0, round((start - EDGE) * RATE))
    wave = recording[first : round((end + EDGE) * RATE)].astype(np.float64)
    edge = min(RATE // 100, len(wave) // 4)
    wave[:edge] *= np.linspace(0, 1, edge)
    wave[-edge:] *= np.linspace(1, 0, edge)
    return wave
