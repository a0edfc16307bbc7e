"""Friction and balance of one key from its down and up weight, with what the weights themselves leave open.

At a slow, steady speed the key balances: D = B + F going down, U = B - F coming up, so F = (D - U)/2 and
B = (D + U)/2. Weights come in steps s: D is read at the next step above, U at the next below, so F is overstated by
s/2 on average, B is not, and each has a standard uncertainty of s/sqrt(24) = 0.204 s.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import hypot, sqrt

from handsfree.reckoning.readings import KeyReading
from handsfree.reckoning.results import Bound, Weighed


@dataclass(frozen=True, slots=True)
class Precision:
    """Standard uncertainty of one reading, grams."""

    step: Decimal
    down_sd: float
    up_sd: float

    @property
    def sd(self) -> float:
        """Of friction and of balance (linear propagation: half of each reading)."""
        return hypot(self.down_sd, self.up_sd) / 2


def precision(step: Decimal, down_repeat_sd: float = 0.0, up_repeat_sd: float = 0.0) -> Precision:
    """From the weight step, or from repeated readings where they scatter by more than the steps explain."""
    from_step = float(step) / sqrt(12)
    return Precision(step, max(from_step, down_repeat_sd), max(from_step, up_repeat_sd))


def returns(reading: KeyReading) -> bool:
    """False for "no return", and for an up weight of 0, which is the same thing: no weight is lifted."""
    return not (reading.no_return or (reading.up is not None and reading.up == 0))


def statics(down: Decimal, up: Decimal) -> tuple[Decimal, Decimal]:
    """(F, B) = ((D - U)/2, (D + U)/2), grams, exactly."""
    return (down - up) / 2, (down + up) / 2


def friction_and_balance(reading: KeyReading, how: Precision) -> tuple[Weighed | None, Weighed | None]:
    """None, None where a weight is missing or up is above down (impossible: friction would be below 0).

    A key that does not return has U <= 0, so half of its down weight bounds both: F from below, B from above.
    """
    if reading.down is None:
        return None, None
    if not returns(reading):
        half = reading.down / 2
        bias = how.step / 2
        return Weighed(half, Bound.AT_LEAST, bias, how.sd), Weighed(half, Bound.AT_MOST, Decimal(0), how.sd)
    if reading.up is None or reading.up > reading.down:
        return None, None
    friction, balance = statics(reading.down, reading.up)
    return Weighed(friction, Bound.EXACT, how.step / 2, how.sd), Weighed(balance, Bound.EXACT, Decimal(0), how.sd)
