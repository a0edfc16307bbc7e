"""Two walkthroughs against each other: the faults of both, and which is the better in what."""

from __future__ import annotations

from collections.abc import Iterator

from handsfree.nouns import Walk
from handsfree.reckoning.compass import counted
from handsfree.reports import tables
from handsfree.reports.markup import Markup, join, tag
from handsfree.reports.walk_csv import not_looked_at
from handsfree.reports.walk_section import grade_text
from handsfree.words import parts
from handsfree.words.remark_places import named

Two = tuple[Walk, Walk]


def conditions(walks: Two, called: tuple[str, str]) -> Markup | None:
    """Nothing where nobody walked round either; `called`: what the two are called."""
    if not any(w.stands for w in walks):
        return None
    rows = [("Parts looked at", *(_looked_at(w) for w in walks))]
    for grade in (parts.UNSAFE, parts.FAILING, parts.WORN, None):
        faults = [_faults(w, grade) for w in walks]
        if any(fault != tables.NOTHING for fault in faults):
            rows.append((grade_text(grade).capitalize(), *faults))
    return join(
        tables.table("Condition, side by side", ("Grade", *called), rows, ()),
        tag("ul", *(tag("li", said) for said in compared(walks, called))),
    )


def compared(walks: Two, called: tuple[str, str]) -> Iterator[str]:
    """Part by part, by the worst grade of each; of what was graded in one only, nothing is better or worse."""
    first, second = (_worst(walk) for walk in walks)
    both = [part for part in parts.BY_NAME if part in first and part in second]
    if not first or not second:
        return
    if not both:
        yield "No part was graded in both: which is in the better condition is not known."
        return
    for name, one, other in ((called[0], first, second), (called[1], second, first)):
        better = [f"{part} ({one[part]} against {other[part]})" for part in both if one[part] < other[part]]
        if better:
            yield f"Better in {name}, by grades: {', '.join(better)}."
    if alike := sum(first[part] == second[part] for part in both):
        yield f"Graded alike in both: {counted(alike, 'part')}."
    if apart := len(first.keys() ^ second.keys()):
        yield f"Graded in one only, so nothing is said of which is better: {counted(apart, 'part')}."


def _worst(walk: Walk) -> dict[str, int]:
    """Part -> the highest grade that stands, of parts that were looked at and graded."""
    worst: dict[str, int] = {}
    for item in walk.stands:
        if grade := item.finding.grade:
            worst[item.finding.part] = max(grade, worst.get(item.finding.part, 0))
    return worst


def _looked_at(walk: Walk) -> str:
    seen = {i.finding.part for i in walk.stands if i.finding.grade != parts.NOT_LOOKED_AT}
    return f"{len(seen)} of {len(seen) + len(not_looked_at(walk))}" if seen else "none: nothing is claimed"


def _faults(walk: Walk, grade: int | None) -> str:
    return "; ".join(named(i) for i in walk.stands if i.finding.grade == grade) or tables.NOTHING
