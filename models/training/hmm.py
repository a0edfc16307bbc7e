"""What may have been said, as hidden Markov models over phones: the numerator of one utterance, the denominator of
all.

Both are written in one small form. A *phone arc* is a phone at one place of the graph; it has two emitting states,
the first frame (forward pdf) and every further frame (self-loop pdf), as in Kaldi's chain topology. Because both
states have the same future, a graph over arcs is enough: `weights[i, j]` is the chance of entering arc j on leaving
arc i. The factor 1/2 per frame of the topology is the same for every path and left out.
"""

import random
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from phones import PHONE_COUNT, PHONE_IDS, PHONE_NAMES, SILENCE, base_phone, forward_pdf, loop_pdf, with_positions

Pronunciations = Mapping[str, Sequence[Sequence[str]]]
"""Word -> its pronunciations, each a sequence of base phones."""

Slots = Sequence[Sequence[Sequence[str]]]
"""A transcript: per slot the alternatives, each a sequence of words. [[["oh"], ["zero"]], [["five"]]]."""

SILENCE_AT_ENDS = 0.9
SILENCE_BETWEEN_WORDS = 0.35

_FORWARD_PDF = np.array([forward_pdf(p) for p in range(1, PHONE_COUNT + 1)])
_LOOP_PDF = np.array([loop_pdf(p) for p in range(1, PHONE_COUNT + 1)])


@dataclass(frozen=True, slots=True)
class UtteranceHmm:
    """n phone arcs; `sources[j, k]` are the arcs that can precede arc j, with `source_weights` (0 = padding)."""

    sources: np.ndarray  # (n, K) int16
    source_weights: np.ndarray  # (n, K) float32
    targets: np.ndarray  # (n, M) int16: the same arcs seen from their start
    target_weights: np.ndarray  # (n, M) float32
    initial: np.ndarray  # (n,) float32
    final: np.ndarray  # (n,) float32
    forward_pdfs: np.ndarray  # (n,) int64
    loop_pdfs: np.ndarray  # (n,) int64


def as_slots(words: Sequence[str]) -> Slots:
    """A plain transcript without alternatives."""
    return [[[word]] for word in words]


def _word_arcs(slots: Slots) -> tuple[list[tuple[int, int, str, float]], int]:
    """Slots -> (from node, to node, word, weight) and the last node; nodes count from 0 along the utterance."""
    arcs: list[tuple[int, int, str, float]] = []
    node = fresh = 0
    for alternatives in slots:
        ends: list[tuple[int, str, float]] = []
        for words in alternatives:
            here = node
            weight = 1 / len(alternatives)
            for word in words[:-1]:
                fresh += 1
                arcs.append((here, fresh, word, weight))
                here, weight = fresh, 1.0
            ends.append((here, words[-1], weight))
        fresh += 1
        arcs.extend((here, fresh, word, weight) for here, word, weight in ends)
        node = fresh
    return arcs, node


def utterance_hmm(slots: Slots, pronunciations: Pronunciations) -> UtteranceHmm:
    """The numerator: every pronunciation of every alternative, with optional silence around and between words."""
    return labelled_utterance_hmm(slots, pronunciations)[0]


def labelled_utterance_hmm(
    slots: Slots, pronunciations: Pronunciations
) -> tuple[UtteranceHmm, list[tuple[int, str]]]:
    """The numerator, and for every phone arc the spoken word it belongs to: (a number of its own, the word), or
    (-1, "") for silence. A word said in two ways has two numbers."""
    words, last = _word_arcs(slots)
    phones: list[int] = []
    labels: list[tuple[int, str]] = []
    before_word: dict[int, list[tuple[int, float]]] = defaultdict(list)  # node -> arcs that end there, no silence yet
    entries: list[tuple[int, int, float]] = []  # (node, first arc of a word, weight)
    links: list[tuple[int, int, float]] = []
    for start, end, word, weight in words:
        choices = pronunciations[word]
        for pronunciation in choices:
            label = (labels[-1][0] + 1 if labels else 0, word)
            for position, phone in enumerate(with_positions(pronunciation)):
                if position == 0:
                    entries.append((start, len(phones), weight / len(choices)))
                else:
                    links.append((len(phones) - 1, len(phones), 1.0))
                phones.append(PHONE_IDS[phone])
                labels.append(label)
            before_word[end].append((len(phones) - 1, 1.0))
    silences = {node: len(phones) + node for node in range(last + 1)}
    phones += [PHONE_IDS[SILENCE]] * (last + 1)
    initial = np.zeros(len(phones), np.float32)
    final = np.zeros(len(phones), np.float32)
    chance = {node: SILENCE_AT_ENDS if node in (0, last) else SILENCE_BETWEEN_WORDS for node in silences}
    initial[silences[0]] = chance[0]
    final[silences[last]] = 1.0
    for arc, weight in before_word[last]:
        final[arc] = weight * (1 - chance[last])
    for node, silence in silences.items():
        links.extend((arc, silence, weight * chance[node]) for arc, weight in before_word[node])
    for node, arc, weight in entries:
        if node == 0:
            initial[arc] += weight * (1 - chance[0])
        links.append((silences[node], arc, weight))
        links.extend((previous, arc, w * weight * (1 - chance[node])) for previous, w in before_word[node])
    labels += [(-1, "")] * (last + 1)
    return _packed(phones, links, initial, final), labels


