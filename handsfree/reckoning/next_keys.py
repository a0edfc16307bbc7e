"""Which keys to measure next for the most information.

First what settles a doubt or completes a reading, then the middle of the widest gap of each colour, again and again:
the curve through the neighbours is least sure where the next reading is furthest away.
"""

from __future__ import annotations

from collections.abc import Sequence

from handsfree.reckoning.compass import KEYS, colour_of, counted
from handsfree.reckoning.results import KeyFigures, NextKey, Verdict

SHOWN = 8
"""As many as one keeps in view."""


def next_keys(keys: Sequence[KeyFigures], again: Sequence[NextKey] = (), most: int = SHOWN) -> tuple[NextKey, ...]:
    """At most `most` keys, no key twice."""
    wanted: dict[int, NextKey] = {}
    for k in keys:
        if k.verdict is Verdict.DOUBTFUL:
            wanted[k.key] = NextKey(k.key, "its readings contradict each other")
    for item in again:
        wanted.setdefault(item.key, item)
    for k in keys:
        missing = _missing(k)
        if missing:
            wanted.setdefault(k.key, NextKey(k.key, missing))
    for key, gap in widest_gaps([k.key for k in keys], most):
        near = f"the nearest {colour_of(key)} read is {counted(gap, 'key')} away"
        why = near if gap < len(KEYS) else f"no {colour_of(key)} is read"
        wanted.setdefault(key, NextKey(key, why))
    return tuple(wanted.values())[:most]


def _missing(k: KeyFigures) -> str:
    if k.down is None and (k.up is not None or k.no_return):
        return "its down weight is missing"
    if k.down is not None and k.up is None and not k.no_return:
        return "its up weight is missing: no friction, no balance"
    return ""


def widest_gaps(read: Sequence[int], most: int) -> list[tuple[int, int]]:
    """(key, distance to the nearest one read of its colour), widest first, each choice counting as read."""
    done = list(read)
    chosen: list[tuple[int, int]] = []
    far = len(KEYS)
    gap = {k: min((abs(k - d) for d in done if colour_of(d) == colour_of(k)), default=far) for k in KEYS}
    for _ in range(most):
        # a tie goes to the key nearest the middle of the keyboard, where most is played
        key = max(gap, key=lambda k: (gap[k], -abs(2 * k - 89), -k))
        if gap[key] == 0:
            break
        chosen.append((key, gap[key]))
        for k in gap:
            if colour_of(k) == colour_of(key):
                gap[k] = min(gap[k], abs(k - key))
    return chosen
