"""How well words fit an utterance, held against every path written out one by one."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handsfree.ears.spoken_paths import SILENCE, SILENCE_AT_ENDS, SILENCE_BETWEEN, log_likelihoods, paths_of

WORDS = {"a": [(1,)], "at": [(1, 2), (2, 1)], "bee": [(3, 1)]}


def ways(words: list[str]) -> Iterator[tuple[tuple[int, ...], float]]:
    """Every phone sequence of these words, with and without each silence, and its chance: straight from the model's
    definition, by recursion."""

    def on(index: int, phones: tuple[int, ...], chance: float) -> Iterator[tuple[tuple[int, ...], float]]:
        silence = SILENCE_AT_ENDS if index in (0, len(words)) else SILENCE_BETWEEN
        for more, share in (((SILENCE,), silence), ((), 1 - silence)):
            before = (*phones, *more)
            if index == len(words):
                yield before, chance * share
            else:
                choices = WORDS[words[index]]
                for choice in choices:
                    yield from on(index + 1, (*before, *choice), chance * share / len(choices))

    yield from on(0, (), 1.0)


def durations(phones: int, frames: int) -> Iterator[tuple[int, ...]]:
    if phones == 1:
        yield (frames,)
    for first in range(1, frames - phones + 2) if phones > 1 else ():
        for rest in durations(phones - 1, frames - first):
            yield (first, *rest)


def by_hand(outputs: npt.NDArray[np.float32], words: list[str]) -> float:
    total = 0.0
    for phones, chance in ways(words):
        for lasting in durations(len(phones), len(outputs)) if phones else ():
            sum_, frame = 0.0, 0
            for phone, count in zip(phones, lasting, strict=True):
                sum_ += float(outputs[frame, 2 * phone])
                sum_ += float(outputs[frame + 1 : frame + count, 2 * phone + 1].sum())
                frame += count
            total += chance * math.exp(sum_)
    return math.log(total)


@settings(deadline=None, max_examples=30)
@given(
    st.lists(st.lists(st.sampled_from(sorted(WORDS)), min_size=1, max_size=2), min_size=2, max_size=4),
    st.integers(6, 7), st.integers(0, 2**32 - 1),
)  # fmt: skip
def test_all_paths_are_added_up(said: list[list[str]], frames: int, seed: int) -> None:
    outputs = np.random.default_rng(seed).normal(0, 2, (frames, 8)).astype(np.float32)
    found = log_likelihoods(outputs, [paths_of(words, WORDS) for words in said])
    wanted = [by_hand(outputs, words) for words in said]
    assert np.subtract(found, found[0]) == pytest.approx(np.subtract(wanted, wanted[0]), abs=1e-4)


def test_what_cannot_be_said_in_so_short_a_time_is_as_good_as_impossible() -> None:
    outputs = np.zeros((3, 8), np.float32)
    short, long = log_likelihoods(outputs, [paths_of(["a"], WORDS), paths_of(["bee", "at", "bee"], WORDS)])
    assert short - long > 500


def test_saying_nothing_is_silence_all_along() -> None:
    silent = np.zeros((20, 8), np.float32)
    silent[:, :2] = 5.0
    nothing, something = log_likelihoods(silent, [paths_of([], WORDS), paths_of(["bee"], WORDS)])
    assert nothing > something


def test_a_word_without_pronunciation_is_named() -> None:
    with pytest.raises(KeyError, match="sharp"):
        paths_of(["a", "sharp"], WORDS)
