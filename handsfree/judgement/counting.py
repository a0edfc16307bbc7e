"""What a count said aloud comes to: its total, and whether order and rhythm bear it out.

A hammer swings like a pendulum, so the numbers come evenly. A number that is missing where two beats passed was only
not heard, and the count is as good as whole; one that is missing without its beat, or said twice with a beat each
time, leaves two totals that are as likely, and that is asked about. The limits are wide: nobody counts like a clock.
Counts that were typed have no rhythm and are judged by their order alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from statistics import median

from handsfree.nouns import Counted
from handsfree.reckoning.hammer_period import longest_count, shortest_count

FASTEST, SLOWEST = 0.7 * shortest_count(), 1.5 * longest_count()
"""Seconds between two counts: the limits of hammers, with room for hands and tongues."""
UNEVEN = 0.4
"""Beats by which a gap may differ from the numbers it spans."""
OUT_OF_PLACE = 2
"""Numbers in between that may be off the beat while those around them are on it."""
AROUND = 0.3
"""Beats by which those around such a number may be nearer or farther than they should be."""
WHOLE, DRIFT = 0.6, 0.1
"""Beats, and part of its numbers, by which a whole count may be longer or shorter: the first swings take 15 % longer,
and the beat is not known exactly."""
SHOWN = 2
"""Gaps between numbers that follow each other, from which on a beat is known well enough to fill a missing number."""
STUTTER = 0.5
"""Beats within which a number said twice is said once, and corrected or stumbled over."""
SPEEDING_UP = 0.6
"""No dying swing shortens its beat to this part of the first ones: the period falls by 15 % from 90 degrees on."""
UNHEARD = (0.4, 1.2)
"""Beats after the end of the last number within which a sound without words may have been one more."""
OUT_OF_RHYTHM = 0.1
"""Likelihood of a count that its rhythm does not bear out, beside one that it does."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a count comes to."""

    total: Decimal
    borne_out: bool
    """Order and rhythm agree that this is the total."""
    why: str = ""
    """What does not agree, "" = nothing."""


def verdict(said: Counted) -> Verdict:
    """The last number said, and whether it can stand unasked; `said` has at least one number."""
    total = Decimal(said.numbers[-1]) + (Decimal("0.5") if said.half else 0)
    why = _order(said.numbers) or (_rhythm(said) if said.times else _gapless(said.numbers))
    return Verdict(total, not why, why)


def _order(numbers: Sequence[int]) -> str:
    """What the numbers alone leave open."""
    if any(later < earlier for earlier, later in pairwise(numbers)):
        return "the count goes down"
    return "" if numbers[0] == 1 else "the count does not begin at one"


def _gapless(numbers: Sequence[int]) -> str:
    """Without times nothing can be filled in."""
    return "" if all(b - a == 1 for a, b in pairwise(numbers)) else "a count is missing, or one too many"


def _rhythm(said: Counted) -> str:
    """What the times say against the last number as the total, "" = nothing."""
    numbers, times = _without_stumbles(said.numbers, said.times)
    if len(numbers) < 2:
        return ""
    gaps, steps = _between(numbers, times)
    beat = beat_of(gaps, steps)
    if beat is None or (steps.count(1) < SHOWN and steps.count(1) != len(steps)):
        return "too few counts to tell the rhythm"
    if not FASTEST <= beat <= SLOWEST:
        return "no hammer swings so fast" if beat < FASTEST else "no hammer swings so slowly"
    if _speeds_up(gaps, steps):
        return "a swing does not speed up"
    if not _on_the_beat(numbers, times, beat):
        return "a count is missing, or one too many"
    if UNHEARD[0] * beat < said.unheard < UNHEARD[1] * beat:
        return "a sound after the last count may have been one more"
    return ""


def _between(numbers: Sequence[int], times: Sequence[float]) -> tuple[list[float], list[int]]:
    """Seconds and numbers from each to the next."""
    return [b - a for a, b in pairwise(times)], [b - a for a, b in pairwise(numbers)]


def beat_of(gaps: Sequence[float], steps: Sequence[int]) -> float | None:
    """Seconds a beat, from the gaps between numbers that follow each other; None where there are none."""
    single = [gap for gap, step in zip(gaps, steps, strict=True) if step == 1]
    return median(single) if single else None


def _speeds_up(gaps: Sequence[float], steps: Sequence[int]) -> bool:
    beats = [gap / step for gap, step in zip(gaps, steps, strict=True) if step]
    third = len(beats) // 3
    return third > 1 and median(beats[-third:]) < SPEEDING_UP * median(beats[:third])


def _on_the_beat(numbers: Sequence[int], times: Sequence[float], beat: float) -> bool:
    """Whether each number comes when its swing does. One in between may be out of place, where those around it are as
    far apart as they should be: the ear put it there because it was expected, or the tongue was late."""

    def fits(one: int, other: int, within: float = UNEVEN) -> bool:
        return abs((times[other] - times[one]) / beat - (numbers[other] - numbers[one])) <= within

    at, out_of_place = 0, 0
    while at + 1 < len(numbers):
        if fits(at, at + 1) and (at + 2 >= len(numbers) or fits(at + 1, at + 2) or not fits(at, at + 2)):
            at += 1
        elif at + 2 < len(numbers) and fits(at, at + 2, AROUND) and out_of_place < OUT_OF_PLACE:
            at, out_of_place = at + 2, out_of_place + 1
        else:
            return False
    steps = numbers[-1] - numbers[0]
    return abs((times[-1] - times[0]) / beat - steps) <= max(WHOLE, DRIFT * steps)


def _without_stumbles(numbers: Sequence[int], times: Sequence[float]) -> tuple[list[int], list[float]]:
    """A number said twice within one beat counts once, where it fits the beat better."""
    kept, at = list(numbers), list(times)
    beat = beat_of(*_between(kept, at))
    i = 1
    while beat and i < len(kept):
        if kept[i] != kept[i - 1] or at[i] - at[i - 1] > STUTTER * beat:
            i += 1
            continue
        drop = min((i - 1, i), key=lambda one: _misfit(kept, at, one, beat))
        del kept[drop], at[drop]
    return kept, at


def _misfit(numbers: Sequence[int], times: Sequence[float], without: int, beat: float) -> float:
    """Beats by which the gaps around `without` are off when it goes."""
    rest = [i for i in range(max(0, without - 2), min(len(numbers), without + 3)) if i != without]
    return sum(abs((times[b] - times[a]) / beat - (numbers[b] - numbers[a])) for a, b in pairwise(rest))
