"""What the judgement goes by: settings, with the reason for each default.

The ranges are common practice, no source: they decide what is asked about, never what is good. The thresholds are our
own choices; tests/judgement shows what each does. Their trade-offs below were measured on development speakers
with keybed-en 1.1 alone; with 1.2 and the second ear, at these same thresholds, of 652 readings in the quiet, by
telephone, with a fan and with ringing strings 3 stood wrongly and 81 were asked about.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from handsfree.nouns import Pass, Quantity

HEARD_WELL = 0.5
"""Share of the recogniser from which on a meaning was heard well by itself."""
ASKED_AT_MOST = 2
"""A question that nobody answers is asked so often, then it waits in silence."""


@dataclass(frozen=True, slots=True)
class Range:
    low: Decimal
    high: Decimal

    def __contains__(self, value: object) -> bool:
        return isinstance(value, Decimal) and self.low <= value <= self.high


@dataclass(frozen=True, slots=True)
class Limits:
    weights: Literal["down and up", "down"] = "down and up"
    """What the pass takes of each key; a bare number is the up only where both are taken and the down stands."""
    taking: Pass = Pass.TOUCH
    """The pass under way (see this_pass.py)."""
    heaviest: Decimal = Decimal(150)
    """Grams; nothing above can stand."""
    down: Range = Range(Decimal(35), Decimal(75))
    """Grams; outside is asked about, unless the instrument has shown such values. Common practice, no source."""
    up: Range = Range(Decimal(10), Decimal(45))
    """Grams; common practice, no source."""
    friction: Range = Range(Decimal(4), Decimal(25))
    """Grams of (down - up) / 2; common practice, no source."""
    swings: Range = Range(Decimal(0), Decimal(25))
    """Outside is asked about, unless the instrument has shown such counts. Common practice, no source."""
    most_swings: Decimal = Decimal(60)
    """Nothing above can stand."""
    repeat_swings: Decimal = Decimal(2)
    """A second count this near to the first is a repeat measurement: the eye misses the last small swing or adds
    one, both times."""
    repeat: Decimal = Decimal("1.5")
    """Grams; a second reading this near to the first is a repeat measurement, a farther one is asked about."""
    take: float = 0.8
    """A meaning is taken without a question from this probability on, at a key that plan or pass lead one to expect.
    Measured on people whom the model had never heard (tests/endtoend, development speakers): of 845 readings by plan,
    clean and by telephone, 5.2 and 7.9 % were asked about at 0.8, 6.3 and 9.1 % at 0.85, and 4 stood wrongly at
    either."""
    take_note: float = 0.88
    """The same of a note that nothing led one to expect: letters sound alike, and a wrong one may have a high share.
    Of 1,360 readings without a plan 17 % were asked about and 20 stood wrongly at 0.85, 22 % and 9 at 0.9."""
    tell_note: float = 0.97
    """Such a note is said aloud where it is less sure than this: of 714 right ones taken at once, in the quiet, by
    telephone, with a fan and with ringing strings, a sixth were, of 7 wrong ones 5; at 0.95 2 (development speakers,
    without a plan)."""
    take_count: float = 0.9
    """The same of a count of swings. Of 1,060 counts of training speakers 2.0 % were asked about and 1 stood wrongly
    at 0.85 (a cough on the beat, heard as one more number), 2.5 % and none at 0.9; of 400 of development speakers 5.2
    and 7.0 %, and none either way."""
    take_counted_key: float = 0.85
    """The same of the key that it is of."""
    take_in_noise: float = 0.95
    """The same where the speech stands out from the sound around it by `noise` decibels or less; in between the two
    it rises evenly. Measured as above with a fan and with ringing strings at 10 dB: of 1,026 readings 34 % were asked
    about and 1 stood wrongly at 0.95, 41 % and none at 0.97."""
    noise: float = 28.0
    quiet: float = 36.0
    """Decibels from which on a room is quiet: nine of ten readings of the clean recordings stood out by 33 and more,
    those in a fan's noise at 10 dB by 10 to 20, those with somebody talking beside at 10 dB by 21 to 49."""
    take_finding: float = 0.93
    """The same of a finding of the walkthrough, whose words are heard less surely: of 1,250 sentences by synthetic
    development voices (tests/walk/measure_findings.py, with the second ear) 2.2 % stood wrongly at 0.9, 1.6 % at
    0.93, 1.5 % at 0.95, where 83, 80 and 78 % were right at once."""
    fahrenheit: bool = False
    """Whether a temperature without a unit is in degrees Fahrenheit."""
    quietly: bool = True
    """Whether what is judged was said in a quiet room (see `heard_at`)."""
    overrule: float = 0.25
    """What was expected may silently beat what was heard best only from this share of the recogniser on."""
    overrule_weights: float = 0.1
    """The same of weights: by plan the plan's key may win over one that was heard better. Of 845 readings by plan a
    seventh less was asked about than at 0.25, and none more stood wrongly; of 514 that jumped from where the plan was
    16 instead of 15 did."""
    evidence: float = 1.0
    """Readings near by (sum of weights) from which on the instrument's own values say what is plausible."""
    ordinary: float = 0.1
    """Two-sided tail from which on a value outside a range is ordinary for this instrument."""
    surprise: float = 0.08
    """Two-sided tail below which a value within the ranges is asked about all the same."""
    beside_talk: bool = False
    """Whether somebody else talked just before it (see around.py)."""
    unheard: bool = False
    """Whether what is judged was begun before the question under way can have been heard (see too_soon.py)."""
    cut: bool = False
    """Whether the beginning of what is judged may be missing: the ears were closed until just before."""
    gone_on: int | None = None
    """The key that it is then at, where no note is said; None: nothing tells."""

    def heard_at(self, contrast: float | None, *, beside_talk: bool = False) -> Limits:
        """For something said that stood out from the sound around it by so many decibels (None: not known), or while
        somebody else talks: that is as bad as any noise, however far it stood out."""
        if beside_talk:
            contrast = self.noise if contrast is None else min(contrast, self.noise)
        if contrast is None or contrast >= self.quiet:
            return self
        noisy = min(1.0, (self.quiet - contrast) / (self.quiet - self.noise))
        take = max(self.take, self.take + noisy * (self.take_in_noise - self.take))
        return replace(self, take=take, quietly=False, beside_talk=beside_talk)

    def plausible(self, quantity: Quantity) -> Range:
        return {Quantity.UP: self.up, Quantity.DOWN: self.down, Quantity.SWINGS: self.swings}[quantity]

    def repeats(self, quantity: Quantity) -> Decimal:
        """How far a repeat measurement may lie from the first."""
        return self.repeat_swings if quantity is Quantity.SWINGS else self.repeat

    @property
    def wanted(self) -> tuple[Quantity, ...]:
        """What makes a key complete."""
        if self.taking is Pass.SWINGS:
            return (Quantity.SWINGS,)
        return (Quantity.DOWN, Quantity.UP) if self.weights == "down and up" else (Quantity.DOWN,)
