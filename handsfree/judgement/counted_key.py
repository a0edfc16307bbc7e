"""Which key a count is of, as far as the sitting tells; and how far that may stand against what was heard. Pure.

Letters sound alike ("A" and "E", "A" and "F"), numbers less so: most doubts of a count are about its note. Whoever
goes through a plan names the key where the plan is, so that key may win though it was heard weakly; a jump must have
been heard surely. Measured on 603 notes by four development speakers, two of whom say A and F so that E and A are
heard: the key that was named had a share of 0.02 and more in 599 of them; a key with 0.99 and more was the one named
(403 of 403), one between 0.98 and 0.99 was not in 4 of 28, between 0.95 and 0.98 in 11 of 35, between 0.8 and 0.95 in
33 of 64. (Of training speakers, whose letters the ears have learnt, none of 94 was heard as another.)
"""

from __future__ import annotations

from collections.abc import Sequence

from handsfree.judgement.expectation import place_likelihood
from handsfree.nouns import Quantity, Sheet

AGAINST_BETTER = 0.02
"""Share from which on the key where the plan is may stand, though another was heard better ..."""
HEARD_SURELY = 0.98
"""... unless that one was heard so well."""
LIKE_SURELY = 0.999
"""Share that another key of the octave where the plan is must have: only its letter is against the plan, and now and
then a letter is taken for another altogether (F for A with 0.996, in a breath that went on by plan)."""
NEIGHBOUR, ELSEWHERE, AGAIN = 0.05, 0.006, 0.02
"""Without a plan: how well a key within NEAR of the last one fits, any other, and one that is counted again, as a
part of the best fit: a key elsewhere must be heard with a share of about 0.94."""
NEAR = 2
"""Keys: the next one, or the next of its colour."""


def key_likelihood(key: int, sheet: Sheet) -> float:
    """How well a key fits where the pass over the hammers is, as a part of the best fit: 0..1."""
    if sheet.plan.keys:
        return place_likelihood(key, sheet)
    if sheet.place is None:
        return ELSEWHERE
    if key == sheet.place:
        return AGAIN if (key, Quantity.SWINGS) in sheet.standing else 1.0
    return NEIGHBOUR if abs(key - sheet.place) <= NEAR else ELSEWHERE


def may_stand(key: int, share: float, others: Sequence[tuple[int, float]], sheet: Sheet) -> bool:
    """Whether `key`, heard with this share, may stand beside `others` (keys with their shares), as far as hearing
    goes: heard best, or expected and heard well enough."""
    best = max((heard for other, heard in others if other != key), default=0.0)
    if share >= best:
        return True
    return key_likelihood(key, sheet) == 1.0 and share >= AGAINST_BETTER and best < HEARD_SURELY


def against_the_plan(key: int, share: float, sheet: Sheet) -> bool:
    """Whether only the letter of a key is against where the plan is, and it was not heard altogether surely. A key
    beside it in the plan is none: one may be skipped or done again."""
    if not sheet.plan.keys or share >= LIKE_SURELY or key_likelihood(key, sheet) >= NEIGHBOUR:
        return False
    return _differ_by_letter(key, sheet.place)


def next_key(heard: Sequence[tuple[int | None, float]], expected: int | None, take: float) -> int | None:
    """The note named right after a count, None where it is not sure: `heard`: what it may have been (None: none was
    named), with shares; `expected`: the key that the plan goes on to."""
    fits = {key: 0.0 for key, _ in heard}
    shares = dict(fits)
    for key, share in heard:
        shares[key] += share
        fits[key] += share * (1.0 if key == expected else ELSEWHERE if expected is not None else NEIGHBOUR)
    named = {key: fit for key, fit in fits.items() if key is not None}
    if not named:
        return None
    best = max(named, key=lambda key: (named[key], shares[key]))
    jump = LIKE_SURELY if _differ_by_letter(best, expected) else HEARD_SURELY
    least = AGAINST_BETTER if best == expected else jump
    return best if shares[best] >= least and named[best] >= take * sum(named.values()) else None


def _differ_by_letter(key: int, expected: int | None) -> bool:
    """Whether it is another key of the same octave."""
    return expected is not None and key != expected and _octave(key) == _octave(expected)


def _octave(key: int) -> int:
    """As it is said: the number changes at each C."""
    return (key + 8) // 12
