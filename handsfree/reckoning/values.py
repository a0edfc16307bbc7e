"""The one place that says which value of a key may enter a mean, a curve or a difference."""

from __future__ import annotations

from decimal import Decimal

from handsfree.reckoning.results import Bound, KeyFigures, PairedQuantity


def contradicts(key: KeyFigures) -> bool:
    """Up above down: one of the two is wrong and nobody knows which, so neither counts until measured again."""
    return key.down is not None and key.up is not None and key.up > key.down


def value_of(key: KeyFigures, quantity: PairedQuantity) -> Decimal | None:
    """None where it was not read, contradicts another reading, or is only a bound."""
    if quantity == "swings":
        return key.swing.count if key.swing is not None else None
    if contradicts(key):
        return None
    if quantity == "down":
        return key.down
    if quantity == "up":
        return key.up
    weighed = key.friction if quantity == "friction" else key.balance
    return weighed.value if weighed is not None and weighed.bound is Bound.EXACT else None
