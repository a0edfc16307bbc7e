"""How well words fit a network's view of an utterance: all ways of saying them through time, added up. Pure.

A phone has two outputs, for its first frame and for every further one (the one-state topology of LF-MMI: Povey et
al., Interspeech 2016). Words follow each other with or without a silence between; a word may have several
pronunciations.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

Pronunciations = Mapping[str, Sequence[Sequence[int]]]
"""Word -> its pronunciations, each a sequence of phone numbers; a phone's outputs are 2 p and 2 p + 1."""

SILENCE = 0
"""The number of the phone that is none."""
SILENCE_AT_ENDS = 0.9
SILENCE_BETWEEN = 0.35
"""Chances of a silence, as the network was trained."""
TINY = 1e-290


@dataclass(slots=True)
class Paths:
    """A graph of phones: `links` (from, to, chance); a path begins and ends by those chances."""

    phones: list[int] = field(default_factory=list)
    links: list[tuple[int, int, float]] = field(default_factory=list)
    begins: dict[int, float] = field(default_factory=dict)
    ends: dict[int, float] = field(default_factory=dict)


def paths_of(words: Sequence[str], pronunciations: Pronunciations) -> Paths:
    """Every way of saying these words. KeyError names a word without pronunciation."""
    paths = Paths()
    # loose: where a path may be at the end of the last word or silence; -1 is the very beginning
    loose = _pause([(-1, 1.0)], paths, SILENCE_AT_ENDS)
    for number, word in enumerate(words):
        choices = pronunciations[word]
        last = []
        for choice in choices:
            places = _added(choice, paths)
            _join(loose, places[0], 1 / len(choices), paths)
            last.append((places[-1], 1.0))
        loose = _pause(last, paths, SILENCE_AT_ENDS if number == len(words) - 1 else SILENCE_BETWEEN)
    for place, chance in loose:
        if place >= 0:
            paths.ends[place] = chance
    return paths


def _added(phones: Sequence[int], paths: Paths) -> range:
    first = len(paths.phones)
    places = range(first, first + len(phones))
    paths.phones.extend(phones)
    paths.links.extend((place, place + 1, 1.0) for place in places[:-1])
    return places


def _join(loose: Sequence[tuple[int, float]], to: int, share: float, paths: Paths) -> None:
    for place, chance in loose:
        if place < 0:
            paths.begins[to] = chance * share
        else:
            paths.links.append((place, to, chance * share))


def _pause(loose: list[tuple[int, float]], paths: Paths, chance: float) -> list[tuple[int, float]]:
    """A silence that may follow, or not."""
    (silence,) = _added([SILENCE], paths)
    _join(loose, silence, chance, paths)
    return [(silence, 1.0), *((place, weight * (1 - chance)) for place, weight in loose)]


def log_likelihoods(outputs: npt.NDArray[np.float32], said: Sequence[Paths]) -> list[float]:
    """Natural logarithms, up to a constant that all share, of each of `said` for outputs (frames, 2 x phones)."""
    size = max(len(paths.phones) for paths in said)
    firsts = np.zeros((len(said), size), np.intp)
    links = np.zeros((len(said), size, size))
    begins, ends = np.zeros((2, len(said), size))
    for row, paths in enumerate(said):
        firsts[row, : len(paths.phones)] = 2 * np.array(paths.phones)
        for place, to, chance in paths.links:
            links[row, place, to] += chance
        for place, chance in paths.begins.items():
            begins[row, place] = chance
        for place, chance in paths.ends.items():
            ends[row, place] = chance
    best = outputs.max(1)
    likely = np.exp(outputs.astype(np.float64) - best[:, None])
    enter, stay = begins * likely[0][firsts], np.zeros_like(begins)
    total = np.zeros(len(said))
    for frame in likely[1:]:
        enter, stay, scale = _scaled(enter, stay)
        total += np.log(scale)
        here = enter + stay
        enter, stay = (here[:, None, :] @ links)[:, 0] * frame[firsts], here * frame[firsts + 1]
    total += np.log(np.maximum(((enter + stay) * ends).sum(1), TINY))
    return [float(value) for value in total]


def _scaled(
    enter: npt.NDArray[np.float64], stay: npt.NDArray[np.float64]
) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Kept in range: what was taken out is given back as a logarithm by the caller."""
    scale = np.maximum((enter + stay).sum(1, keepdims=True), TINY)
    return enter / scale, stay / scale, scale[:, 0]
