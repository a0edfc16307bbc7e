"""People counting swings, spliced: digits one to nine of one speaker, set on the beat of a dying pendulum.

The digits are AN4's and the spelled numbers' (../shared/speech, read in place); who trains, tunes and tests is as in
models/training/corpora.py. The beat follows the pass durations of a pendulum with dry friction (mu = 0.10 from 90
degrees, worked out outside the project: 1.1517, 1.0953, 1.0585 ... of half a small period), with the unsteadiness of
a person. What goes wrong with a count is made on purpose: see `Trouble`.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from random import Random

import numpy as np
import numpy.typing as npt
import soundfile

TOP = Path(__file__).parents[2]
SPEECH = TOP.parent / "shared" / "speech"
sys.path.insert(0, str(TOP / "models" / "training"))

from corpora import Clip, read_an4, read_spelled  # noqa: E402

RATE = 16_000
DIGITS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
LETTERS, OCTAVES = ("A", "B", "C", "D", "E", "F", "G"), ("two", "three", "four", "five", "six")
DURATIONS = (1.1517, 1.0953, 1.0585, 1.0336, 1.0172, 1.0072, 1.0028)
"""Of successive passes, in halves of the small period."""
BEATS = (0.40, 0.78)
"""Seconds a count when the hammer hardly swings any more: from passes as fast as these words can be said up to to and
fro of the longest hammer (reckoning/hammer_period.py)."""
UNSTEADY = 0.03
"""Seconds, standard deviation: how far from the beat a number is said."""
FEWEST = 4
EDGE = 0.04
LOUDNESS = 3000.0
"""Root mean square: about -21 dBFS."""
BEFORE, AFTER = 1.0, 4.0
"""Seconds of silence around a count."""

Wave = npt.NDArray[np.float64]


class Trouble(StrEnum):
    NONE = "clean"
    DROPPED = "dropped, beat kept"
    """One in the middle is not spoken up; the next comes a beat later."""
    KNOCK = "covered by a knock"
    """A knock falls on one of them, any but the last."""
    KNOCK_LAST = "knock on the last"
    KNOCK_AFTER = "knock afterwards"
    """The action is knocked 0.3 to 1.5 s after the last one."""
    STUTTERED = "doubled within a beat"
    DOUBLED = "doubled, a beat each"
    """Two totals are possible: only a question is right."""
    SKIPPED = "left out, no beat"
    """ "one two four", evenly: only a question is right."""


ONLY_A_QUESTION = frozenset({Trouble.DOUBLED, Trouble.SKIPPED})


@dataclass(frozen=True)
class Take:
    """One count as it sounds."""

    speaker: str
    trouble: Trouble
    note: str
    """ "a four", "" = none said."""
    total: int
    wave: npt.NDArray[np.int16]
    ends: tuple[tuple[int, float], ...]
    """(number, seconds at which its word ends), of what was spoken."""


@dataclass(frozen=True)
class _Place:
    path: Path
    start: float
    end: float


def here() -> bool:
    return (SPEECH / "an4").is_dir()


@cache
def people(split: str) -> dict[str, dict[str, list[_Place]]]:
    """Speaker -> word -> where they say it, of those who say at least FEWEST digits from one on without a gap."""
    clips: list[Clip] = [*read_an4(SPEECH / "an4"), *read_spelled(SPEECH / "spelled")]
    found: dict[str, dict[str, list[_Place]]] = defaultdict(lambda: defaultdict(list))
    for clip in clips:
        if clip.split == split:
            for word in clip.spoken:
                found[clip.speaker][word.word].append(_Place(clip.path, word.start, word.end))
    return {who: dict(words) for who, words in sorted(found.items()) if highest(words) >= FEWEST}


def highest(words: Mapping[str, object]) -> int:
    """How far somebody can count with these words, 0..9."""
    return next((n for n, digit in enumerate(DIGITS) if digit not in words), len(DIGITS))


def take(speaker: str, split: str, trouble: Trouble, rng: Random, noise: float = 60.0) -> Take:
    """A count of two to nine swings, as far as the speaker has digits; `noise`: its root mean square, everywhere."""
    words = people(split)[speaker]
    total = min(highest(words), max(4 if trouble is not Trouble.NONE else 2, round(rng.gauss(6.5, 1.7))))
    voices = [_cut(rng.choice(words[d])) for d in DIGITS[:total]]
    beat = rng.uniform(*BEATS) if trouble is not Trouble.STUTTERED else rng.uniform(0.68, BEATS[1])
    onsets = _onsets(total + 1, beat, rng)
    odd = rng.randrange(1, total - 1) if total > 2 else 0
    spoken = [(n, onsets[n - 1], voices[n - 1]) for n in range(1, total + 1)]
    if trouble is Trouble.DROPPED:
        del spoken[odd]
    elif trouble is Trouble.SKIPPED:
        spoken = [(n, onsets[n - 1 - (n > odd)], voices[n - 1]) for n in range(1, total + 1) if n != odd + 1]
    elif trouble is Trouble.DOUBLED:
        spoken = [(n, onsets[n - 1 + (n > odd)], voices[n - 1]) for n in range(1, total + 1)]
        spoken.insert(odd, (odd, onsets[odd], voices[odd - 1]))
    elif trouble is Trouble.STUTTERED:
        spoken.insert(odd, (odd, onsets[odd - 1] + 0.45 * beat, voices[odd - 1]))
    note, pieces, at = "", [], BEFORE
    letters, octaves = [w for w in LETTERS if w in words], [w for w in OCTAVES if w in words]
    if letters and octaves and rng.random() < 0.5:
        letter, octave = rng.choice(letters), rng.choice(octaves)
        note = f"{letter.lower()} {octave}"
        for word in (letter, octave):
            piece = _cut(rng.choice(words[word]))
            pieces.append((at, piece))
            at += len(piece) / RATE - EDGE
        at += rng.uniform(0.15, 1.2)
    ends = []
    spoken.sort(key=lambda one: one[1])
    for i, (number, onset, voice) in enumerate(spoken):
        room = spoken[i + 1][1] - onset if i + 1 < len(spoken) else 9.0
        voice = _faded(voice[: round((room + EDGE) * RATE)])
        pieces.append((at + onset - EDGE, voice))
        ends.append((number, at + onset + len(voice) / RATE - 2 * EDGE))
    last = spoken[-1][1] + at
    if trouble is Trouble.KNOCK:
        pieces.append((at + onsets[odd] + rng.uniform(-0.05, 0.1), _knock(rng)))
    elif trouble is Trouble.KNOCK_LAST:
        pieces.append((last + rng.uniform(-0.05, 0.1), _knock(rng)))
    elif trouble is Trouble.KNOCK_AFTER:
        pieces.append((ends[-1][1] + rng.uniform(0.3, 1.5), _knock(rng)))
    return Take(speaker, trouble, note, total, _mixed(pieces, last + AFTER, noise, rng), tuple(ends))


def _onsets(count: int, beat: float, rng: Random) -> list[float]:
    """`beat`: seconds of a small swing."""
    at, onsets = 0.0, []
    for i in range(count):
        onsets.append(at + rng.gauss(0, UNSTEADY))
        at += beat * DURATIONS[min(i, len(DURATIONS) - 1)]
    onsets[0] = max(onsets[0], 0.0)
    return onsets


@cache
def _recording(path: Path) -> npt.NDArray[np.int16]:
    samples, rate = soundfile.read(path, dtype="int16")
    assert rate == RATE
    return np.asarray(samples)


def _cut(place: _Place) -> Wave:
    recording = _recording(place.path)
    wave = recording[max(0, round((place.start - EDGE) * RATE)) : round((place.end + EDGE) * RATE)].astype(np.float64)
    return _faded(wave * LOUDNESS / max(1.0, float(np.sqrt(np.mean(wave**2)))))


def _faded(wave: Wave) -> Wave:
    wave = wave.copy()
    edge = min(RATE // 100, len(wave) // 4)
    wave[:edge] *= np.linspace(0, 1, edge)
    wave[len(wave) - edge :] *= np.linspace(1, 0, edge)
    return wave


def _knock(rng: Random) -> Wave:
    """Wood on wood, synthetic: no open recording of a workshop was found (CHECKS 8)."""
    at = np.arange(round(0.35 * RATE)) / RATE
    noise = np.random.default_rng(rng.randrange(2**32)).normal(0, 1, len(at))
    body = np.sin(2 * np.pi * rng.uniform(150, 500) * at)
    return np.asarray(14_000 * np.exp(-at * rng.uniform(12, 40)) * (0.7 * noise + body))


def _mixed(pieces: list[tuple[float, Wave]], seconds: float, noise: float, rng: Random) -> npt.NDArray[np.int16]:
    sound = np.random.default_rng(rng.randrange(2**32)).normal(0, noise, round(seconds * RATE) + RATE)
    for at, piece in pieces:
        first = max(0, round(at * RATE))
        end = min(len(sound), first + len(piece))
        sound[first:end] += piece[: end - first]
    return np.clip(np.rint(sound), -32768, 32767).astype(np.int16)
