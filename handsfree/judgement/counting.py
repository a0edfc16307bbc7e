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
SQUEEZED = 0.3
"""Beats within which two numbers cannot both have been said: the ear filled one in, because counts are expected."""
SHOWN = 2
"""Gaps between numbers that follow each other, from which on a beat is known well enough to fill a missing number."""
STUTTER = 0.6
"""Beats within which a number said twice is said once, and corrected or stumbled over."""
SPEEDING_UP = 0.6
"""No dying swing shortens its beat to this part of the first ones: the period falls by 15 % from 90 degrees on."""
UNHEARD = (0.45, 1.9)
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
    why = _order(said.numbers) or (_rhythm(said) if said.times else "")
    return Verdict(total, not why, why)


def _order(numbers: Sequence[int]) -> str:
    """What the numbers alone leave open."""
    if any(later < earlier for earlier, later in pairwise(numbers)):
        return "the count goes down"
    return "" if numbers[0] == 1 else "the count does not begin at one"


def _rhythm(said: Counted) -> str:
    numbers, times = _as_said(said.numbers, said.times)
    gaps = [b - a for a, b in pairwise(times)]
    steps = [b - a for a, b in pairwise(numbers)]
    if numbers[0] != 1:
        return "the count does not begin at one"
    if not gaps:
        return ""
    beat = beat_of(gaps, steps)
    if beat is None or (steps.count(1) < SHOWN and steps.count(1) != len(steps)):
        return "too few counts to tell the rhythm"
    if not FASTEST <= beat <= SLOWEST:
        return "no hammer swings so fast" if beat < FASTEST else "no hammer swings so slowly"
    if any(abs(gap / beat - step) > UNEVEN for gap, step in zip(gaps, steps, strict=True)):
        return "a count is missing, or one too many"
    if _speeds_up(gaps, steps):
        return "a swing does not speed up"
    if UNHEARD[0] * beat < said.unheard < UNHEARD[1] * beat:
        return "a sound after the last count may have been one more"
    return ""


def beat_of(gaps: Sequence[float], steps: Sequence[int]) -> float | None:
    """Seconds a beat, from the gaps between numbers that follow each other; None where there are none."""
    single = [gap for gap, step in zip(gaps, steps, strict=True) if step == 1]
    return median(single) if single else None


def _speeds_up(gaps: Sequence[float], steps: Sequence[int]) -> bool:
    beats = [gap / step for gap, step in zip(gaps, steps, strict=True) if step]
    third = len(beats) // 3
    return third > 0 and median(beats[-third:]) < SPEEDING_UP * median(beats[:third])


def _as_said(numbers: Sequence[int], times: Sequence[float]) -> tuple[list[int], list[float]]:
    """Without numbers that were not said by themselves: of two that come too close, the one that fits the beat less
    goes. The same number twice within a beat is a stumble; two numbers squeezed together are one that was said, and
    one that the ear filled in."""
    kept, at = list(numbers), list(times)
    beat = beat_of([b - a for a, b in pairwise(at)], [b - a for a, b in pairwise(kept)])
    i = 1
    while beat and i < len(kept):
        if at[i] - at[i - 1] > (STUTTER if kept[i] == kept[i - 1] else SQUEEZED) * beat:
            i += 1
            continue
        drop = min((i - 1, i), key=lambda one: _misfit(kept, at, one, beat)) if i + 1 < len(kept) else i - 1
        if kept[i] == kept[i - 1]:
            drop = min((i - 1, i), key=lambda one: _misfit(kept, at, one, beat))
        del kept[drop], at[drop]
    return kept, at


def _misfit(numbers: Sequence[int], times: Sequence[float], without: int, beat: float) -> float:
    """Beats by which the gaps around `without` are off when it goes."""
    rest = [i for i in range(max(0, without - 2), min(len(numbers), without + 3)) if i != without]
    return sum(abs((times[b] - times[a]) / beat - (numbers[b] - numbers[a])) for a, b in pairwise(rest))
