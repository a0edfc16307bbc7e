"""People counting swings, spliced: digits one to nine of one speaker, set on the beat of a dying pendulum.

The digits are AN4's and the spelled numbers' (../shared/speech, read in place); who trains, tunes and tests is as in
models/training/corpora.py. The beat follows the pass durations of a pendulum with dry friction (mu = 0.10 from 90
degrees, worked out outside the project: 1.1517, 1.0953, 1.0585 ... of half a small period), with the unsteadiness of
a person. A word is set on the beat by its attack, as people do, not by its first faint sound. What goes wrong with a
count is made on purpose: see `Trouble`.
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

from corpora import Clip, read_an4, read_spelled, word_times  # noqa: E402

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
SMOOTH, RISEN, GONE = 0.03, 0.5, 0.1
"""A word is on the beat where its sound, smoothed over so many seconds, has risen to this part of its loudest: the
vowel begins there (perceptual centres, from memory). It ends where it has fallen to the last of these."""
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
    SOFTER = "softer and softer"
    """The voice falls away with the swings: the last one at a fifth of the loudness of the first (14 dB)."""
    NEXT_NOTE = "next note at once"
    """The next note is named before the silence is over: 0.8 to 1.5 beats after the last number."""
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
    then: str = ""
    """The note that was named right after it."""


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
    times = word_times()
    clips: list[Clip] = [*read_an4(SPEECH / "an4", times), *read_spelled(SPEECH / "spelled", times)]
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
    note, then, pieces, at = "", "", [], BEFORE
    named = _notes(words)
    if named and rng.random() < 0.5:
        note = rng.choice(named)
        spoken_note, at = _said(note, words, at, rng)
        pieces += spoken_note
        at += rng.uniform(0.15, 1.2)
    ends = []
    spoken.sort(key=lambda one: one[1])
    # the first word's attack is on the first beat: what is before it still needs room after the note
    at += max(0.0, _attack(spoken[0][2]) - EDGE)
    begins = [at + onset - _attack(voice) for _, onset, voice in spoken]
    for i, (number, _, voice) in enumerate(spoken):
        room = begins[i + 1] - begins[i] if i + 1 < len(spoken) else 9.0
        voice = _faded(voice[: round((room + EDGE) * RATE)])
        if trouble is Trouble.SOFTER:
            voice = voice * 0.2 ** (i / (len(spoken) - 1))
        pieces.append((begins[i], voice))
        ends.append((number, begins[i] + _end(voice)))
    last = spoken[-1][1] + at
    if trouble is Trouble.KNOCK:
        pieces.append((at + onsets[odd] + rng.uniform(-0.1, 0.1), _knock(rng)))
    elif trouble is Trouble.KNOCK_LAST:
        pieces.append((last + rng.uniform(-0.1, 0.1), _knock(rng)))
    elif trouble is Trouble.KNOCK_AFTER:
        pieces.append((ends[-1][1] + rng.uniform(0.3, 1.5), _knock(rng)))
    elif trouble is Trouble.NEXT_NOTE and (others := [n for n in named if n != note]):
        then = rng.choice(others)
        begins_then = max(last + rng.uniform(0.8, 1.5) * beat, ends[-1][1] + 0.1)
        spoken_note, last = _said(then, words, begins_then, rng)
        pieces += spoken_note
    return Take(speaker, trouble, note, total, _mixed(pieces, last + AFTER, noise, rng), tuple(ends), then)


def _notes(words: Mapping[str, object]) -> list[str]:
    """What notes can be named with these words."""
    return [
        f"{letter.lower()} {octave}" for letter in LETTERS for octave in OCTAVES if {letter, octave} <= set(words)
    ]


def _said(
    note: str, words: Mapping[str, list[_Place]], at: float, rng: Random
) -> tuple[list[tuple[float, Wave]], float]:
    """A note from `at` seconds on, and when it is over."""
    pieces = []
    for word in note.split():
        piece = _cut(rng.choice(words[word.upper() if len(word) == 1 else word]))
        pieces.append((at, piece))
        at += len(piece) / RATE - EDGE
    return pieces, at


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


def _envelope(wave: Wave) -> Wave:
    """Loudness, smoothed, as part of the loudest."""
    width = round(SMOOTH * RATE)
    power = np.convolve(wave**2, np.ones(width) / width, mode="same")
    return np.asarray(np.sqrt(power / max(1e-9, float(power.max()))))


def _attack(wave: Wave) -> float:
    """Seconds into a word at which it is on the beat."""
    return float(np.argmax(_envelope(wave) >= RISEN)) / RATE


def _end(wave: Wave) -> float:
    """Seconds into a word at which it is over."""
    return float(np.flatnonzero(_envelope(wave) >= GONE)[-1]) / RATE


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


def saying(speaker: str, split: str, text: str, rng: Random, noise: float = 60.0) -> npt.NDArray[np.int16]:
    """A sentence of one speaker's words ("a five", "seven"), spliced with the short pauses of fluent speech."""
    words = people(split)[speaker]
    pieces, at = [], BEFORE
    for word in text.split():
        piece = _cut(rng.choice(words[word.upper() if len(word) == 1 else word]))
        pieces.append((at, piece))
        at += len(piece) / RATE - 2 * EDGE + rng.uniform(0.0, 0.12)
    return _mixed(pieces, at + 3.0, noise, rng)
