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


def start(force: float, hammer_side: float, lead: float = 0.0) -> float:
    """Acceleration with which a key starts, in units of gravity: a massless beam of equal arms, the hammer's side
    seen as `hammer_side` grams on one arm, `lead` grams at the finger's end, `force` gram-force of the finger."""
    return (force + lead - hammer_side) / (hammer_side + lead)


def lead_hinders_above(hammer_side: float) -> float:
    """Gram-force of the finger above which any lead makes a key start slower: twice what the hammer's side weighs
    there (S. Birkett, Static and Dynamic Balancing of a Piano Key, University of Waterloo, 2003)."""
    return 2 * hammer_side
