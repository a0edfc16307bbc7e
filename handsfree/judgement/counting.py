"""What a count said aloud comes to: its total, and whether order and rhythm bear it out.

A hammer swings like a pendulum, so the numbers come evenly. A number that is missing where two beats passed was only
not heard, and the count is as good as whole; one that is missing without its beat, or said twice with a beat each
time, leaves two totals that are as likely, and that is asked about. All ways in which the count may have come about
are weighed together (count_ways.py). Counts that were typed have no rhythm and are judged by their order alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from math import exp

from handsfree.judgement.count_ways import AMISS, FASTEST, SLOWEST, summed, ways
from handsfree.judgement.rhythm import fit, speeds_up
from handsfree.nouns import Counted

SPEEDING_UP = 0.6
"""No dying swing shortens its beat to this part of the first ones: the period falls by 15 % from 90 degrees on."""
LAST_GAP = 0.5
"""Beats that the last number must come after the one before: the end of "seven" may be heard as "eight"."""
REPAIRS = 2
"""With so many numbers said twice it is guesswork."""
ENOUGH = 0.9
"""Probability from which on order and rhythm bear a count out by themselves."""
OUT_OF_RHYTHM = 0.1
"""Likelihood of a count that its order does not bear out, beside one that it does."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a count comes to."""

    total: Decimal
    sureness: float
    """Probability that the last number is the total, by order and rhythm: 0..1."""
    likelihood: float | None = None
    """Of its times, as a natural logarithm; None: not known."""
    why: str = ""
    """What speaks against it, "" = nothing."""
    beat: float | None = None
    """Seconds between two counts, where the rhythm is known and bears the count out."""

    @property
    def borne_out(self) -> bool:
        return self.sureness >= ENOUGH


def verdict(said: Counted) -> Verdict:
    """The last number said, and whether it can stand unasked; `said` has at least one number."""
    total = Decimal(said.numbers[-1]) + (Decimal("0.5") if said.half else 0)
    why = _order(said.numbers) or ("the half after the last count may have been talk" if said.drawn else "")
    if why or not said.times:
        why = why or _gapless(said.numbers)
        return Verdict(total, 0.0 if why else 1.0, why=why)
    if len(set(said.numbers)) < 2:
        return Verdict(total, 1.0)
    return _by_rhythm(total, said)


def _order(numbers: Sequence[int]) -> str:
    """What the numbers alone leave open."""
    if any(later < earlier for earlier, later in pairwise(numbers)):
        return "the count goes down"
    return "" if numbers[0] == 1 else "the count does not begin at one"


def _gapless(numbers: Sequence[int]) -> str:
    """Without times nothing can be filled in."""
    return "" if all(b - a == 1 for a, b in pairwise(numbers)) else AMISS


def _by_rhythm(total: Decimal, said: Counted) -> Verdict:
    found = ways(said.numbers, said.times, said.unheard, said.octave)
    likelihood = summed(found)
    as_said = [way for way in found if not way.against]
    impossible = _impossible(said.numbers, said.times)
    if impossible or not as_said:
        return Verdict(total, 0.0, likelihood if found else None, impossible or AMISS)
    sureness = exp(summed(as_said) - likelihood)
    best = max(as_said, key=lambda way: way.likelihood)
    if sureness < ENOUGH:
        rival = max((way for way in found if way.against), key=lambda way: way.likelihood)
        return Verdict(total, sureness, likelihood, rival.against)
    return Verdict(total, sureness, likelihood, beat=round(best.beat, 3))


def _impossible(numbers: Sequence[int], times: Sequence[float]) -> str:
    """What no hammer does."""
    if len(numbers) - len(set(numbers)) >= REPAIRS or not any(b - a == 1 for a, b in pairwise(numbers)):
        return AMISS
    beat = fit(numbers, times).beat
    if not FASTEST <= beat <= SLOWEST:
        return "no hammer swings so fast" if beat < FASTEST else "no hammer swings so slowly"
    if speeds_up(numbers, times, SPEEDING_UP):
        return "a swing does not speed up"
    return AMISS if times[-1] - times[-2] < LAST_GAP * beat * (numbers[-1] > numbers[-2]) else ""
