"""What can be done, in the report: each job with its keys, what it can gain, what it cannot, and its cautions."""

from __future__ import annotations

from handsfree.reckoning.compass import counted, note_name
from handsfree.reckoning.results import Expected, Figures, Treatment
from handsfree.reports.markup import Markup, join, tag
from handsfree.reports.tables import grams


def proposals(figures: Figures) -> Markup:
    if not figures.treatments:
        return tag("p", "Nothing is proposed.")
    order = "In the order of what it can gain; weights and leverage last, since friction hides what they should be."
    return join(tag("p", order), *(_job(t) for t in figures.treatments))


def _job(t: Treatment) -> Markup:
    return tag(
        "div",
        tag("h3", t.what),
        tag("p", f"{counted(len(t.keys), 'key')}. {t.why} {t.cannot}"),
        tag("ul", *(tag("li", _key(e)) for e in t.keys), class_="keys"),
        tag("p", f"Measure again afterwards: {t.again}"),
        tag("ul", *(tag("li", c) for c in t.cautions), class_="cautions") if t.cautions else None,
        class_="job",
    )


def _key(e: Expected) -> Markup:
    """ "F3 65 → 51.7 g": down weight now, and expected."""
    name = tag("b", note_name(e.key))
    if e.down is None:
        return name
    now = f" {grams(e.down)}"
    return join(name, tag("span", now + (" g" if e.expected_down is None else f" \u2192 {grams(e.expected_down)} g")))
