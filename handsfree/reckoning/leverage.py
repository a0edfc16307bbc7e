"""Lever arithmetic between hammer and key (statics): why a gram at the hammer is not a gram at the key."""

from __future__ import annotations


def torque_at_key(torque: float, radius: float, ratio: float) -> float:
    """Gram-force at the key of a friction torque (gf mm) at the hammer's centre pin, `radius` mm from the hammer."""
    return torque / radius * ratio


def lead_hinders_above(hammer_side: float) -> float:
    """Gram-force of the finger above which any lead makes a key start slower: twice what the hammer's side weighs
    there (S. Birkett, Static and Dynamic Balancing of a Piano Key, University of Waterloo, 2003)."""
    return 2 * hammer_side
