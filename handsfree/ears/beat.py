"""The beat of a count under way, and how long a silence ends it. Pure.

Each number is noted when the partial text first shows it. The text lags, but by about the same each time, so the
beat is as good as that of the words. One missed number must not end a count: the silence that does is longer than
what a missed one leaves.
"""

from __future__ import annotations

from dataclasses import dataclass

PERIODS = 1.3
"""Beats of silence that end a count ..."""
SHORT_WORD = 0.2
"""... and never less than two beats without this: what is silent where a number in between was not spoken up."""
FASTEST, SLOWEST = 0.25, 0.92
"""Seconds a beat, of piano hammers: a pass of the shortest, to and fro of the longest (reckoning/hammer_period)."""
UNSURE = 0.35
"""Seconds by which the beat of two numbers may be longer than it looks, as texts come in steps; less with more."""
LEAST = 0.45
"""Seconds; words hold silences of their own."""
BEGIN_AGAIN = 1.8
"""Seconds after "again": the hammer has to be lifted."""


@dataclass(frozen=True, slots=True)
class Beat:
    """When each number was first seen, oldest first: (seconds, number)."""

    marks: tuple[tuple[float, int], ...] = ()


def seen(beat: Beat, at: float, number: int) -> Beat:
    """`number` is where the count is, at `at` seconds of the utterance. One that is taken back was never seen; 0
    ("again") forgets all."""
    if beat.marks and (at < beat.marks[-1][0] or number == 0):
        beat = Beat()
    kept = tuple(mark for mark in beat.marks if mark[1] <= number)
    if kept and kept[-1][1] == number:
        return Beat(kept)
    return Beat((*kept, (at, number)))


def period(beat: Beat) -> float | None:
    """Seconds a count, within what hammers do; None before the second number."""
    marks = [mark for mark in beat.marks if mark[1]]
    if len(marks) < 2:
        return None
    (first_at, first), (last_at, last) = marks[0], marks[-1]
    return min(max((last_at - first_at) / (last - first), FASTEST), SLOWEST)


def patience(beat: Beat) -> float:
    """Seconds of silence that end the count."""
    if beat.marks and beat.marks[-1][1] == 0:
        return BEGIN_AGAIN
    known, longest = period(beat), SLOWEST
    if known is not None:
        longest = min(known + UNSURE / (beat.marks[-1][1] - beat.marks[0][1]), SLOWEST)
    return max(PERIODS * longest, 2 * longest - SHORT_WORD, LEAST)
