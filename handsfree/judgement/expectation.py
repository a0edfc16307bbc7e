"""What the sitting lets one expect: the value at a key, and which key comes next.

A value is predicted by a Student t of four degrees of freedom: wide at first, narrower with each reading near by, and
always with tails heavy enough that no single odd key moves it much. Neighbours of the same colour count most, the
instrument as a whole a little, so that on a heavy piano heavy keys are soon what is expected.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby, pairwise

from handsfree.nouns import Quantity, Sheet
from handsfree.reckoning.compass import is_sharp
from handsfree.reckoning.touch import statics

FREEDOM = 4
"""Degrees of freedom; few, so that the tails stay heavy however much is known."""
REACH = 8.0
"""Keys at which a neighbour's weight has fallen to about a third."""
WHOLE_INSTRUMENT = 0.15
"""Weight of the farthest key of the instrument."""
OTHER_COLOUR = 0.4
"""Weight of a natural for a sharp, and the other way round."""
BEFOREHAND = 0.3
"""How many readings the common values below are worth."""
STEADIEST = 1.5
"""Grams; no instrument is expected to be evener than this (scale of the t)."""
EVENEST_SWINGS = 2.5
"""The same for counts: single tight flanges are what one looks for. Common practice, no source."""
BLUNDER = 3.0
"""Readings farther from the middle than so many typical deviations count as if they were that far."""
COMMON: Mapping[str, tuple[float, float]] = {
    "down": (50.0, 8.0),
    "up": (25.0, 7.0),
    "friction": (12.0, 4.0),
    "swings": (7.0, 3.0),
}
"""Grams (swings: counts): middle and scale before anything is known. Common practice, no source."""
LOOKED_BACK = 6
"""Steps from key to key that tell what the habit is, where there is no plan."""
OTHER_STEP = 0.3
"""Weight of a step that is no habit, beside 1 for each time that one was repeated."""
AGAINST = 0.3
"""The same of one against the direction of all steps so far, beside one along it."""
AGAIN = 0.2
"""Of a key that was read already, beside one that was not. All four are our own choices: on people going up the
compass, by chance or by two letters, they took a tenth of the questions away and no error came of them."""
SAME_KEY_SCALE = 2.0
"""Grams: how far a second reading of a key lies from the first (scale of the t)."""


@dataclass(frozen=True, slots=True)
class Prediction:
    """Student t with FREEDOM degrees."""

    centre: float
    scale: float
    evidence: float
    """Sum of the weights of the readings it comes from."""

    def density(self, value: Decimal | float) -> float:
        """Per gram."""
        normal = math.gamma((FREEDOM + 1) / 2) / (math.sqrt(FREEDOM * math.pi) * math.gamma(FREEDOM / 2))
        return normal / self.scale * self.relative(value)

    def relative(self, value: Decimal | float) -> float:
        """Density as a part of the density at the centre: 0..1."""
        z = (float(value) - self.centre) / self.scale
        return float((1 + z * z / FREEDOM) ** (-(FREEDOM + 1) / 2))

    def tail(self, value: Decimal | float) -> float:
        """Probability of a value at least as far from the centre, on either side (closed form for four degrees)."""
        z = abs(float(value) - self.centre) / self.scale
        u = z * z / (1 + z * z / FREEDOM)
        within = 3 / 8 * z / math.sqrt(1 + z * z / FREEDOM) * (1 - u / 12)
        return max(0.0, 1 - 2 * within)


def nearness(key: int, other: int) -> float:
    """Weight of a reading at `other` for what to expect at `key`: 0..1."""
    colour = 1.0 if is_sharp(key) == is_sharp(other) else OTHER_COLOUR
    near = math.exp(-abs(key - other) / REACH)
    return colour * (WHOLE_INSTRUMENT + (1 - WHOLE_INSTRUMENT) * near)


def predict(key: int, quantity: Quantity, sheet: Sheet) -> Prediction:
    """What to expect at `key` from the other keys' standing values."""
    steadiest = EVENEST_SWINGS if quantity is Quantity.SWINGS else STEADIEST
    return _predicted(key, sheet.column(quantity), COMMON[quantity.value], steadiest)


def predict_friction(key: int, sheet: Sheet) -> Prediction:
    """(down - up) / 2 to expect at `key` from the other keys."""
    ups = sheet.column(Quantity.UP)
    both = {k: statics(down, ups[k])[0] for k, down in sheet.column(Quantity.DOWN).items() if k in ups}
    return _predicted(key, both, COMMON["friction"])


