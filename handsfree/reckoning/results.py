"""Every figure that comes out, in the order in which one reads them: screen, command and report show these.

Grams read or halved from readings are Decimal and exact; means, spreads and intervals are float, since roots and
quantiles have no exact decimal anyway. What cannot be worked out is None, with the reason beside it; no field is
ever NaN or infinite.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Literal

from handsfree.reckoning.readings import Method, SwingDefinition
from handsfree.reckoning.touch_settings import TouchSettings

Colour = Literal["natural", "sharp"]


class Verdict(StrEnum):
    """What is the matter with a key or a section; the text is what is shown."""

    FRICTION = "friction"
    WEIGHT = "weight or leverage"
    BOTH = "both"
    """Friction and weight or leverage."""
    LIGHT_SLOW = "light and slow"
    LIGHT = "light"
    LOOSE = "loose"
    FINE = "fine"
    UNKNOWN = "not enough read"
    DOUBTFUL = "cannot be right"
    """Readings that contradict each other: measure again."""


class Heaviness(StrEnum):
    """Where a down weight lies against the touch wanted; lightest first."""

    LIGHT = "light"
    BELOW_IDEAL = "below ideal"
    IDEAL = "ideal"
    ACCEPTABLE = "acceptable"
    HEAVY = "heavy"
    TOO_HEAVY = "too heavy"


class Flange(StrEnum):
    """What the swings say of a hammer flange."""

    SEIZED = "seized"
    TIGHT = "tight"
    FREE = "free"
    LOOSE = "loose"


class Bound(StrEnum):
    EXACT = ""
    AT_LEAST = "at least"
    AT_MOST = "at most"


@dataclass(frozen=True, slots=True)
class Interval:
    low: float
    high: float | None
    """None: no upper end is known."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """Friction or balance of one key."""

    value: Decimal
    """Grams, exactly (D - U)/2 or (D + U)/2."""
    bound: Bound = Bound.EXACT
    """AT_LEAST / AT_MOST where the key does not return: the value is a bound."""
    bias: Decimal = Decimal(0)
    """Grams by which the weight steps overstate it on average (half a step for friction, 0 for balance)."""
    sd: float = 0.0
    """Grams, standard uncertainty: from the steps (0.204 of a step), or from repeated readings if they say more."""


@dataclass(frozen=True, slots=True)
class SwingFigures:
    """What a count says of the flange's friction; always an interval."""

    count: Decimal
    definition: SwingDefinition
    passes: tuple[int, int]
    """Fewest and most passes through the lowest point that the count can mean."""
    mu: Interval | None
    """Friction torque over weight torque (dimensionless), if the count is right; None: the release angle is not one
    that the relation holds for."""
    mu_eye: Interval | None
    """The same if the eye missed or added one pass."""
    torque: Interval | None
    """gf mm, from `mu_eye`; None: no hammer weighed."""
    torque_mnm: Interval | None
    """mN m."""
    at_key: Interval | None
    """Grams of the key's friction that the flange accounts for; None unless hammer and action ratio are given."""
    flange: Flange
    note: str = ""
    """Anything to know about this count, "" if nothing."""


@dataclass(frozen=True, slots=True)
class KeyFigures:
    """One key: its readings, what follows from them and why."""

    key: int
    note: str
    """"F#4"."""
    colour: Colour
    down: Decimal | None
    up: Decimal | None
    no_return: bool
    friction: Weighed | None
    balance: Weighed | None
    swing: SwingFigures | None
    heaviness: Heaviness | None
    verdict: Verdict
    why: str
    """One or more sentences."""
    expected_down: Decimal | None
    """Grams after bringing friction to its target (B + F target, never above what was read); None: not known."""


@dataclass(frozen=True, slots=True)
class Spread:
    """How one quantity lies over some keys."""

    keys: int
    mean: float
    median: float
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class SectionFigures:
    """A stretch of the compass, or all of it."""

    name: str
    first: int
    last: int
    keys_read: int
    """Keys with any reading."""
    down: Spread | None
    up: Spread | None
    friction: Spread | None
    balance: Spread | None
    swings: Spread | None
    """Counts; never to be set against another section's counts as if they were torque (hammers get lighter)."""
    no_return: tuple[int, ...]
    """Keys that do not return; they are in `down`, and in no mean of up, friction and balance."""
    verdicts: tuple[tuple[Verdict, int], ...]
    """How many keys of each verdict, most first."""
    verdict: Verdict
    why: str


@dataclass(frozen=True, slots=True)
class Expected:
    """What a treatment can do for one key."""

    key: int
    down: Decimal | None
    """Grams now."""
    expected_down: Decimal | None
    """Grams if friction comes to its target."""
    gain: Decimal | None
    """Grams off the down weight; None: cannot be told."""


@dataclass(frozen=True, slots=True)
class Treatment:
    """One job, for all the keys that need it."""

    what: str
    """"Ease the hammer flanges"."""
    keys: tuple[Expected, ...]
    gain: Decimal
    """Grams off the down weights in all; the list is ordered by it, most first, weights and leverage last."""
    why: str
    cannot: str
    """What it does not mend."""
    cautions: tuple[str, ...]
    again: str
    """What to measure again afterwards."""


CurveQuantity = Literal["down", "friction", "balance"]


