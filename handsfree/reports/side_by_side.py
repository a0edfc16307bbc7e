"""Two sittings against each other: what changed, or how two instruments differ; touch and condition."""

from __future__ import annotations

from collections.abc import Iterator

from handsfree.nouns import Circumstance, number_noted
from handsfree.reckoning.results import Comparison
from handsfree.reports import tables
from handsfree.reports.conditions import conditions
from handsfree.reports.markup import Markup, join, tag
from handsfree.reports.part import Part

SAME_HUMIDITY = 5
"""Per cent relative humidity within which two rooms are taken for alike (our choice)."""


def side_by_side(comparison: Comparison, pair: tuple[Part, ...]) -> Markup:
    called = (comparison.first.label, comparison.second.label)
    two = comparison.kind == "two instruments"
    short: tables.Pair = ("First", "Second") if two else ("Before", "After")
    notes = [*comparison.notes, *_climates(comparison, pair)]
    settings = comparison.second.settings
    parts = [s for s in comparison.sections if any(d.keys for d in s.differences)]
    if len(parts) == 1 and parts[0].differences == comparison.whole:
        parts = []  # one section holds them all: the same table twice
    return join(
        tag("p", f"First: {called[0]}. Second: {called[1]}.", class_="meta") if two else None,
        tag("ul", *(tag("li", c) for c in comparison.conclusions)),
        tag("ul", *(tag("li", n) for n in notes), class_="box") if notes else None,
        conditions((pair[0].walk, pair[1].walk), called),
        tables.differences(comparison.whole, f"The same keys in both: {short[1].lower()} less {short[0].lower()}. "
                           "Shown: the interval leaves out that there is no difference", short, settings)
        if comparison.keys else None,
        *(tables.differences(s.differences, f"The same, {s.name}", short, settings) for s in parts),
        tables.changed_keys(comparison) if comparison.keys else None,
    )  # fmt: skip


def _climates(comparison: Comparison, pair: tuple[Part, ...]) -> Iterator[str]:
    """Friction moves with humidity, so a change may be the room's."""
    if comparison.kind != "before and after":
        return
    rooms = [number_noted(p.walk.noted, Circumstance.HUMIDITY) for p in pair]
    if rooms[0] is None or rooms[1] is None:
        yield (
            "The humidity of the room was not noted both times: friction and swings move with it, so part of a "
            "change may be the room's."
        )
    elif abs(rooms[1] - rooms[0]) > SAME_HUMIDITY:
        yield (
            f"Humidity was {rooms[0]:f} % and then {rooms[1]:f} %: friction and swings move with it, so part of a "
            "change may be the room's."
        )
