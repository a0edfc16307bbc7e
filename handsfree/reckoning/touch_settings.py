"""What a technician wants of a touch: the thresholds behind every verdict.

A default marked "common practice, no source" is what the trade usually says; one marked "our choice" has no such
usage behind it and only closes a gap. All can be set.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of the compass that is looked at as one."""

    name: str
    first: int
    last: int
    """Key number, inclusive."""


SECTIONS = (Section("bass", 1, 29), Section("middle", 30, 59), Section("treble", 60, 88))
"""Thirds of the compass (our choice; set them to the breaks of the instrument)."""


@dataclass(frozen=True, slots=True)
class TouchSettings:
    """Grams unless said otherwise."""

    down_ideal_low: Decimal = Decimal(48)
    """Ideal from here (common practice, no source)."""
    down_ideal_high: Decimal = Decimal(52)
    """Ideal up to here (common practice, no source)."""
    down_acceptable: Decimal = Decimal(56)
    """Acceptable up to here after treatment; above is heavy (common practice, no source)."""
    down_too_heavy: Decimal = Decimal(60)
    """Too heavy from here (common practice, no source)."""
    down_light: Decimal = Decimal(40)
    """Below is called light even when the key returns well (our choice)."""
    up_slow: Decimal = Decimal(20)
    """Below, the key returns slowly (common practice, no source)."""
    friction_target_bass: Decimal = Decimal(15)
    """Friction to bring key 1 to; the target falls in a straight line to the treble (10 to 15 g in all: common
    practice, no source; the straight line is our choice)."""
    friction_target_treble: Decimal = Decimal(10)
    """Friction to bring key 88 to (common practice, no source)."""
    friction_margin: Decimal = Decimal(3)
    """Friction is high when it is more than this above its target (our choice)."""
    friction_low: Decimal = Decimal(6)
    """Below, look for loose centres (our choice)."""
    swings_wanted: Decimal = Decimal(7)
    """About so many, and not more (common practice, no source); shown beside the counts that are not."""
    swings_tight: Decimal = Decimal(5)
    """Fewer: the flange is tight; 0 is seized (common practice, no source)."""
    swings_loose: Decimal = Decimal(11)
    """So many or more is loose (far more than wanted is loose: common practice, no source; where far begins is our
    choice). All three counts are in the sitting's own definition of a swing."""
    flange_gain: Decimal = Decimal(5)
    """What freeing damp-seized flanges usually takes off the down weight (common practice, no source)."""
    balance_hole_gain: Decimal = Decimal(2)
    """What a dry lubricant in a tight balance hole usually takes off (common practice, no source)."""
    balance_shift_share: Decimal = Decimal("0.5")
    """A mean shift of balance up to this share of the change of friction is not called a change of balance (our
    choice; a friction-only job on five keys moved it by 0.36 of the change of friction)."""
    confidence: Decimal = Decimal("0.95")
    """Of every interval."""
    sections: tuple[Section, ...] = SECTIONS
    """Stretches of the compass that are looked at as one: name, first and last key."""

    def friction_target(self, key: int) -> Decimal:
        """Grams of friction to aim for at a key (1..88), to a tenth."""
        share = Decimal(key - 1) / 87
        target = self.friction_target_bass + (self.friction_target_treble - self.friction_target_bass) * share
        return target.quantize(Decimal("0.1"))

    def friction_high(self, key: int) -> Decimal:
        """Grams; friction above is high."""
        return self.friction_target(key) + self.friction_margin
