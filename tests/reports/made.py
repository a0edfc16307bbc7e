"""A made-up sitting with everything in it that a table must be able to show."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from handsfree.journal.sheet import fold
from handsfree.nouns import (
    Asked,
    Doubt,
    Fact,
    Kept,
    Plan,
    PlanSet,
    Proposal,
    PutOff,
    Quantity,
    Question,
    Settled,
    Sheet,
    Sitting,
    Standing,
    Took,
    Withdrew,
)

DOWN, UP, SWINGS = Quantity.DOWN, Quantity.UP, Quantity.SWINGS
SITTING = Sitting(
    3, 'Concert grand "Möwe", stage left', "2031-05-06T09:00:00.000+02:00", "0.1.0", "", {"weight_step_g": "0.5"}
)


def took(
    key: int, quantity: Quantity, grams: str | None, standing: Standing = Standing.TAKEN, replaces: int | None = None
) -> Took:
    value = None if grams is None else Decimal(grams)
    return Took(key, quantity, value, standing, 0.98765, replaces)  # type: ignore[arg-type]


def asked(key: int, quantity: Quantity, grams: str) -> Asked:
    proposal = Proposal(key, quantity, Decimal(grams), 0.61)
    return Asked(Question((proposal,), Doubt.RANGE, f"key {key}, {grams}?"))


SAID: tuple[tuple[str, tuple[Fact, ...]], ...] = (
    ("", (PlanSet(Plan("every key", tuple(range(1, 89)))),)),
    ("a zero fifty two twenty eight", (took(1, DOWN, "52"), took(1, UP, "28"))),
    ("fifty two and a half twenty eight", (took(2, DOWN, "52.50"), took(2, UP, "28"))),
    ("fifty eight no return", (took(3, DOWN, "58"), took(3, UP, None))),
    ("c one ninety one", (asked(4, DOWN, "91"),)),
    ("yes", (took(4, DOWN, "91", Standing.CONFIRMED), Settled(8, "yes"))),
    ("d one fifteen", (asked(6, DOWN, "15"),)),
    ("e one fifty", (PutOff(11), took(8, DOWN, "50"))),
    ("correction forty nine", (took(8, DOWN, "49", Standing.CORRECTED, replaces=13),)),
    ("c eight forty seven and a half", (took(88, DOWN, "47.5"),)),
    ("disregard", (Withdrew(15),)),
    ("a four one two three four five six and a half", (replace(took(49, SWINGS, "6.5"), beat=0.7142),)),
)


def made_sheet() -> tuple[Sheet, tuple[Kept, ...]]:
    kepts: list[Kept] = []
    for n, (words, facts) in enumerate(SAID):
        at, clip = f"2031-05-06T09:{n:02}:30.000+02:00", f"{n:06}.flac" if words else None
        kepts += [Kept(len(kepts) + 1 + i, at, n or None, words, clip, fact) for i, fact in enumerate(facts)]
    return fold(kepts), tuple(kepts)
