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

from handsfree.judgement.rhythm import Fit, beat_of, clearer, favours, fit
from handsfree.nouns import Counted
from handsfree.reckoning.hammer_period import longest_count, shortest_count

FASTEST, SLOWEST = 0.7 * shortest_count(), 1.5 * longest_count()
"""Seconds between two counts: the limits of hammers, with room for hands and tongues."""
SQUEEZED = 0.15
"""Seconds; nobody says two numbers so fast: one was put there because it was expected."""
LONGEST_GAP = 1.75
"""Beats between two numbers that follow each other: with more, a swing may have gone by without a number, where that
is HARDLY likelier."""
STUMBLE, ONE_BEAT = 0.5, 0.68
"""Beats within which a number said twice was said at one swing, and within which it may have been."""
LAST_GAP = 0.5
"""Beats that the last number must come after the one before: the end of "seven" may be heard as "eight"."""
CLEARLY = 1.2
"""How much likelier (natural logarithm) the swings as the numbers say must be than one fewer, where a number is
missing, or one more, where it was said twice. Of 275 counts by people with one number left silent 96 % are so, of 280
in which it was left out together with its beat 1 %."""
HARDLY = 2.0
"""How much likelier one swing more than a missing number accounts for must be to be believed in."""
SPEEDING_UP = 0.6
"""No dying swing shortens its beat to this part of the first ones: the period falls by 15 % from 90 degrees on."""
OFF_THE_BEAT = 0.25
"""Beats by which a last number is off that had something before it, from which on it may have been no number."""
NEXT_BEAT = (0.6, 1.45)
"""Beats after the last number within which a sound that no word was heard in may have been one more."""
REPAIRS = 2
"""A number said twice at a swing, or one squeezed in, is left out; with so many of them it is guesswork."""
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
    beat: float | None = None
    """Seconds between two counts, where the rhythm is known and bears the count out."""


def verdict(said: Counted) -> Verdict:
    """The last number said, and whether it can stand unasked; `said` has at least one number."""
    total = Decimal(said.numbers[-1]) + (Decimal("0.5") if said.half else 0)
    why, beat = _order(said.numbers), None
    if not why and said.times:
        why, beat = _rhythm(said)
    elif not why:
        why = _gapless(said.numbers)
    if said.drawn:
        why = why or "the half after the last count may have been talk"
    return Verdict(total, not why, why, beat)


def said_twice(said: Counted) -> bool:
    """Whether a number of it is said twice in a row."""
    return any(a == b for a, b in pairwise(said.numbers))


def _order(numbers: Sequence[int]) -> str:
    """What the numbers alone leave open."""
    if any(later < earlier for earlier, later in pairwise(numbers)):
        return "the count goes down"
    return "" if numbers[0] == 1 else "the count does not begin at one"


def _gapless(numbers: Sequence[int]) -> str:
    """Without times nothing can be filled in."""
    return "" if all(b - a == 1 for a, b in pairwise(numbers)) else AMISS


AMISS = "a count is missing, or one too many"


def _rhythm(said: Counted) -> tuple[str, float | None]:
    """What the times say against the last number as the total, "" = nothing; and the beat."""
    numbers, times = _heard_once(said.numbers, said.times)
    if len(set(numbers)) < 2:
        return "", None
    beat = beat_of(numbers, times)
    if beat is None:
        return "too few counts to tell the rhythm", None
    if not FASTEST <= beat <= SLOWEST:
        return "no hammer swings so fast" if beat < FASTEST else "no hammer swings so slowly", None
    if _speeds_up(numbers, times):
        return "a swing does not speed up", None
    if len(said.numbers) - len(numbers) >= REPAIRS or not _on_the_beat(numbers, times, beat):
        return AMISS, None
    off = abs((times[-1] - times[-2]) / beat - (numbers[-1] - numbers[-2]))
    if times[-1] in said.unheard and off > OFF_THE_BEAT:
        return "the last number may have been the octave of a note", None
    if any(NEXT_BEAT[0] * beat < at - times[-1] < NEXT_BEAT[1] * beat for at in said.unheard):
        return "a sound after the last count may have been one more", None
    return "", round(fit(numbers, times).beat, 3)


def _speeds_up(numbers: Sequence[int], times: Sequence[float]) -> bool:
    beats = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(zip(numbers, times, strict=True)) if b[0] > a[0]]
    third = len(beats) // 3
    return third > 1 and median(beats[-third:]) < SPEEDING_UP * median(beats[:third])


def _on_the_beat(numbers: Sequence[int], times: Sequence[float], beat: float) -> bool:
    """Whether each number comes when its swing does."""
    if times[-1] - times[-2] < LAST_GAP * beat:
        return False
    for i, (before, after) in enumerate(pairwise(numbers), start=1):
        if after == before:
            return False
        more = favours(numbers, [*numbers[:i], *(n + 1 for n in numbers[i:])], times)
        if after - before == 1:
            if times[i] - times[i - 1] > LONGEST_GAP * beat and more < -HARDLY:
                return False
            continue
        fewer = favours(numbers, [*numbers[:i], *(n - 1 for n in numbers[i:])], times)
        if fewer < CLEARLY or more < -HARDLY:
            return False
    return True


def _heard_once(numbers: Sequence[int], times: Sequence[float]) -> tuple[list[int], list[float]]:
    """Without what had no swing of its own: of two numbers nearer than SQUEEZED, or of one said twice in one beat,
    the one that fits worse."""
    kept, at = list(numbers), list(times)
    while beat := beat_of(kept, at):
        found = next((i for i in range(1, len(kept)) if _had_none(kept, at, i, beat)), None)
        if found is None:
            break
        worse = max((found - 1, found), key=lambda j: -_without(kept, at, j).misfit)
        del kept[worse], at[worse]
    return kept, at


def _had_none(numbers: Sequence[int], times: Sequence[float], i: int, beat: float) -> bool:
    """Whether number `i` and the one before it were said at one swing."""
    gap, last = times[i] - times[i - 1], i == len(numbers) - 1
    if len(set(numbers)) < 3:
        return False
    if numbers[i] != numbers[i - 1]:
        return gap < SQUEEZED and not last
    if gap < STUMBLE * beat or last:
        return gap < ONE_BEAT * beat
    own = fit([*numbers[:i], *(n + 1 for n in numbers[i:])], times)
    once = min(_without(numbers, times, i - 1).misfit, _without(numbers, times, i).misfit)
    # one word less always fits better by about one
    return gap < ONE_BEAT * beat and clearer(once, own.misfit) >= CLEARLY + 1


def _without(numbers: Sequence[int], times: Sequence[float], i: int) -> Fit:
    return fit([*numbers[:i], *numbers[i + 1 :]], [*times[:i], *times[i + 1 :]])
