"""What the network is shown: clips, joined and spliced clips, with some talk masked, in batches of like lengths.

Runs in the loader's processes: plain numpy, no GPU. Three things are made up from the recordings:
- splices: words of one speaker cut out and put together as readings ("F four fifty two") or at random;
- joins: several clips of one speaker, or a stranger's talk before or after;
- masks: runs of words renamed to the garbage word, so that talk has a model of its own (`[unk]`).
"""

import random
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import torch

from augment import Sounds
from corpora import GARBAGE_WORD, TALK, SpokenWord
from hmm import Slots, UtteranceHmm, as_slots, utterance_hmm
from lfmmi import NumeratorBatch, batch_numerators
from pack import SAMPLE_RATE, LoadedClip, Pronouncing

LETTERS = frozenset("ABCDEFG")
DIGITS = frozenset("zero one two three four five six seven eight nine".split())
TENS = frozenset("twenty thirty forty fifty sixty seventy eighty ninety".split())
SHORT_SECONDS = 3.0
LONGEST_SECONDS = 16.0


@dataclass(frozen=True, slots=True)
class Recipe:
    """Shares and weights; `weights` say how often a corpus is shown in one round. Many splices, half of them in no
    order at all: a network that looks back 0.75 s learns the corpora's few sentences by heart otherwise (0.4 % of
    words wrong on training speakers, 10 % on others, with a third spliced)."""

    weights: dict[str, float]
    batch_seconds: float = 110.0
    spliced: float = 0.65
    readings: float = 0.5
    """Of the splices; the others are words in no order."""
    joined: float = 0.35
    stranger: float = 0.06
    masked_words: float = 0.015
    tight: float = 0.15
    """Begun with the first word, as an ear does that wakes late."""
    masked_talk: float = 0.35


@dataclass(frozen=True, slots=True)
class Example:
    samples: np.ndarray  # int16
    lead: int  # padding samples in front
    slots: Slots


