"""Sheet -> the rows of the table of readings, one a key, in the order of the compass.

A row says only what stands, or what waits: a value in question carries "?" and its standing says "unsettled", so no
colour is needed to tell them apart. A standing value keeps its cell while a second reading is in question.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from handsfree.nouns import Entry, Quantity, Sheet, Standing
from handsfree.reckoning.compass import counted, grams, note_name
from handsfree.reckoning.results import Interval
from handsfree.reckoning.touch import statics

NO_RETURN = "no ret."
"""The key lifts no weight; friction and balance are then bounds."""
NO_TORQUES: Mapping[int, Interval] = {}

_WEIGHT_OF_STANDING = {
    Standing.UNSETTLED: 4,
    Standing.CORRECTED: 3,
    Standing.CONFIRMED: 2,
    Standing.TAKEN: 1,
    Standing.WITHDRAWN: 0,
}
"""A row with two standings shows the one that says most."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table, all as text."""

    key: int
    note: str
    down: str
    """Grams; "61?" while in question."""
    up: str
    """Grams, or NO_RETURN."""
    friction: str
    """Grams; "≥25" where the key does not return."""
    balance: str
    swings: str
    beat: str
    """Seconds between two counts, of swings counted aloud."""
    torque: str
    """ "0.41–0.60": friction torque of the flange, mN m, where hammers were weighed."""
    standing: str


def number(value: Decimal) -> str:
    """As said, without an exponent: 52, 52.5."""
    return format(value, "f")


def friction_and_balance(down: Decimal | None, up: Decimal | None, returns: bool) -> tuple[str, str]:
    """(F, B) as text from D = B + F, U = B - F; bounds where nothing is lifted (U <= 0), "" where one is missing.

    Statics of a lever with Coulomb friction; an up above its down is physically impossible and gets no figure.
    """
    if down is None:
        return "", ""
    if not returns:
        return f"≥{grams(down / 2)}", f"≤{grams(down / 2)}"
    if up is None or up > down:
        return "", ""
    friction, balance = statics(down, up)
    return grams(friction), grams(balance)


def _value(entry: Entry | None) -> str:
    if entry is None:
        return ""
    text = NO_RETURN if entry.value is None else number(entry.value)
    return f"{text}?" if entry.standing is Standing.UNSETTLED else text


def beat(entry: Entry | None) -> str:
    """ "0.62": seconds; "" of swings whose total was said."""
    return "" if entry is None or entry.beat is None else f"{entry.beat:.2f}"


def _latest_waiting(sheet: Sheet) -> dict[tuple[int, Quantity], Entry]:
    """Places that hold only values in question, with the last of them."""
    open_numbers = {q.n for q in sheet.questions}
    return {(e.key, e.quantity): e for e in sheet.entries if e.standing is Standing.UNSETTLED and e.n in open_numbers}


def _standing(entries: Iterable[Entry]) -> str:
    return max((e.standing for e in entries), key=_WEIGHT_OF_STANDING.__getitem__, default=Standing.WITHDRAWN).value


def torque(interval: Interval | None) -> str:
    """Never a single number: a count says no more."""
    if interval is None:
        return ""
    return f"≥{interval.low:.2f}" if interval.high is None else f"{interval.low:.2f}–{interval.high:.2f}"


def rows(sheet: Sheet, torques: Mapping[int, Interval] = NO_TORQUES) -> dict[int, Row]:
    """Key -> row, ascending, for every key that anything was ever said of. `torques`: key -> mN m."""
    waiting = _latest_waiting(sheet)
    made: dict[int, Row] = {}
    for key in sorted({e.key for e in sheet.entries} | {k for k, _ in sheet.standing}):
        shown = {q: e for q in Quantity if (e := sheet.standing.get((key, q)) or waiting.get((key, q))) is not None}
        down, up = sheet.standing.get((key, Quantity.DOWN)), sheet.standing.get((key, Quantity.UP))
        friction, balance = friction_and_balance(
            down.value if down else None, up.value if up else None, not (up and up.value is None)
        )
        made[key] = Row(
            key,
            note_name(key),
            _value(shown.get(Quantity.DOWN)),
            _value(shown.get(Quantity.UP)),
            friction,
            balance,
            _value(shown.get(Quantity.SWINGS)),
            beat(shown.get(Quantity.SWINGS)),
            torque(torques.get(key)),
            _standing(e for place, e in (*sheet.standing.items(), *waiting.items()) if place[0] == key),
        )
    return made


def complete(sheet: Sheet, key: int, wanted: Iterable[Quantity]) -> bool:
    """All that this pass wants of the key stands."""
    return all((key, q) in sheet.standing for q in wanted)


def progress(sheet: Sheet, wanted: frozenset[Quantity]) -> tuple[str, str]:
    """("naturals", "14 of 52"), or ("", how many keys are done) where no plan says how many there are."""
    if sheet.plan.keys:
        done = sum(complete(sheet, key, wanted) for key in sheet.plan.keys)
        return sheet.plan.name, f"{done} of {len(sheet.plan.keys)}"
    done = sum(complete(sheet, key, wanted) for key in {k for k, _ in sheet.standing})
    return "", counted(done, "key")
