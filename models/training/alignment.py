"""Where each word of a known transcript lies in its recording: forced alignment with a network of this family.

    python models/training/alignment.py ../shared/speech models/keybed-en

writes word_times.tsv beside this file (clip, word, start_s, end_s, doubt): the places at which training and
evaluation cut single words out of an4 and spelled. The corpora bring rough times from another recogniser; these stay
where both agree. Where they do not, or where less than 0.1 s is left, the word is marked and never cut out ("apart",
"short"); where the corpus was aligned to a wrong transcript, ours are taken. The transcript is given, the network
only says where: words that people said badly, or that the network would take for others, stay in.

The most probable path (Viterbi) through the utterance's own HMM gives a word's frames, 30 ms apart. Such a network
finds a word a little late and leaves it early, so the edges are then moved: between two words to the weakest moment
of the sound near by, beside a pause as far as the sound stands out of the noise. (Cutting by these edges alone was
tried: no better than by the rough ones, 43 against 30 of 263 training letters misheard by keybed-en 1.0, most of it
because 1.0 had been trained on the others.)
"""

from __future__ import annotations

import argparse
import csv
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

import numpy as np
import torch

from corpora import WORD_TIMES, Clip, SpokenWord, read_all, rough_times
from features import fbank
from hmm import UtteranceHmm, labelled_utterance_hmm
from network import SUBSAMPLING, AcousticNetwork
from pack import SAMPLE_RATE, Pronouncing, decoded, pronunciations_for
from read_mdl import read_network

FRAME = 0.01 * SUBSAMPLING
"""Seconds between two outputs of the network."""
HOP = 80
"""Samples between two measures of loudness (5 ms)."""
SHORT = 0.1
AGREE = 0.7
"""Share of the shorter one that must lie in the other for two recognisers to agree about a word's place."""
LATE, EARLY = 0.2, 0.3
"""How much sound before a word's first frame, and after its last one, may still be the word's, beside a pause."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A word of the path: output frames [start, end), and whether a pause lies before and after it."""

    word: str
    start: int
    end: int
    pause_before: bool
    pause_after: bool


def best_path(outputs: np.ndarray, hmm: UtteranceHmm) -> np.ndarray | None:
    """The phone arc of each frame on the most probable path; outputs (T, P) -> (T,), None when no path fits."""
    with np.errstate(divide="ignore"):
        into, first, last = np.log(hmm.source_weights), np.log(hmm.initial), np.log(hmm.final)
    enter, stay = outputs[:, hmm.forward_pdfs], outputs[:, hmm.loop_pdfs]
    arcs = np.arange(len(first))
    came_from = np.zeros(enter.shape, np.int32)
    best = first + enter[0]
    for t in range(1, len(outputs)):
        choices = best[hmm.sources] + into
        choice = choices.argmax(1)
        entering = choices[arcs, choice] + enter[t]
        staying = best + stay[t]
        came_from[t] = np.where(entering > staying, hmm.sources[arcs, choice], arcs)
        best = np.maximum(entering, staying)
    best = best + last
    if not np.isfinite(best.max()):
        return None
    path = [int(best.argmax())]
    for t in range(len(outputs) - 1, 0, -1):
        path.append(int(came_from[t, path[-1]]))
    return np.array(path[::-1])


def placed_words(path: np.ndarray, labels: Sequence[tuple[int, str]]) -> list[Placed]:
    """Runs of one word on the path; `labels` as `labelled_utterance_hmm` gives them."""
    runs: list[tuple[str, int, int]] = []
    for (_, word), frames in groupby(range(len(path)), key=lambda t: labels[path[t]]):
        inside = list(frames)
        runs.append((word, inside[0], inside[-1] + 1))
    edge = ("", 0, 0)
    return [
        Placed(word, start, end, not before[0], not after[0])
        for before, (word, start, end), after in zip([edge, *runs], runs, [*runs[1:], edge], strict=False)
        if word
    ]


