"""How a count may have come about: its numbers laid on swings in every way that a slip explains, with how likely each
way is by its rhythm. Pure.

As said: each number was said at its swing; where one is missing its swing passed, where one was said twice it was
said at one swing. Then the last number is the total. Or a swing passed without its number, a number was left out
together with its swing, one was said at each of two swings, or the last was no number: then it is not. The chances
are those of slips that the words alone leave open; how well the times fit decides. All are natural logarithms.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, product
from math import exp, inf, log

from handsfree.judgement.rhythm import OFF, ON_BEAT, fit
from handsfree.reckoning.hammer_period import longest_count, shortest_count

FASTEST, SLOWEST = 0.7 * shortest_count(), 1.5 * longest_count()
"""Seconds between two counts: the limits of hammers, with room for hands and tongues."""
EITHER = 0.5
"""A missing number: its swing passed, or it was left out. A number said twice: at one swing ..."""
TWO_SWINGS = 1.0
"""... or at two: the ear's grammar holds both together for a rare slip."""
UNCOUNTED = 0.003
"""A swing passed without its number, and the next one was given the number that it would have had."""
MISTIMED = 0.02
"""A number was said, or was found by the ear, off the beat."""
NO_NUMBER, NO_NUMBER_UNCLEAR = 0.001, 0.5
"""The last number was none but, say, the octave of a note; where something sounded just before it."""
AMISS = "a count is missing, or one too many"
NOTE = "the last number may have been the octave of a note"
LATER = "a sound after the last count may have been one more"
OCTAVE = "the octave of the next note may have been one more"
ONE_MORE, MORE_OFF = 0.1, 0.1
"""The octave of a note named right after the last number was one more number, and its letter a slip of the ear. A
sound after the last number that may have been a word was one more number; seconds, standard deviation, by which
such a sound is off the beat."""


def swings_within(seconds: float) -> int:
    """How often any hammer swings in this time, at most."""
    return max(0, int(seconds / shortest_count()))


@dataclass(frozen=True, slots=True)
class Way:
    likelihood: float
    """Natural logarithm."""
    against: str = ""
    """Why the last number may not be the total; "" = it is."""
    beat: float = 0.0
    """Seconds between two counts."""


@lru_cache(maxsize=64)
def ways(
    numbers: tuple[int, ...],
    times: tuple[float, ...],
    unheard: tuple[float, ...],
    octave: tuple[int, float] | None = None,
) -> tuple[Way, ...]:
    """All that are possible; of at least two different numbers, which never go down. `unheard`, `octave`: see
    Counted."""
    found: list[Way] = []
    for kept in _once_each(numbers):
        said, at = [numbers[i] for i in kept], [times[i] for i in kept]
        twice = len(numbers) - len(kept)
        slips = _slips(said, twice)
        found += _as_said(said, at, slips, tuple(t for t in unheard if t > times[-1]))
        found += _otherwise(said, at, slips)
        if octave is not None:
            more, when = [*said, octave[0]], [*at, octave[1]]
            found.append(_way(more, when, _slips(more, twice) + log(ONE_MORE), OCTAVE))
        unclear = times[-1] in unheard
        none = log(NO_NUMBER_UNCLEAR if unclear else NO_NUMBER)
        found.append(_way(said[:-1], at[:-1], none + _slips(said[:-1], twice), NOTE))
    found += _at_two_swings(numbers, times)
    return tuple(way for way in found if way.likelihood > -inf)


def _slips(said: Sequence[int], twice: int) -> float:
    """Chance of what is missing of these numbers, and of so many that were said twice at one swing."""
    return log(EITHER) * (twice + sum(b - a > 1 for a, b in pairwise(said)))


def _once_each(numbers: Sequence[int]) -> Iterator[list[int]]:
    """Places of the numbers, each number once: of one said twice either may have been on its swing."""
    places: dict[int, list[int]] = {}
    for i, number in enumerate(numbers):
        places.setdefault(number, []).append(i)
    return (list(kept) for kept in product(*places.values()))


def _as_said(said: list[int], at: list[float], slips: float, later: Sequence[float]) -> Iterator[Way]:
    whole = _way(said, at, slips)
    yield whole
    for i in range(len(said) - 1 if len(said) > 2 else 0):
        yield _way([*said[:i], *said[i + 1 :]], [*at[:i], *at[i + 1 :]], slips + log(MISTIMED))
    if whole.likelihood > -inf:
        line = fit(said, at)
        for sound in later:
            off = sound - line.at(said[-1] + 1)
            more = log(ONE_MORE) + ON_BEAT - off**2 / (2 * MORE_OFF**2)
            yield Way(whole.likelihood + more, LATER)


def _otherwise(said: list[int], at: list[float], slips: float) -> Iterator[Way]:
    """With a swing more or less before one of the numbers, or without one that the ear only put there."""
    for i in range(1, len(said)):
        step = said[i] - said[i - 1]
        without = [*said[:i], *(swing - 1 for swing in said[i + 1 :])]
        yield _way(without, [*at[:i], *at[i + 1 :]], slips + log(MISTIMED), AMISS)
        yield _way(_shifted(said, i, 1), at, slips + log(UNCOUNTED), AMISS)
        for fewer in range(1, step):
            yield _way(_shifted(said, i, -fewer), at, slips - log(step - 1), AMISS)


def _at_two_swings(numbers: Sequence[int], times: Sequence[float]) -> Iterator[Way]:
    """Where a number was said twice: once at each of two swings."""
    swings = list(numbers)
    twice = [i for i in range(1, len(numbers)) if numbers[i] == numbers[i - 1]]
    for i in twice:
        swings = _shifted(swings, i, 1)
    if twice:
        yield _way(swings, list(times), len(twice) * log(TWO_SWINGS), AMISS)


def _shifted(swings: Sequence[int], since: int, by: int) -> list[int]:
    return [*swings[:since], *(swing + by for swing in swings[since:])]


def _way(swings: Sequence[int], times: Sequence[float], chance: float, against: str = "") -> Way:
    if len(set(swings)) < 2:
        return Way(chance + len(swings) * ON_BEAT, against)
    line = fit(swings, times)
    if not FASTEST <= line.beat <= SLOWEST:
        return Way(-inf, against)
    return Way(chance + len(swings) * ON_BEAT - line.misfit / (2 * OFF**2), against, line.beat)


def summed(some: Sequence[Way]) -> float:
    """Their likelihoods together."""
    best = max((way.likelihood for way in some), default=-inf)
    return best + log(sum(exp(way.likelihood - best) for way in some)) if best > -inf else -inf