@dataclass(frozen=True, slots=True)
class CurvePoint:
    key: int
    value: Decimal
    smooth: float
    """Grams: the curve through the neighbours of the same colour."""
    residual: float
    """Grams: value - smooth."""
    score: float
    """Modified z-score of the residual (0 where all residuals are alike)."""
    stands_out: bool
    """|score| above 3.5 and the residual above one weight step."""


@dataclass(frozen=True, slots=True)
class Curve:
    """One quantity along one colour of keys."""

    quantity: CurveQuantity
    colour: Colour
    points: tuple[CurvePoint, ...]
    """By key number; empty when there are too few."""
    rule: str
    """What the scores are measured in: the median absolute deviation, or what took its place when that was 0."""
    reason: str = ""
    """Why there is no curve, "" when there is one."""


@dataclass(frozen=True, slots=True)
class Evenness:
    curves: tuple[Curve, ...]
    keys: int
    """Keys with a down weight on a curve."""
    within: float | None
    """Grams: nine of ten keys lie no further than this from the curve of down weights. The buyer's figure."""
    half_within: float | None
    """Grams: half of the keys do."""
    stand_out: tuple[int, ...]
    """Keys whose down weight or friction stands out from their neighbours."""
    sentence: str


@dataclass(frozen=True, slots=True)
class Repeat:
    """How well one quantity repeats."""

    quantity: Literal["down", "up"]
    keys: int
    """Keys read more than once."""
    degrees: int
    """Of freedom: further readings."""
    sd: float
    """Grams: repeatability standard deviation s_r."""
    limit: float
    """Grams: 2.8 s_r, or one weight step if that is more; two readings of a key rarely lie further apart."""
    third_wanted: tuple[int, ...]
    """Keys read twice, further apart than the limit."""


@dataclass(frozen=True, slots=True)
class Repeatability:
    down: Repeat | None
    up: Repeat | None
    sentence: str


@dataclass(frozen=True, slots=True)
class NextKey:
    key: int
    why: str


@dataclass(frozen=True, slots=True)
class Sample:
    """What the keys read say of all 88."""

    keys: int
    """Keys with a down weight."""
    compass: tuple[int, ...]
    """The keys that anything can be said of: the colours that were read, over the stretch that was read."""
    mean_down: Interval | None
    """Grams: the mean of that compass, at the settings' confidence."""
    one_more: Interval | None
    """Grams: where the down weight of one key not read yet is expected."""
    heavy_read: int
    """Keys read whose down weight is above acceptable."""
    heavy_least: int
    heavy_most: int
    """Of that compass, at the settings' confidence: as few or as many as this can be heavy."""
    sentences: tuple[str, ...]
    """What can be said, and what cannot."""
    next_keys: tuple[NextKey, ...]
    """What to measure next, most telling first."""


@dataclass(frozen=True, slots=True)
class Figures:
    """Everything about one sitting."""

    label: str
    method: Method
    settings: TouchSettings
    keys: tuple[KeyFigures, ...]
    """By key number, keys with any reading."""
    whole: SectionFigures
    sections: tuple[SectionFigures, ...]
    treatments: tuple[Treatment, ...]
    evenness: Evenness
    repeatability: Repeatability
    sample: Sample
    notes: tuple[str, ...]
    """What is missing or was left out, and why."""


PairedQuantity = Literal["down", "up", "friction", "balance", "swings"]


@dataclass(frozen=True, slots=True)
class PairedDifference:
    """Mean change (second - first) over the keys that both have."""

    quantity: PairedQuantity
    keys: int
    mean_first: float | None
    mean_second: float | None
    mean: float | None
    """Grams (or swings); None without a key in both."""
    sd: float | None
    t: float | None
    """None where all differences are alike."""
    p: float | None
    """Two-sided, of t."""
    low: float | None
    high: float | None
    """Confidence interval of the mean; None with fewer than two keys."""
    changed: bool
    """The interval does not hold 0."""
    reason: str = ""
    """What is missing, or what to know about the interval."""


@dataclass(frozen=True, slots=True)
class Change:
    """One quantity of one key in both."""

    quantity: PairedQuantity
    first: Decimal
    second: Decimal
    difference: Decimal
    uncertainty: float
    """Half-width at the settings' confidence."""
    changed: bool
    """By more than its uncertainty."""


@dataclass(frozen=True, slots=True)
class KeyChange:
    key: int
    note: str
    changes: tuple[Change, ...]
    verdict_first: Verdict
    verdict_second: Verdict
    remark: str = ""


@dataclass(frozen=True, slots=True)
class SectionDifference:
    name: str
    first: int
    last: int
    differences: tuple[PairedDifference, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """Before and after, or two instruments: the first against the second."""

    kind: Literal["before and after", "two instruments"]
    first: Figures
    second: Figures
    whole: tuple[PairedDifference, ...]
    """down, up, friction, balance, swings, in this order."""
    sections: tuple[SectionDifference, ...]
    keys: tuple[KeyChange, ...]
    """Keys in both, by key number."""
    only_first: tuple[int, ...]
    only_second: tuple[int, ...]
    changed_keys: tuple[int, ...]
    """Keys of which the down weight, up weight, friction or balance changed by more than its uncertainty."""
    same_keys: tuple[int, ...]
    balance_changed: bool
    """After the rule about a small shift of balance beside a large change of friction."""
    conclusions: tuple[str, ...]
    """Sentences that a buyer can read."""
    notes: tuple[str, ...]
