"""Lever arithmetic between hammer and key (statics): why a gram at the hammer is not a gram at the key."""

from __future__ import annotations


def action_ratio(hammer_travel: float, key_travel: float) -> float:
    """Hammer travel over key travel, both in the same unit (45 mm over 9 mm is 5)."""
    return hammer_travel / key_travel


def at_key(grams_at_hammer: float, ratio: float) -> float:
    """Grams of balance that a weight at the hammer makes at the key; divide the other way round."""
    return grams_at_hammer * ratio


def inertia_at_key(hammer_mass: float, ratio: float) -> float:
    """Mass that the finger has to set in motion because of the hammer: it grows with the ratio squared."""
    return hammer_mass * ratio * ratio


def torque_at_key(torque: float, radius: float, ratio: float) -> float:
    """Gram-force at the key of a friction torque (gf mm) at the hammer's centre pin, `radius` mm from the hammer."""
    return torque / radius * ratio
