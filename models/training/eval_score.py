"""Counting: word errors (by class), sentences exactly right, how honest the shares of alternatives are. Pure."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from hmm import Slots

CLASSES = {
    "note letters": set("abcdefg"),
    "other letters": set("hijklmnopqrstuvwxyz"),
    "digits": set("zero oh one two three four five six seven eight nine".split()),
    "teens": set("ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()),
    "tens": set("twenty thirty forty fifty sixty seventy eighty ninety hundred".split()),
    "procedure": set("yes no go stop half repeat help and point next back same".split()),
}


def distance(said: Sequence[str], heard: Sequence[str]) -> int:
    """Least number of words wrong, missing or too many."""
    row = list(range(len(heard) + 1))
    for number, word in enumerate(said, 1):
        diagonal, row[0] = row[0], number
        for place, other in enumerate(heard, 1):
            diagonal, row[place] = row[place], min(row[place] + 1, row[place - 1] + 1, diagonal + (word != other))
    return row[-1]


def errors(slots: Slots, heard: Sequence[str]) -> tuple[int, int]:
    """(words wrong, words said) against the wording that fits best; every slot has one or more wordings."""
    best: list[tuple[int, int] | None] = [(0, 0)] + [None] * len(heard)
    for alternatives in slots:
        after: list[tuple[int, int] | None] = [None] * (len(heard) + 1)
        for start, reached in enumerate(best):
            if reached is None:
                continue
            for end in range(start, min(len(heard), start + 6) + 1):
                for wording in alternatives:
                    wrong = reached[0] + distance(wording, heard[start:end])
                    new = (wrong, reached[1] + len(wording))
                    if after[end] is None or new < after[end]:
                        after[end] = new
        best = after
    return min((found[0] + len(heard) - place, found[1]) for place, found in enumerate(best) if found)


def aligned(said: Sequence[str], heard: Sequence[str]) -> list[tuple[str, str]]:
    """Pairs (said, heard), "" where one side has nothing."""
    rows, columns = len(said) + 1, len(heard) + 1
    cost = np.zeros((rows, columns), int)
    cost[:, 0], cost[0, :] = range(rows), range(columns)
    for i in range(1, rows):
        for j in range(1, columns):
            same = said[i - 1] == heard[j - 1]
            cost[i, j] = min(cost[i - 1, j] + 1, cost[i, j - 1] + 1, cost[i - 1, j - 1] + (not same))
    pairs, i, j = [], rows - 1, columns - 1
    while i or j:
        if i and j and cost[i, j] == cost[i - 1, j - 1] + (said[i - 1] != heard[j - 1]):
            i, j = i - 1, j - 1
            pairs.append((said[i], heard[j]))
        elif i and cost[i, j] == cost[i - 1, j] + 1:
            i -= 1
            pairs.append((said[i], ""))
        else:
            j -= 1
            pairs.append(("", heard[j]))
    return pairs[::-1]


@dataclass(slots=True)
class Tally:
    """Adds up what one set of items gave."""

    said: int = 0
    wrong: int = 0
    sentences: int = 0
    exact: int = 0
    by_class: dict[str, list[int]] = field(default_factory=dict)
    """Class -> [wrong, said]."""
    confused: dict[tuple[str, str], int] = field(default_factory=dict)

    def add(self, slots: Slots, heard: Sequence[str], exact: bool | None = None) -> None:
        wrong, said = errors(slots, heard)
        self.wrong += wrong
        self.said += said
        self.sentences += 1
        self.exact += (wrong == 0) if exact is None else exact
        if all(len(alternatives) == 1 for alternatives in slots):
            self._classes([word for alternatives in slots for word in alternatives[0]], heard)

    def _classes(self, said: Sequence[str], heard: Sequence[str]) -> None:
        for word, other in aligned(said, heard):
            if word != other:
                self.confused[word, other] = self.confused.get((word, other), 0) + 1
            for name, members in CLASSES.items():
                if word in members:
                    counts = self.by_class.setdefault(name, [0, 0])
                    counts[0] += word != other
                    counts[1] += 1

    @property
    def word_error(self) -> float:
        """Percent."""
        return 100 * self.wrong / max(1, self.said)

    @property
    def exactly(self) -> float:
        """Percent of sentences."""
        return 100 * self.exact / max(1, self.sentences)


# ---------------------------------------------------------------- calibration

Scored = tuple[Sequence[float], int | None]
"""Scores of the alternatives, best first, and which of them is right (None: none of them)."""


def log_loss(scale: float, found: Iterable[Scored]) -> float:
    """Mean -ln of the share of the right alternative, over those that have one."""
    losses = []
    for scores, right in found:
        if right is not None:
            weights = [scale * (score - max(scores)) for score in scores]
            losses.append(math.log(sum(map(math.exp, weights))) - weights[right])
    return sum(losses) / max(1, len(losses))


def fitted_scale(found: Sequence[Scored]) -> float:
    """The scale with the least log loss, to 0.01."""
    return min((round(0.01 * step, 2) for step in range(1, 301)), key=lambda scale: log_loss(scale, found))


def calibration(
    shares_and_right: Sequence[tuple[float, bool]], bins: int = 10
) -> tuple[float, list[tuple[float, float, int]]]:
    """(expected calibration error, [(mean share, share right, count)] a bin) of the best alternatives."""
    table = []
    for number in range(bins):
        low, high = number / bins, (number + 1) / bins
        inside = [(share, right) for share, right in shares_and_right if low < share <= high]
        if inside:
            mean = sum(share for share, _ in inside) / len(inside)
            table.append((mean, sum(right for _, right in inside) / len(inside), len(inside)))
    error = sum(abs(mean - right) * count for mean, right, count in table) / max(1, len(shares_and_right))
    return error, table
