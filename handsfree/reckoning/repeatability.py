"""How well readings repeat, from keys measured more than once (ISO 5725: s_r, and the limit 2.8 s_r)."""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from math import sqrt
from typing import Literal

from handsfree.reckoning.compass import counted, grams, listed
from handsfree.reckoning.readings import Sitting
from handsfree.reckoning.results import Repeat, Repeatability

LIMIT_FACTOR = 2.8
"""1.96 sqrt(2) = 2.77, rounded as the standard does."""

ENOUGH = 5
"""Degrees of freedom below which s_r is shown as rough (our choice)."""


def repeatability(sitting: Sitting) -> Repeatability:
    """Down and up apart. Readings of the sitting and its repeats of the same key are taken together."""
    down, up = _repeat(sitting, "down"), _repeat(sitting, "up")
    known = [r for r in (down, up) if r is not None]
    left_out = _left_out(sitting.repeats_left_out)
    if not known:
        none = "No key was measured twice: how well the readings repeat is not known."
        return Repeatability(None, None, left_out or none)
    parts = [
        f"{r.quantity}: two readings of a key differ by {grams(r.limit)} g at most, as a rule "
        f"(s_r {r.sd:.2f} g from {counted(r.keys, 'key')}{', rough' if r.degrees < ENOUGH else ''})"
        for r in known
    ]
    third = sorted({k for r in known for k in r.third_wanted})
    more = f" Measure a third time: {listed(third)}." if third else ""
    text = "; ".join(parts)
    return Repeatability(down, up, f"{text[:1].upper()}{text[1:]}.{more} {left_out}".strip())


def _left_out(keys: int) -> str:
    """Leaving out the far ones makes the rest look closer: that must not be hidden."""
    if not keys:
        return ""
    return (
        f"Of {counted(keys, 'key')} the second reading lay further off; it was asked about and confirmed. There the "
        "key may have changed, or the readings repeat less well than the others say."
    )


def pooled_sd(groups: list[list[Decimal]]) -> tuple[float, int]:
    """Standard deviation within groups of repeated readings, and its degrees of freedom (0 of none)."""
    squares, degrees = Decimal(0), 0
    for group in groups:
        mean = sum(group, Decimal(0)) / len(group)
        squares += sum(((v - mean) ** 2 for v in group), Decimal(0))
        degrees += len(group) - 1
    return (sqrt(squares / degrees), degrees) if degrees else (0.0, 0)


def _repeat(sitting: Sitting, quantity: Literal["down", "up"]) -> Repeat | None:
    by_key: dict[int, list[Decimal]] = defaultdict(list)
    for reading in (*sitting.readings, *sitting.repeats):
        value: Decimal | None = getattr(reading, quantity)
        if value is not None:
            by_key[reading.key].append(value)
    groups = {k: v for k, v in by_key.items() if len(v) > 1}
    if not groups:
        return None
    sd, degrees = pooled_sd(list(groups.values()))
    limit = max(LIMIT_FACTOR * sd, float(sitting.method.weight_step))
    far = tuple(k for k, v in sorted(groups.items()) if len(v) == 2 and abs(v[0] - v[1]) > limit)
    return Repeat(quantity, len(groups), degrees, sd, limit, far)
