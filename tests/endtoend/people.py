"""People of the corpora beside the project, one at a time, saying readings in their own words.

Words are cut out where models/training/word_times.tsv has them and laid on the person's own room.
Where a person said two words in a row ("sixty two", "e four"), they are taken together, flowing as they were spoken.
Which people a model may never have heard is told by models/training/corpora.py.
"""

from __future__ import annotations

import csv
import sys
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt
import soundfile
from scipy import signal

ROOT = Path(__file__).parents[2]
SPEECH = ROOT.parent / "shared" / "speech"
WORD_TIMES = ROOT / "models" / "training" / "word_times.tsv"
"""Where each word lies, checked by forced alignment; words in doubt are left out."""
sys.path.insert(0, str(ROOT / "models" / "training"))

RATE = 16_000
Wave = npt.NDArray[np.float64]
"""Full scale 32767."""

BEFORE, AFTER, FADE = 0.03, 0.04, 0.01
"""Seconds kept around a word; of the fades at its ends."""
JOINED = 0.06
"""Seconds between two words that still count as spoken in a row."""
FRAME = 512
CUT_WRONGLY = {("s47", "four")}
"""The only take does not hold the word: in every reading it is heard as "zero"."""


@dataclass(frozen=True, slots=True)
class Person:
    speaker: str
    group: str
    words: dict[str, list[Wave]]
    """What the person said: single words, and pairs that were spoken in a row ("sixty two")."""
    hush: Wave
    """Amplitude spectrum of the person's silence, FRAME // 2 + 1 bins."""

    @property
    def power(self) -> float:
        """Mean square of the speech."""
        return float(np.median([np.mean(take**2) for takes in self.words.values() for take in takes]))

    def room(self, seconds: float, rng: np.random.Generator) -> Wave:
        """The silence of the person's recordings, going on for as long as is wanted."""
        samples = round(seconds * RATE)
        spectrum = np.fft.rfft(rng.standard_normal(samples + FRAME))
        shape = np.interp(np.linspace(0, 1, len(spectrum)), np.linspace(0, 1, len(self.hush)), self.hush)
        return np.fft.irfft(spectrum * shape, samples + FRAME)[:samples]

    def says(self, groups: Sequence[Sequence[str]], rng: np.random.Generator, apart: tuple[float, float]) -> Wave:
        """The words of a group 20 to 60 ms apart or in one flow, groups `apart` seconds (lowest, highest)."""
        pieces: list[Wave] = []
        for number, group in enumerate(groups):
            if number:
                pieces.append(self.room(rng.uniform(*apart), rng))
            for place, take in enumerate(self._takes(group, rng)):
                if place:
                    pieces.append(self.room(rng.uniform(0.02, 0.06), rng))
                pieces.append(take)
        return np.concatenate(pieces)

    def _takes(self, group: Sequence[str], rng: np.random.Generator) -> list[Wave]:
        takes, words = [], list(group)
        while words:
            pair = " ".join(words[:2])
            if len(words) > 1 and pair in self.words:
                name, words = pair, words[2:]
            else:
                name, words = words[0], words[1:]
            takes.append(self.words[name][rng.integers(len(self.words[name]))])
        return takes


def people(split: str, least_words: int = 0) -> list[Person]:
    """Those of "dev", "test" or "train", with at least so many different words of a reading's."""
    from corpora import AN4_DEV, AN4_TEST, SPELLED_DEV, SPELLED_TEST

    chosen = {"dev": AN4_DEV | SPELLED_DEV, "test": AN4_TEST | SPELLED_TEST}
    known = chosen["dev"] | chosen["test"]
    wanted = [s for s in sorted(_places()) if (s not in known if split == "train" else s in chosen[split])]
    found = [_person(s) for s in wanted]
    return [p for p in found if sum(" " not in word for word in p.words) >= least_words]


def talk(split: str) -> list[Wave]:
    """People ordering and read books: "dev" and "test" halve what no model may have been trained on."""
    from corpora import read_books, read_orders

    clips = [*read_orders(SPEECH / "orders"), *read_books(SPEECH / "books")]
    held_back = [clip.path for clip in clips if clip.split == "test"]
    return [_sound(path) for path in held_back[0 if split == "dev" else 1 :: 2]]