def _packed(
    phones: list[int], links: list[tuple[int, int, float]], initial: np.ndarray, final: np.ndarray
) -> UtteranceHmm:
    source, target = np.array([a for a, _, _ in links], np.int64), np.array([b for _, b, _ in links], np.int64)
    weight = np.array([w for _, _, w in links], np.float32)
    index = np.array(phones) - 1
    return UtteranceHmm(
        *_grouped(target, source, weight, len(phones)),
        *_grouped(source, target, weight, len(phones)),
        initial,
        final,
        _FORWARD_PDF[index],
        _LOOP_PDF[index],
    )


def _grouped(key: np.ndarray, value: np.ndarray, weight: np.ndarray, rows: int) -> tuple[np.ndarray, np.ndarray]:
    """Lists of (value, weight) by key, padded to the longest."""
    counts = np.bincount(key, minlength=rows)
    width = max(1, int(counts.max()))
    order = np.argsort(key, kind="stable")
    rank = np.arange(len(key)) - np.repeat(np.cumsum(counts) - counts, counts)
    values, weights = np.zeros((rows, width), np.int16), np.zeros((rows, width), np.float32)
    values[key[order], rank] = value[order]
    weights[key[order], rank] = weight[order]
    return values, weights


@dataclass(frozen=True, slots=True)
class DenominatorHmm:
    """Every phone sequence with its probability: a bigram over the position-dependent phones."""

    weights: np.ndarray  # (PHONE_COUNT, PHONE_COUNT) float32, row: from, column: to
    initial: np.ndarray
    final: np.ndarray
    forward_pdfs: np.ndarray
    loop_pdfs: np.ndarray


def _sampled_phones(slots: Slots, pronunciations: Pronunciations, rng: random.Random) -> list[int]:
    words = [word for alternatives in slots for word in rng.choice(alternatives)]
    names = [SILENCE] if rng.random() < SILENCE_AT_ENDS else []
    for place, word in enumerate(words):
        names += with_positions(rng.choice(pronunciations[word]))
        if rng.random() < (SILENCE_AT_ENDS if place == len(words) - 1 else SILENCE_BETWEEN_WORDS):
            names.append(SILENCE)
    return [PHONE_IDS[name] for name in names]


def _may_follow(previous: int, phone: int) -> bool:
    """Whether positions allow it (ids; 0 = start): words are whole, and silence follows no silence."""
    name = PHONE_NAMES[phone - 1]
    starts = name == SILENCE or name[-1] in "BS"
    if previous == 0:
        return starts
    before = PHONE_NAMES[previous - 1]
    if before == SILENCE:
        return starts and name != SILENCE
    return starts if before[-1] in "ES" else not starts


def denominator_hmm(
    texts: Sequence[tuple[Slots, float]], pronunciations: Pronunciations, smoothing: float, seed: int
) -> DenominatorHmm:
    """Bigram counts over sampled phone sequences of weighted transcripts, mixed with all legal successors."""
    rng = random.Random(seed)
    end = PHONE_COUNT + 1
    counts = np.zeros((PHONE_COUNT + 1, PHONE_COUNT + 2))
    for slots, weight in texts:
        sequence = [0, *_sampled_phones(slots, pronunciations, rng), end]
        for previous, phone in pairwise(sequence):
            counts[previous, phone] += weight
    unigram = counts[:, 1:end].sum(0) / counts[:, 1:end].sum()
    by_base: Counter[str] = Counter()
    for name, share in zip(PHONE_NAMES, unigram, strict=True):
        by_base[base_phone(name)] += share
    likely = unigram + np.array([0.02 * by_base[base_phone(name)] + 1e-5 for name in PHONE_NAMES])
    probabilities = np.zeros_like(counts)
    for previous in range(PHONE_COUNT + 1):
        legal = np.array([_may_follow(previous, phone) for phone in range(1, end)]) * likely
        smooth = np.concatenate([[0.0], legal / legal.sum(), [0.0]])
        total = counts[previous].sum()
        seen = counts[previous] / total if total else smooth
        probabilities[previous] = (1 - smoothing) * seen + smoothing * smooth
    inner = probabilities[1:, 1:end].astype(np.float32)
    final = np.maximum(probabilities[1:, end], 1e-6).astype(np.float32)
    return DenominatorHmm(inner, probabilities[0, 1:end].astype(np.float32), final, _FORWARD_PDF, _LOOP_PDF)