def _predicted(
    key: int, values: Mapping[int, Decimal], common: tuple[float, float], steadiest: float = STEADIEST
) -> Prediction:
    """Common values and the weighted readings together, as for a normal sample of unknown spread."""
    readings = [(float(v), nearness(key, k)) for k, v in sorted(values.items()) if k != key]
    evidence = sum(w for _, w in readings)
    middle, spread = common
    if not readings:
        return Prediction(middle, spread * math.sqrt(1.5), 0.0)
    readings = _without_blunders(readings, steadiest)
    mean = sum(v * w for v, w in readings) / evidence
    # an instrument far from the common middle is soon taken as it is: that middle fades faster than the common spread
    middle_counts = BEFOREHAND / (1 + evidence)
    total = BEFOREHAND + evidence
    squares = (
        BEFOREHAND * spread**2
        + sum(w * (v - mean) ** 2 for v, w in readings)
        + middle_counts * evidence / (middle_counts + evidence) * (mean - middle) ** 2
    )
    scale = math.sqrt(squares / total * (1 + 1 / (2 + evidence)))
    centre = (middle_counts * middle + evidence * mean) / (middle_counts + evidence)
    return Prediction(centre, max(scale, steadiest), evidence)


def _without_blunders(readings: Sequence[tuple[float, float]], steadiest: float) -> list[tuple[float, float]]:
    """Far-off readings pulled in to a few typical deviations from the weighted median."""
    middle = _weighted_median(readings)
    typical = 1.4826 * _weighted_median([(abs(v - middle), w) for v, w in readings])
    reach = BLUNDER * max(typical, steadiest)
    return [(min(max(v, middle - reach), middle + reach), w) for v, w in readings]


def _weighted_median(values: Sequence[tuple[float, float]]) -> float:
    """The value at which half of the weight is reached; with equality the mean of the two around it."""
    ordered = sorted(values)
    half = sum(w for _, w in ordered) / 2
    passed = 0.0
    for i, (value, weight) in enumerate(ordered):
        passed += weight
        if math.isclose(passed, half) and i + 1 < len(ordered):
            return (value + ordered[i + 1][0]) / 2
        if passed > half:
            return value
    return ordered[-1][0]


def value_likelihood(key: int, quantity: Quantity, value: Decimal, sheet: Sheet) -> float:
    """How well a value fits what is expected, as a part of the best fit: 0..1; an earlier reading of the same key
    says most."""
    around = predict(key, quantity, sheet).relative(value)
    earlier = sheet.standing.get((key, quantity))
    if earlier is None or earlier.value is None:
        return around
    own = Prediction(float(earlier.value), SAME_KEY_SCALE, 1.0).relative(value)
    return 0.7 * own + 0.3 * around


def place_likelihood(key: int, sheet: Sheet) -> float:
    """How well a key fits where the pass is, as a part of the best fit: 0..1.

    With a plan: its key, then the keys beside it (one was skipped, one is done again), then any other. Without one,
    every key is about as likely.
    """
    if sheet.place is None:
        return 1.0
    if not sheet.plan.keys:
        return _by_habit(key, sheet.place, sheet)
    if key == sheet.place:
        return 1.0
    if key not in sheet.plan.keys:
        return 0.002
    if sheet.place not in sheet.plan.keys:
        return 0.02
    steps = abs(sheet.plan.keys.index(key) - sheet.plan.keys.index(sheet.place))
    return 0.05 if steps == 1 else 0.02 if steps <= 3 else 0.004


def expects(key: int, sheet: Sheet) -> bool:
    """Whether the pass leads one to think of this key: the plan is there, or it lacks its up."""
    return key == sheet.place and (bool(sheet.plan.keys) or not _read(key, sheet))


def _by_habit(key: int, place: int, sheet: Sheet) -> float:
    """Without a plan whoever went seven keys up twice does so again, and who went up goes on upwards; a key that was
    read already is seldom read again."""
    if expects(key, sheet):
        return 1.0
    keys = [k for k, _ in groupby(entry.key for entry in sheet.entries)]
    steps = [after - before for before, after in pairwise(keys)][-LOOKED_BACK:]
    step = key - place
    other = OTHER_STEP * (1.0 if abs(step) <= 12 else 0.5)
    if len(steps) >= 2 and all((s > 0) != (step > 0) for s in steps):
        other *= AGAINST
    most = max((steps.count(s) - 1 for s in steps), default=0)
    fit = (max(0, steps.count(step) - 1) + other) / (most + OTHER_STEP)
    return fit * AGAIN if _read(key, sheet) else fit


def _read(key: int, sheet: Sheet) -> bool:
    """Whether the last value that a key is read for stands."""
    return any((key, q) in sheet.standing for q in (Quantity.UP, Quantity.SWINGS))