@cache
def _places() -> dict[str, list[tuple[Path, list[tuple[str, float, float]]]]]:
    """Speaker -> the files with their words and times."""
    from corpora import SAID_OTHERWISE

    found: dict[str, dict[Path, list[tuple[str, float, float]]]] = defaultdict(lambda: defaultdict(list))
    with WORD_TIMES.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file, delimiter="\t"):
            speaker, clip = row["file"].split("/")[1:]
            if not row["doubt"] and f"{speaker}/{clip.removesuffix('.opus')}" not in SAID_OTHERWISE:
                at = (row["word"].lower(), float(row["start_s"]), float(row["end_s"]))
                found[speaker][SPEECH / row["file"]].append(at)
    return {speaker: list(files.items()) for speaker, files in found.items()}


@cache
def _person(speaker: str) -> Person:
    words: dict[str, list[Wave]] = defaultdict(list)
    quiet: list[Wave] = []
    files = [(_sound(path), spoken) for path, spoken in _places()[speaker]]
    usual = float(np.median([_loudness(sound) for sound, _ in files]))
    for recorded, spoken in files:
        # sessions differ in level, a person within one sitting does not
        sound = recorded * (usual / _loudness(recorded))
        quiet.append(_silence(sound))
        for place, (word, start, end) in enumerate(spoken):
            if (speaker, word) in CUT_WRONGLY:
                continue
            if 0.1 <= end - start <= 1.0:
                words[word].append(_cut(sound, start, end))
            following = spoken[place + 1] if place + 1 < len(spoken) else None
            if following and following[1] - end <= JOINED and following[2] - start <= 1.6:
                words[f"{word} {following[0]}"].append(_cut(sound, start, following[2]))
    return Person(speaker, _groups().get(speaker, "US"), dict(words), np.sqrt(np.mean(quiet, axis=0)))


@cache
def _groups() -> dict[str, str]:
    with (SPEECH / "spelled" / "prompts.tsv").open(encoding="utf-8", newline="") as file:
        return {row["speaker"]: row["group"] for row in csv.DictReader(file, delimiter="\t")}


def _loudness(sound: Wave) -> float:
    """Root mean square of what lies within 30 dB of the loudest."""
    power = (sound[: len(sound) // 320 * 320].reshape(-1, 320) ** 2).mean(axis=1)
    return float(np.sqrt(power[power > power.max() / 1000].mean()))


def _silence(sound: Wave) -> Wave:
    """Power spectrum of the quietest tenth."""
    frames = sound[: len(sound) // FRAME * FRAME].reshape(-1, FRAME)
    power = (frames**2).mean(axis=1)
    chosen = frames[np.argsort(power)[: max(1, len(frames) // 10)]]
    window = np.hanning(FRAME)
    return np.asarray((np.abs(np.fft.rfft(chosen * window)) ** 2).mean(axis=0) / (window**2).sum())


def _cut(sound: Wave, start: float, end: float) -> Wave:
    piece = sound[max(0, round((start - BEFORE) * RATE)) : round((end + AFTER) * RATE)].copy()
    ramp = np.linspace(0, 1, min(round(FADE * RATE), len(piece) // 4))
    piece[: len(ramp)] *= ramp
    piece[len(piece) - len(ramp) :] *= ramp[::-1]
    return piece


def _sound(path: Path) -> Wave:
    samples, rate = soundfile.read(path, dtype="float64")
    assert rate == RATE, path
    assert samples.ndim == 1, path
    return np.asarray(samples * 32767)


def telephone(sound: Wave) -> Wave:
    """8 kHz and the band of a telephone, 300 to 3400 Hz."""
    band = signal.butter(4, (300, 3400), "bandpass", fs=RATE, output="sos")
    narrow = signal.resample_poly(signal.sosfilt(band, sound), 1, 2)
    return np.asarray(signal.resample_poly(narrow, 2, 1)[: len(sound)])
