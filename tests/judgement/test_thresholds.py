"""What the thresholds are worth: how often a true reading is questioned, and how often one that is ten grams off is.

The pianos are made up: friction falling from bass to treble, some scatter, one key in twenty-five sluggish (common
practice, no source). The bounds are wide around what was measured with the defaults (2 to 5 and 67 to 88 in a
hundred, by how heavy the piano is), so that they fail when a threshold is changed without looking.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from decimal import Decimal

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.dialogue import judge
from handsfree.judgement.limits import Limits
from handsfree.nouns import Amount, Outcome, Quantity, Reading
from handsfree.session import Session
from handsfree.words.plans import EVERY_KEY

Piano = dict[int, tuple[int, int]]
LIMITS = Limits()


def piano(draws: random.Random, down: float, friction: float) -> Piano:
    """Key -> (down, up), whole grams."""
    keys: Piano = {}
    for key in EVERY_KEY.keys:
        sluggish = draws.uniform(4, 12) if draws.random() < 0.04 else 0.0
        f = max(1.0, friction * (1.25 - 0.5 * key / 88) + draws.gauss(0, 1.5) + sluggish)
        b = down - friction + draws.gauss(0, 1.2)
        keys[key] = (round(b + f), max(1, round(b - f)))
    return keys


def said(down: int, up: int) -> Reading:
    return Reading(None, (Amount(Quantity.DOWN, Decimal(down)), Amount(Quantity.UP, Decimal(up))))


def passes(down: float, friction: float) -> Iterator[tuple[bool, list[bool]]]:
    """For each key of some pianos: was the true reading questioned, and were those with ten grams more or less."""
    draws = random.Random(11)
    for _ in range(3):
        session = Session(MemoryJournal())
        session.set_plan(EVERY_KEY)
        for d, u in piano(draws, down, friction).values():
            wrong = [(d + 10, u), (d - 10, u), (d, u + 10), *([(d, u - 10)] if u > 10 else [])]
            caught = [judge(((said(*w), 1.0),), session.sheet, LIMITS).outcome is not Outcome.TAKEN for w in wrong]
            asked = session.typed(f"down {d} up {u}").outcome is Outcome.ASKED
            if asked:
                session.typed("yes")
            yield asked, caught


@pytest.mark.parametrize(("down", "friction"), [(44, 9), (52, 13), (66, 18)], ids=["light", "usual", "heavy"])
def test_true_readings_pass_and_wrong_tens_do_not(down: float, friction: float) -> None:
    asked, caught = zip(*passes(down, friction), strict=True)
    assert sum(asked) / len(asked) < 0.06
    wrong = [one for key in caught for one in key]
    assert sum(wrong) / len(wrong) > 0.6


def test_a_very_heavy_piano_is_not_questioned_at_every_key() -> None:
    """Nearly every value lies outside the query limits."""
    asked, _ = zip(*passes(80, 22), strict=True)
    assert sum(asked) / len(asked) < 0.1
    # once it is known to be heavy, as good as none
    assert sum(asked[20:88]) / 68 < 0.08