def floor_level(samples: np.ndarray) -> float:
    """Root mean square of the quiet parts, for gaps that don't stand out."""
    frames = samples[: len(samples) // 320 * 320].astype(np.float32).reshape(-1, 320)
    if not len(frames):
        return 1.0
    return float(np.sqrt(np.percentile((frames**2).mean(1), 10))) + 0.3


def from_onset(samples: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Without what is before the first loud sample, but for up to 60 ms of it."""
    size = np.abs(samples.astype(np.float32))
    first = int(np.argmax(size > 0.1 * size.max())) if len(size) else 0
    return samples[max(0, first - int(rng.uniform(0.01, 0.06) * SAMPLE_RATE)) :]


def gap(rng: np.random.Generator, seconds: float, level: float) -> np.ndarray:
    return rng.standard_normal(int(seconds * SAMPLE_RATE), dtype=np.float32) * np.float32(level)


def masked(slots: Slots, corpus: str, recipe: Recipe, rng: np.random.Generator) -> Slots:
    """Some words as garbage: single ones in product speech, long runs (often all) in talk."""
    if corpus not in TALK:
        return [[[GARBAGE_WORD]] if rng.random() < recipe.masked_words else slot for slot in slots]
    chance = rng.random()
    if chance < 0.5 * recipe.masked_talk:
        return as_slots([GARBAGE_WORD] * len(slots))
    if chance > 1.5 * recipe.masked_talk:
        return slots
    hidden = rng.random() < 0.5
    result = []
    for slot in slots:
        if rng.random() < 0.3:
            hidden = rng.random() < 0.5
        result.append([[GARBAGE_WORD]] if hidden else slot)
    return result


class Examples(torch.utils.data.Dataset):
    """Example number -> one example; the number only picks the clip, all else is drawn from `(seed, number)`."""

    def __init__(self, clips: Sequence[LoadedClip], pronunciations: Pronouncing, recipe: Recipe, seed: int) -> None:
        self.clips, self.pronunciations, self.recipe, self.seed = clips, pronunciations, recipe, seed
        self.of_speaker: dict[tuple[str, str], list[int]] = defaultdict(list)
        self.words: dict[tuple[str, str], dict[str, list[tuple[int, SpokenWord]]]] = defaultdict(dict)
        for index, clip in enumerate(clips):
            self.of_speaker[clip.corpus, clip.speaker].append(index)
            for spoken in clip.spoken:
                if 0.1 <= spoken.end - spoken.start <= 1.2:
                    self.words[clip.corpus, clip.speaker].setdefault(spoken.word, []).append((index, spoken))
        self.talk = [index for index, clip in enumerate(clips) if clip.corpus in TALK]

    def __getitem__(self, number: tuple[int, int]) -> tuple[Example, UtteranceHmm]:
        index, draw = number
        rng = np.random.default_rng((self.seed, index, draw))
        example = self._made(index, rng)
        return example, utterance_hmm(example.slots, self.pronunciations)

    def _made(self, index: int, rng: np.random.Generator) -> Example:
        clip, recipe = self.clips[index], self.recipe
        level = floor_level(clip.samples)
        example = None
        if clip.corpus not in TALK and rng.random() < recipe.spliced:
            example = self._splice(clip, level, rng)
        if example is None:
            parts, slots = [clip.samples], masked(clip.slots, clip.corpus, recipe, rng)
            if clip.seconds < SHORT_SECONDS and rng.random() < recipe.joined:
                parts, slots = self._join(clip, level, parts, slots, rng)
            if self.talk and clip.seconds < 8 and rng.random() < recipe.stranger:
                parts, slots = self._with_stranger(parts, slots, rng)
            example = self._padded(parts, slots, level, rng)
        return example

    def _padded(self, parts: list[np.ndarray], slots: Slots, level: float, rng: np.random.Generator) -> Example:
        before, after = (gap(rng, rng.uniform(0, 0.6) * (rng.random() < 0.6), level) for _ in range(2))
        if rng.random() < self.recipe.tight:
            before, parts = before[:0], [from_onset(parts[0], rng), *parts[1:]]
        samples = np.concatenate([before, *parts, after])
        return Example(np.clip(samples, -32768, 32767).astype(np.int16), len(before), slots)

    def _join(
        self, clip: LoadedClip, level: float, parts: list[np.ndarray], slots: Slots, rng: np.random.Generator
    ) -> tuple[list[np.ndarray], Slots]:
        others = self.of_speaker[clip.corpus, clip.speaker]
        for _ in range(rng.integers(1, 3)):
            other = self.clips[others[rng.integers(len(others))]]
            if other.seconds < SHORT_SECONDS:
                parts = [*parts, gap(rng, rng.uniform(0, 0.25), level), other.samples]
                slots = [*slots, *other.slots]
        return parts, slots

    def _with_stranger(
        self, parts: list[np.ndarray], slots: Slots, rng: np.random.Generator
    ) -> tuple[list[np.ndarray], Slots]:
        """Somebody's talk, all garbage, before or after."""
        other = self.clips[self.talk[rng.integers(len(self.talk))]]
        if other.seconds > 6:
            return parts, slots
        ours, theirs = (float(np.std(x)) + 1.0 for x in (np.concatenate(parts), other.samples))
        talk = other.samples * np.float32(min(4.0, ours / theirs) * rng.uniform(0.5, 1.2))
        garbage = as_slots([GARBAGE_WORD] * len(other.slots))
        if rng.random() < 0.5:
            return [talk, *parts], [*garbage, *slots]
        return [*parts, talk], [*slots, *garbage]

    def _splice(self, clip: LoadedClip, level: float, rng: np.random.Generator) -> Example | None:
        words = self.words[clip.corpus, clip.speaker]
        if len(words) < 4:
            return None
        order = self._reading(words, rng) if rng.random() < self.recipe.readings else []
        if not order:
            names = list(words)
            order = [names[rng.integers(len(names))] for _ in range(rng.integers(2, 8))]
        parts: list[np.ndarray] = []
        usual = None
        for word in order:
            index, spoken = words[word][rng.integers(len(words[word]))]
            cut = self._cut(self.clips[index].samples, spoken, rng)
            size = float(np.sqrt((cut**2).mean())) + 1e-3
            usual = usual or size
            cut *= np.float32(np.clip(usual / size, 0.4, 2.5) * rng.uniform(0.7, 1.4))
            pause = rng.uniform(0, 0.08) if rng.random() < 0.65 else rng.uniform(0.08, 0.5)
            parts += [cut, gap(rng, pause, level)]
        return self._padded(parts, as_slots(order), level, rng)

    @staticmethod
    def _cut(samples: np.ndarray, spoken: SpokenWord, rng: np.random.Generator) -> np.ndarray:
        """A word with a little margin, faded in and out."""
        margin = rng.uniform(0.0, 0.06)
        start = max(0, int((spoken.start - margin) * SAMPLE_RATE))
        cut = samples[start : int((spoken.end + margin) * SAMPLE_RATE)].astype(np.float32)
        fade = min(len(cut) // 2, int(rng.uniform(0.003, 0.015) * SAMPLE_RATE))
        if fade:
            ramp = np.linspace(0, 1, fade, dtype=np.float32)
            cut[:fade] *= ramp
            cut[-fade:] *= ramp[::-1]
        return cut

    @staticmethod
    def _reading(words: dict[str, list], rng: np.random.Generator) -> list[str]:
        """Letter, octave and one or two numbers, as far as this speaker has said such words; [] if not."""
        letters, digits, tens = (sorted(group & words.keys()) for group in (LETTERS, DIGITS, TENS))
        if not letters or len(digits) < 3:
            return []

        def any_of(group: list[str]) -> str:
            return group[rng.integers(len(group))]

        reading = [any_of(letters), any_of(digits)]
        for _ in range(rng.integers(0, 3)):
            first = any_of(tens) if tens and rng.random() < 0.7 else any_of(digits)
            reading += [first, any_of(digits)] if rng.random() < 0.85 else [first]
        return reading


class Rounds:
    """Endless batches of (clip, draw) numbers: each round shows each corpus by its weight, like lengths together."""

    def __init__(self, clips: Sequence[LoadedClip], recipe: Recipe, seed: int) -> None:
        self.clips, self.recipe, self.rng = clips, recipe, random.Random(seed)

    def __iter__(self) -> Iterator[list[tuple[int, int]]]:
        while True:
            batches = list(self._cut(self._drawn()))
            self.rng.shuffle(batches)
            yield from batches

    def _drawn(self) -> list[int]:
        drawn = []
        for index, clip in enumerate(self.clips):
            weight = self.recipe.weights.get(clip.corpus, 0.0)
            if clip.seconds <= LONGEST_SECONDS:
                drawn += [index] * (int(weight) + (self.rng.random() < weight % 1))
        return sorted(drawn, key=lambda index: self.clips[index].seconds * self.rng.uniform(0.85, 1.15))

    def _cut(self, drawn: list[int]) -> Iterator[list[tuple[int, int]]]:
        batch: list[tuple[int, int]] = []
        longest = 0.0
        for index in drawn:
            seconds = self.clips[index].seconds + 0.8
            if batch and max(longest, seconds) * (len(batch) + 1) > self.recipe.batch_seconds:
                yield batch
                batch, longest = [], 0.0
            batch.append((index, self.rng.getrandbits(40)))
            longest = max(longest, seconds)
        if batch:
            yield batch


def collate(items: Sequence[tuple[Example, UtteranceHmm]]) -> tuple[Sounds, NumeratorBatch]:
    """Pad and stack."""
    lengths = [len(example.samples) for example, _ in items]
    samples = np.zeros((len(items), max(lengths)), np.int16)
    for row, (example, _) in zip(samples, items, strict=True):
        row[: len(example.samples)] = example.samples
    sounds = Sounds(
        torch.from_numpy(samples), torch.tensor(lengths), torch.tensor([example.lead for example, _ in items])
    )
    return sounds, batch_numerators([hmm for _, hmm in items])