def loudness(samples: np.ndarray) -> np.ndarray:
    """Decibels of 10 ms pieces every 5 ms, the first centred on 5 ms."""
    power = samples[: len(samples) // HOP * HOP].astype(np.float64).reshape(-1, HOP) ** 2
    steps = power.mean(1)
    return 10 * np.log10((steps + np.append(steps[1:], steps[-1:])) / 2 + 1.0)


def with_edges(words: Sequence[Placed], samples: np.ndarray) -> list[SpokenWord]:
    """Frames -> seconds, edges moved to where the sound says."""
    level = loudness(samples)
    floor, loud = np.percentile(level, [10, 95])
    audible = level > floor + max(4.0, 0.2 * (loud - floor))
    step = HOP / SAMPLE_RATE
    starts, ends = [], []
    for place, word in enumerate(words):
        if word.pause_before or place == 0:
            least = words[place - 1].end * FRAME + 0.02 if place else 0.0
            starts.append(_sounding_since(audible, word.start * FRAME, max(least, word.start * FRAME - LATE), step))
        else:
            starts.append(_weakest(level, word.start * FRAME - 0.09, word.start * FRAME + 0.02, step))
    for place, word in enumerate(words):
        if place + 1 < len(words) and not word.pause_after:
            ends.append(starts[place + 1])
        else:
            most = starts[place + 1] - 0.02 if place + 1 < len(words) else len(samples) / SAMPLE_RATE
            ends.append(_sounding_until(audible, word.end * FRAME, min(most, word.end * FRAME + EARLY), step))
    return [SpokenWord(w.word, start, max(start, end)) for w, start, end in zip(words, starts, ends, strict=True)]


def _weakest(level: np.ndarray, low: float, high: float, step: float) -> float:
    first, last = max(0, round(low / step)), min(len(level), round(high / step) + 1)
    return (first + int(level[first:last].argmin()) + 1) * step if last > first else high


def _sounding_since(audible: np.ndarray, start: float, least: float, step: float, gap: float = 0.05) -> float:
    """Back from `start` as long as sound is heard with no gap longer than `gap`, not before `least`."""
    since = at = start
    while at > least and since - at < gap:
        at -= step
        if audible[max(0, min(len(audible) - 1, round(at / step)))]:
            since = max(least, at)
    return since


def _sounding_until(audible: np.ndarray, end: float, most: float, step: float, gap: float = 0.12) -> float:
    """Onwards from `end` likewise, not beyond `most`; the gap spans the closure of a final t."""
    until = at = min(end, most)
    while at < most and at - until < gap:
        if audible[min(len(audible) - 1, round(at / step))]:
            until = min(most, at + step)
        at += step
    return until


def doubt(word: SpokenWord, other: SpokenWord | None = None) -> str:
    """Why a word had better not be cut out; "" when it may. `other`: the same word by another recogniser."""
    if word.end - word.start < SHORT:
        return "short"
    if other is None:
        return ""
    shorter = min(word.end - word.start, other.end - other.start)
    shared = min(word.end, other.end) - max(word.start, other.start)
    return "apart" if shared < AGREE * shorter else ""


@torch.no_grad()
def aligned(network: AcousticNetwork, samples: np.ndarray, clip: Clip, known: Pronouncing) -> list[SpokenWord]:
    """The words of a clip with their places; [] when the transcript does not fit into it."""
    features = fbank(torch.from_numpy(samples.astype(np.float32))[None])
    outputs = network(features, torch.tensor([features.shape[1]]))[0][0].numpy()
    hmm, labels = labelled_utterance_hmm(clip.slots, known)
    path = best_path(outputs, hmm)
    return [] if path is None else with_edges(placed_words(path, labels), samples)


def chosen(ours: Sequence[SpokenWord], rough: Sequence[SpokenWord]) -> Iterator[tuple[SpokenWord, str]]:
    """Every word with its place and the doubt about it."""
    comparable = [word.word for word in ours] == [word.word for word in rough]
    for word, other in zip(ours, rough if comparable else ours, strict=True):
        yield other, doubt(other, word)


def rows(clips: Iterable[Clip], network: AcousticNetwork, known: Pronouncing, speech: Path) -> Iterator[list[str]]:
    rough = rough_times(speech)
    for clip in clips:
        ours = aligned(network, decoded(clip.path.read_bytes()), clip, known)
        if not ours:
            print(f"{clip.name}: its transcript does not fit into it", file=sys.stderr)
        for word, why in chosen(ours, rough.get(clip.name, ())):
            yield [clip.name, word.word, f"{word.start:.2f}", f"{word.end:.2f}", why]


def main() -> None:
    parser = argparse.ArgumentParser(description="find where words lie in an4 and spelled; writes word_times.tsv")
    parser.add_argument("speech", type=Path)
    parser.add_argument("model", type=Path, help="a Vosk folder of this family")
    parser.add_argument("--to", type=Path, default=WORD_TIMES)
    choice = parser.parse_args()
    torch.set_num_threads(1)
    clips = [clip for clip in read_all(choice.speech, times={}) if clip.corpus in ("an4", "spelled")]
    words = {word for clip in clips for alternatives in clip.slots for said in alternatives for word in said}
    known, _ = pronunciations_for(words)
    network = read_network(choice.model / "am" / "final.mdl")
    table = list(rows(clips, network, known, choice.speech))
    with choice.to.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter="\t", lineterminator="\n")
        writer.writerow(["file", "word", "start_s", "end_s", "doubt"])
        writer.writerows(table)
    doubtful = [row[4] for row in table if row[4]]
    print(f"{choice.to}: {len(table)} words of {len(clips)} clips, {len(doubtful)} doubtful")


if __name__ == "__main__":
    main()
