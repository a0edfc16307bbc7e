"""The checks on a value: each is a small function `(wanted, sheet, limits) -> Concern | None`, listed at the end.

They know nothing of how surely the words were heard, and they never refuse: what they find is asked about. Only what
physics forbids cannot stand even when affirmed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from handsfree.judgement.expectation import Prediction, predict, predict_friction
from handsfree.judgement.limits import Limits, Range
from handsfree.judgement.wanted import Value, Wanted
from handsfree.nouns import Doubt, Quantity, Sheet
from handsfree.reckoning.touch import statics


@dataclass(frozen=True, slots=True)
class Concern:
    why: Doubt
    about: frozenset[Quantity]


Check = Callable[[Wanted, Sheet, Limits], Concern | None]
BOTH = frozenset({Quantity.DOWN, Quantity.UP})


def impossible(wanted: Wanted, limits: Limits) -> bool:
    """Whether a single value can stand on no key at all: 0 < down <= heaviest, 0 <= up <= heaviest, and swings
    without end."""

    def can_be(quantity: Quantity, value: Decimal) -> bool:
        most = limits.most_swings if quantity is Quantity.SWINGS else limits.heaviest
        return (value > 0 if quantity is Quantity.DOWN else value >= 0) and value <= most

    return any(v is not None and not can_be(q, v) for q, v in wanted.values)


def pair(wanted: Wanted, sheet: Sheet) -> tuple[Decimal, Value] | None:
    """Down and up as they would be with `wanted`; None where one of them is not known."""
    both: list[Value] = []
    for quantity in (Quantity.DOWN, Quantity.UP):
        said = wanted.get(quantity)
        stands = sheet.standing.get((wanted.key, quantity))
        if said is None and stands is None:
            return None
        both.append(said[0] if said is not None else stands.value if stands is not None else None)
    down, up = both
    return None if down is None else (down, up)


def up_above_down(wanted: Wanted, sheet: Sheet, limits: Limits) -> Concern | None:
    """U <= D, since friction cannot push: D = B + F, U = B - F, F >= 0."""
    known = pair(wanted, sheet)
    if known is None or known[1] is None or known[1] <= known[0]:
        return None
    return Concern(Doubt.UP_ABOVE_DOWN, wanted.quantities)


def far_from_before(wanted: Wanted, sheet: Sheet, limits: Limits) -> Concern | None:
    """A second reading of a key that is no repeat measurement."""
    if wanted.corrects:
        return None
    far = frozenset(
        q for q, v in wanted.values if _stands(q, wanted.key, sheet) and not near(wanted, q, sheet, limits)
    )
    return Concern(Doubt.FAR_FROM_BEFORE, far) if far else None


def zero_up(wanted: Wanted, sheet: Sheet, limits: Limits) -> Concern | None:
    """No weight at all comes up: that is "no return", not a measured zero."""
    said = wanted.get(Quantity.UP)
    return Concern(Doubt.RANGE, frozenset({Quantity.UP})) if said is not None and said[0] == 0 else None


def out_of_range(wanted: Wanted, sheet: Sheet, limits: Limits) -> Concern | None:
    """Neither in the usual range nor what this instrument shows, or a jump within the range."""
    odd = frozenset(
        q
        for q, v in wanted.values
        if v is not None
        and not near(wanted, q, sheet, limits)
        and not _on_purpose(q, v)
        and not _ordinary(v, limits.plausible(q), predict(wanted.key, q, sheet), limits)
    )
    return Concern(Doubt.RANGE, odd) if odd else None


def _on_purpose(quantity: Quantity, value: Decimal) -> bool:
    """A hammer that does not swing is said in so many words, and is what one looks for."""
    return quantity is Quantity.SWINGS and value == 0


def odd_friction(wanted: Wanted, sheet: Sheet, limits: Limits) -> Concern | None:
    """F = (D - U) / 2 where both are known; none at all (up equal to down) is legal, but asked about."""
    known = pair(wanted, sheet)
    if known is None or known[1] is None or all(near(wanted, q, sheet, limits) for q in wanted.quantities):
        return None
    friction, _ = statics(known[0], known[1])
    shown = predict_friction(wanted.key, sheet)
    if friction in limits.friction or (friction > 0 and _shown_to_be_ordinary(friction, shown, limits)):
        return None
    return Concern(Doubt.RANGE, wanted.quantities)


def rest(wanted: Wanted, doubtful: frozenset[Quantity], sheet: Sheet, limits: Limits) -> Wanted:
    """What may be taken while `doubtful` is asked about: the rest, if it can stand beside what stands already."""
    good = wanted.only(wanted.quantities - doubtful)
    return wanted.only(frozenset()) if up_above_down(good, sheet, limits) else good


def out_of_rhythm(wanted: Wanted, sheet: Sheet, limits: Limits) -> Concern | None:
    """A count whose order or rhythm leaves its total open."""
    return Concern(Doubt.RHYTHM, wanted.quantities) if wanted.out_of_rhythm else None


def unclear_key(wanted: Wanted, sheet: Sheet, limits: Limits) -> Concern | None:
    """The note said before it was not understood: it may be another key's."""
    return Concern(Doubt.NO_PLACE, wanted.quantities) if wanted.unclear_key else None


def not_one_voice(wanted: Wanted, sheet: Sheet, limits: Limits) -> Concern | None:
    """Words of somebody else may be among them."""
    return Concern(Doubt.UNSURE, wanted.quantities) if wanted.scattered else None


def first_half(wanted: Wanted, sheet: Sheet, limits: Limits) -> Concern | None:
    """A fraction of a gram, heard in noise where nobody has said one yet: talk is often heard as "and a half"."""
    if limits.quietly or any(_fraction(e.value) for e in sheet.standing.values()):
        return None
    halves = frozenset(q for q, v in wanted.values if _fraction(v))
    return Concern(Doubt.UNSURE, halves) if halves else None


def _fraction(value: Value) -> bool:
    return value is not None and value % 1 != 0


CHECKS: tuple[Check, ...] = (
    not_one_voice,
    first_half,
    unclear_key,
    out_of_rhythm,
    up_above_down,
    far_from_before,
    zero_up,
    out_of_range,
)
"""What a value can be asked about by itself; the friction is only looked at where all of them are content."""


def concern(wanted: Wanted, sheet: Sheet, limits: Limits) -> Concern | None:
    """All that the checks find, under the first one's reason."""
    found = [c for check in CHECKS if (c := check(wanted, sheet, limits)) is not None]
    if not found:
        return odd_friction(wanted, sheet, limits)
    return Concern(found[0].why, frozenset(q for c in found for q in c.about))


def near(wanted: Wanted, quantity: Quantity, sheet: Sheet, limits: Limits) -> bool:
    """Whether the key has an earlier reading that this one repeats."""
    said = wanted.get(quantity)
    earlier = sheet.standing.get((wanted.key, quantity))
    if said is None or earlier is None:
        return False
    if said[0] is None or earlier.value is None:
        return said[0] is earlier.value
    return abs(said[0] - earlier.value) <= limits.repeats(quantity)


def _stands(quantity: Quantity, key: int, sheet: Sheet) -> bool:
    return (key, quantity) in sheet.standing


def _ordinary(value: Decimal, usual: Range, shown: Prediction, limits: Limits) -> bool:
    if value not in usual:
        return _shown_to_be_ordinary(value, shown, limits)
    return shown.evidence < limits.evidence or shown.tail(value) >= limits.surprise


def _shown_to_be_ordinary(value: Decimal, shown: Prediction, limits: Limits) -> bool:
    return shown.evidence >= limits.evidence and shown.tail(value) >= limits.ordinary
