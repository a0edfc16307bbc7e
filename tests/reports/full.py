"""Whole pages for looking at: 88 keys with all that a report can hold. Made-up figures from a fixed recipe."""

from __future__ import annotations

from decimal import Decimal

from handsfree.journal.sheet import fold
from handsfree.journal.walk import walk_fold
from handsfree.measured import measured
from handsfree.nouns import (
    Circumstance,
    Fact,
    Finding,
    FindingTook,
    Kept,
    Noted,
    Quantity,
    RemarkKept,
    Sitting,
    Standing,
    Took,
)
from handsfree.reckoning.comparison import Kind, comparison
from handsfree.reckoning.summary import figures
from handsfree.reports.paper import report
from handsfree.reports.part import Part
from handsfree.reports.walk_section import Picture

WHEN = "2031-03-14T09:30:00+01:00"
# the smallest picture there is: one transparent dot (GIF)
DOT = bytes.fromhex("47494638396101000100800000000000ffffff21f90401000000002c00000000010001000002024401003b")


def key_facts(lighter: int = 0) -> list[Fact]:
    """Down, up and swings of every key; key 33 rubs, key 60 is heavy, key 47 does not return."""
    facts: list[Fact] = []
    for key in range(1, 89):
        balance = Decimal(40) + (6 if key == 60 else 0) + Decimal(key * 7 % 5) / 2
        friction = Decimal(17 - key // 22 - lighter) + (7 if key == 33 else 0) + Decimal(key * 11 % 7) / 4
        up = None if key == 47 else balance - friction
        facts += [_took(key, Quantity.DOWN, balance + friction), _took(key, Quantity.UP, up)]
        facts.append(_took(key, Quantity.SWINGS, Decimal(4 + lighter + key % 3)))
    return facts


WALK: list[Fact] = [
    Noted(Circumstance.KIND, "grand"),
    Noted(Circumstance.TEMPERATURE, "21"),
    Noted(Circumstance.HUMIDITY, "45"),
    Noted(Circumstance.HAMMERS, "A0 11 g 135 mm, C8 6 g 130 mm"),
    Noted(Circumstance.RATIO, "5.1"),
    FindingTook(Finding("hammers", "grooved", "treble", 3), Standing.TAKEN, 0.97),
    FindingTook(Finding("bridges", "cracked", "treble", 4), Standing.CONFIRMED, 0.97),
    FindingTook(Finding("dampers", "good", "", 1), Standing.TAKEN, 0.97),
    RemarkKept("hammers", 6, "felt cut deepest in the fifth octave " * 8),
]


def _took(key: int, quantity: Quantity, value: Decimal | None) -> Took:
    return Took(key, quantity, value, Standing.TAKEN, 0.97)


def full_part(lighter: int = 0, walk: bool = True, number: int = 1, name: str = "Made-up grand") -> Part:
    sitting = Sitting(number, name, WHEN, "handsfree test", "", {"weight_step_g": "0.5"})
    said = [*key_facts(lighter), *(WALK if walk else [])]
    facts = [Kept(n, WHEN, n, "as it was said, with a few words more", None, fact) for n, fact in enumerate(said, 1)]
    sheet, noted = fold(facts), walk_fold(facts)
    picture = Picture("a-rather-long-file-name-of-a-camera-0001.gif", WHEN, "hammers", 6, DOT, "image/gif")
    return Part(
        sitting,
        sheet,
        figures(measured(sheet, sitting, name, noted.noted)),
        "ab" * 32,
        {"Place": "a workshop", "Technician": "made up"},
        walk=noted,
        pictures=(picture,) if walk else (),
        facts=len(facts),
    )


def one_page() -> str:
    return report((full_part(),), None, WHEN, "test", ("flanges eased",)).decode()


def two_pages(kind: Kind) -> str:
    pair = (full_part(), full_part(4, walk=kind == "two instruments", number=2, name="Made-up upright"))
    both = comparison(pair[0].figures, pair[1].figures, kind)
    return report(pair, both, WHEN, "test").decode()
