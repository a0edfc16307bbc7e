"""What the keys read say of those that were not, as intervals; and which to measure next.

Counts of heavy keys follow the hypergeometric distribution exactly (keys drawn from a keyboard are not put back), the
mean has Student's interval with the finite population correction. Both hold for keys chosen without regard to how
they feel; nothing is said of a colour or a stretch that nobody read.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from decimal import Decimal
from math import comb, sqrt
from typing import get_args

from handsfree.reckoning.compass import KEYS, colour_of, counted, grams, note_name
from handsfree.reckoning.next_keys import next_keys
from handsfree.reckoning.results import Colour, Interval, KeyFigures, NextKey, Sample
from handsfree.reckoning.student import mean_and_sd, t_quantile
from handsfree.reckoning.touch_settings import TouchSettings
from handsfree.reckoning.values import value_of

NEAR_END = 12
"""Keys: a sample that comes within an octave of both ends speaks for the whole compass (our choice)."""


def sample(
    keys: Sequence[KeyFigures], settings: TouchSettings, step: Decimal, again: Sequence[NextKey] = ()
) -> Sample:
    """`again`: keys that other figures ask to measure again; they come first among the next ones."""
    read = {k.key: v for k in keys if (v := value_of(k, "down")) is not None}
    compass = spoken_for(tuple(read))
    heavy = sum(1 for d in read.values() if d > settings.down_acceptable)
    alpha = 1.0 - float(settings.confidence)
    least, most = share_limits(heavy, len(read), len(compass), alpha)
    mean, one_more = _mean(list(read.values()), len(compass), settings, step)
    return Sample(
        keys=len(read),
        compass=compass,
        mean_down=mean,
        one_more=one_more,
        heavy_read=heavy,
        heavy_least=least,
        heavy_most=most,
        sentences=_sentences(read, compass, mean, one_more, (heavy, least, most), settings),
        next_keys=next_keys(keys, again),
    )


def spoken_for(read: tuple[int, ...]) -> tuple[int, ...]:
    """The keys that a sample can say anything about: its colours, over its stretch."""
    if not read:
        return ()
    low, high = min(read), max(read)
    if low <= KEYS[0] + NEAR_END and high >= KEYS[-1] - NEAR_END:
        low, high = KEYS[0], KEYS[-1]
    colours = {colour_of(k) for k in read}
    return tuple(k for k in range(low, high + 1) if colour_of(k) in colours)


def share_limits(found: int, drawn: int, population: int, alpha: float) -> tuple[int, int]:
    """Fewest and most of a population of which `found` among `drawn` would not surprise (each tail alpha/2)."""
    possible = range(found, population - (drawn - found) + 1)
    if drawn == 0 or not possible:
        return 0, population
    # both tails are monotonic in the unknown number, so the limits can be found by halving
    least = bisect_left(possible, True, key=lambda k: _at_least(found, drawn, k, population) > alpha / 2)
    beyond = bisect_left(possible, True, key=lambda k: _at_most(found, drawn, k, population) <= alpha / 2)
    return possible[least], possible[beyond - 1]


def _at_most(found: int, drawn: int, marked: int, population: int) -> float:
    """Hypergeometric P(X <= found)."""
    ways = sum(comb(marked, x) * comb(population - marked, drawn - x) for x in range(found + 1))
    return ways / comb(population, drawn)


def _at_least(found: int, drawn: int, marked: int, population: int) -> float:
    return 1.0 - _at_most(found - 1, drawn, marked, population) if found else 1.0


def _mean(
    values: Sequence[Decimal], population: int, settings: TouchSettings, step: Decimal
) -> tuple[Interval | None, Interval | None]:
    n = len(values)
    if n < 2:
        return None, None
    mean, sd = mean_and_sd([float(v) for v in values])
    sd = max(sd, float(step) / sqrt(12))  # readings all alike are alike to a step only
    t = t_quantile((1.0 + float(settings.confidence)) / 2, n - 1)
    half = t * sd / sqrt(n) * sqrt(max(0.0, 1 - n / population))
    one = t * sd * sqrt(1 + 1 / n)
    return Interval(mean - half, mean + half), None if n >= population else Interval(mean - one, mean + one)


def _sentences(
    read: dict[int, Decimal],
    compass: tuple[int, ...],
    mean: Interval | None,
    one_more: Interval | None,
    heavy: tuple[int, int, int],
    settings: TouchSettings,
) -> tuple[str, ...]:
    n, limit, sure = len(read), grams(settings.down_acceptable), f"{grams(settings.confidence * 100)} %"
    if n == 0:
        return ("No down weights: nothing can be said of the compass.",)
    if n == len(KEYS):
        return (f"All 88 keys read; {heavy[0]} above {limit} g.",)
    said = [f"{n} of 88 keys read, {heavy[0]} of them above {limit} g."]
    what = "all 88 keys" if len(compass) == len(KEYS) else f"the {len(compass)} keys that these speak for"
    if mean is None or mean.high is None:
        said.append("One key says nothing of the others: read at least two, better eight of each colour.")
    elif one_more is None or one_more.high is None:
        said.append(f"Every key that these {n} can speak for was read: nothing is left to estimate.")
    else:
        said.append(f"The mean of {what} lies between {grams(mean.low)} and {grams(mean.high)} g ({sure}).")
        said.append(f"A key not read yet should take {grams(one_more.low)} to {grams(one_more.high)} g ({sure}).")
        said.append(
            f"Of {what}, {heavy[1]} to {heavy[2]} can be above {limit} g: no sample excludes a single bad key."
        )
        said.append("This holds if the keys were chosen without regard to how they feel.")
    said.extend(_not_said(read, compass))
    return tuple(said)


def _not_said(read: dict[int, Decimal], compass: tuple[int, ...]) -> list[str]:
    lines = [
        f"Nothing is said of the {colour}s: none was read."
        for colour in get_args(Colour)
        if not any(colour_of(k) == colour for k in read)
    ]
    # the outermost sharps are the second key and the third from the top
    whole = compass[0] <= KEYS[0] + 1 and compass[-1] >= KEYS[-1] - 2
    if len(read) > 1 and not whole:
        outside = KEYS[-1] - (compass[-1] - compass[0] + 1)
        stretch = f"{note_name(compass[0])} to {note_name(compass[-1])}"
        lines.append(f"Nothing is said of the {counted(outside, 'key')} outside {stretch}.")
    return lines
