"""Two sittings against each other: what changed, or how two instruments differ; touch and condition."""

from __future__ import annotations

from collections.abc import Iterator

from handsfree.nouns import Circumstance, Walk, number_noted
from handsfree.reckoning.results import Comparison
from handsfree.reports import tables
from handsfree.reports.markup import Markup, join, tag
from handsfree.reports.part import Part
from handsfree.reports.walk_csv import not_looked_at
from handsfree.reports.walk_section import grade_text
from handsfree.words import parts
from handsfree.words.remark_places import named

SAME_HUMIDITY = 5
"""Per cent relative humidity within which two rooms are taken for alike (our choice)."""


def side_by_side(comparison: Comparison, pair: tuple[Part, ...]) -> Markup:
    called = (comparison.first.label, comparison.second.label)
    two = comparison.kind == "two instruments"
    short: tables.Pair = ("First", "Second") if two else ("Before", "After")
    notes = [*comparison.notes, *_climates(comparison, pair)]
    settings = comparison.second.settings
    return join(
        tag("p", f"First: {called[0]}. Second: {called[1]}.", class_="meta") if two else None,
        tag("ul", *(tag("li", c) for c in comparison.conclusions)),
        tag("ul", *(tag("li", n) for n in notes), class_="box") if notes else None,
        _conditions(pair, called),
        tables.differences(comparison.whole, f"The same keys in both: {short[1].lower()} less {short[0].lower()}",
                           short, settings),
        *(
            tables.differences(s.differences, f"The same, {s.name}", short, settings)
            for s in comparison.sections
            if any(d.keys for d in s.differences)
        ),
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


def _conditions(pair: tuple[Part, ...], called: tuple[str, str]) -> Markup | None:
    """The faults of both; nothing where nobody walked round either."""
    walks = [p.walk for p in pair]
    if not any(w.stands for w in walks):
        return None
    rows = [("Parts looked at", *(_looked_at(w) for w in walks))]
    for grade in (parts.UNSAFE, parts.FAILING, parts.WORN, None):
        faults = [_faults(w, grade) for w in walks]
        if any(fault != tables.NOTHING for fault in faults):
            rows.append((grade_text(grade).capitalize(), *faults))
    return tables.table("Condition, side by side", ("Grade", *called), rows, ())


def _looked_at(walk: Walk) -> str:
    seen = {i.finding.part for i in walk.stands if i.finding.grade != parts.NOT_LOOKED_AT}
    return f"{len(seen)} of {len(seen) + len(not_looked_at(walk))}" if seen else "none: nothing is claimed"


def _faults(walk: Walk, grade: int | None) -> str:
    return "; ".join(named(i) for i in walk.stands if i.finding.grade == grade) or tables.NOTHING
