"""What the figures are worked out from: the readings of one sitting and how they were taken.

The journal's sheet, a CSV from elsewhere and a test all arrive as these; nothing else is known here. What was
said is kept exactly: grams and counts are Decimal, never rounded.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum


class SwingDefinition(StrEnum):
    """What counts as one swing. The trade has no single definition, so it is stored with the data."""

    PASS = "one pass"
    """Each time that the hammer goes through its lowest point counts: out and back is two."""
    TO_AND_FRO = "to and fro"
    """Out and back is one."""


@dataclass(frozen=True, slots=True)
class Hammer:
    """One hammer weighed: flange held so that the shank is level, scale under the hammer (needed for torque only)."""

    weight: Decimal
    """Gram-force that the scale shows."""
    radius: Decimal
    """Millimetres from the flange's centre pin to where the scale touches."""
    key: int | None = None
    """The key it belongs to; None: taken for every key."""


@dataclass(frozen=True, slots=True)
class Method:
    """How a sitting was measured; belongs to its data, not to anybody's taste."""

    weight_step: Decimal = Decimal(1)
    """Grams between one weight combination and the next (1, 0.5 or 2 g sets)."""
    release_angle: Decimal = Decimal(90)
    """Degrees from hanging at which the hammer is let fall."""
    swing: SwingDefinition = SwingDefinition.PASS
    hammers: tuple[Hammer, ...] = ()
    """Weighed hammers. One: taken for all keys. Several: interpolated between their keys."""
    action_ratio: Decimal | None = None
    """Hammer travel over key travel (about 5); turns the flange's torque into grams at the key."""


@dataclass(frozen=True, slots=True)
class KeyReading:
    """What stands for one key."""

    key: int
    """1..88."""
    down: Decimal | None = None
    """Grams that just sink the key."""
    up: Decimal | None = None
    """Grams that the returning key just lifts."""
    no_return: bool = False
    """The key lifts no weight at all; `up` is then None."""
    swings: Decimal | None = None
    """Swings counted, in the sitting's definition."""


@dataclass(frozen=True, slots=True)
class Sitting:
    """One instrument, measured once."""

    label: str
    readings: tuple[KeyReading, ...] = ()
    """One per key, in any order; these are what the figures are of."""
    repeats: tuple[KeyReading, ...] = ()
    """Earlier or further readings of keys measured more than once; they say how well readings repeat."""
    method: Method = field(default_factory=Method)
    repeats_left_out: int = 0
    """Keys whose second weights lay so far from the first that they were asked about, and were confirmed: they may
    have changed, so they are in no repeat."""
    beats: tuple[float, ...] = ()
    """Seconds between two counts, of each key whose swings were counted aloud."""
