"""The tables of the report: rows of figures, each beside what it was worked out from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from handsfree.nouns import Entry, Quantity, Sheet, Standing
from handsfree.reckoning.results import (
    Bound,
    Comparison,
    Figures,
    KeyFigures,
    PairedDifference,
    SectionFigures,
    Spread,
    Verdict,
    Weighed,
)
from handsfree.reports.markup import Markup, join, tag
from handsfree.words.notes import note_name

NOTHING = "\u2013"
"""An en dash: there is no value."""
LEFT_OPEN = {Verdict.FINE, Verdict.UNKNOWN}
"""Verdicts that call for nothing."""


Row = Sequence[str | Markup]


def table(caption: str, head: Sequence[str], rows: Iterable[Row], numeric: Sequence[int]) -> Markup:
    """`numeric`: the columns that are set right."""
    kind = dict.fromkeys(numeric, "n")
    header = tag("tr", *(tag("th", h, scope="col", class_=kind.get(i)) for i, h in enumerate(head)))
    body = [tag("tr", *(tag("td", c, class_=kind.get(i)) for i, c in enumerate(row))) for row in rows]
    return tag(
        "div",
        tag("table", tag("caption", caption), tag("thead", header), tag("tbody", *body)),
        class_="wide", tabindex=0, role="region", aria_label=caption,
    )  # fmt: skip


def number(value: float | None, places: int = 1) -> str:
    return NOTHING if value is None else f"{value:.{places}f}"


def grams(value: Decimal | None) -> str:
    """As it was said."""
    return NOTHING if value is None else f"{value:f}"


def weighed(value: Weighed | None) -> str:
    if value is None:
        return NOTHING
    sign = {Bound.EXACT: "", Bound.AT_LEAST: "\u2265 ", Bound.AT_MOST: "\u2264 "}[value.bound]
    return f"{sign}{value.value:f}"


def verdict(value: Verdict) -> Markup:
    return tag("span", value.value, class_=None if value in LEFT_OPEN else "flag")


def _why(sentences: str) -> Markup:
    """Wide enough to read on a phone, where the table scrolls."""
    return tag("div", sentences, class_="why")


def _spread(name: str, unit: str, spread: Spread | None) -> list[tuple[str, ...]]:
    if spread is None:
        return []
    return [(name, str(spread.keys), number(spread.mean), number(spread.median), grams(spread.low),
             grams(spread.high), unit)]  # fmt: skip


def key_figures(section: SectionFigures) -> Markup:
    rows = [
        row
        for name, unit, spread in (
            ("Down weight", "g", section.down),
            ("Up weight", "g", section.up),
            ("Friction", "g", section.friction),
            ("Balance", "g", section.balance),
            ("Swings", "", section.swings),
        )
        for row in _spread(name, unit, spread)
    ]
    head = ("Quantity", "Keys", "Mean", "Median", "Lowest", "Highest", "Unit")
    return table(f"Key figures, {section.name}", head, rows, (1, 2, 3, 4, 5))


def sections(figures: Figures) -> Markup:
    rows = [
        (
            s.name,
            f"{note_name(s.first)}\u2013{note_name(s.last)}",
            str(s.keys_read),
            number(s.down.mean if s.down else None),
            number(s.friction.mean if s.friction else None),
            number(s.balance.mean if s.balance else None),
            verdict(s.verdict),
            _why(s.why),
        )
        for s in figures.sections
    ]
    head = ("Section", "Keys", "Read", "Down, mean g", "Friction, mean g", "Balance, mean g", "Verdict", "Why")
    return table("Sections of the compass", head, rows, (2, 3, 4, 5))


def keys(figures: Figures) -> Markup:
    head = ("Key", "Note", "Down g", "Up g", "Friction g", "Balance g", "Swings", "Verdict", "Why")
    return table("Every key that was read", head, (_key_row(k) for k in figures.keys), (0, 2, 3, 4, 5, 6))


def _key_row(k: KeyFigures) -> tuple[str | Markup, ...]:
    up = "no return" if k.no_return else grams(k.up)
    swings = grams(k.swing.count) if k.swing else NOTHING
    return (str(k.key), k.note, grams(k.down), up, weighed(k.friction), weighed(k.balance), swings,
            verdict(k.verdict), _why(k.why))  # fmt: skip


GAIN_HEAD = ("Note", "Down now g", "Expected g", "Gain g")


def treatments(figures: Figures) -> Markup:
    blocks = []
    for t in figures.treatments:
        rows = [(note_name(e.key), grams(e.down), grams(e.expected_down), grams(e.gain)) for e in t.keys]
        blocks.append(
            join(
                tag("h3", t.what),
                tag("p", f"{t.why} {t.cannot}"),
                table(f"{t.what}: what each key can gain", GAIN_HEAD, rows, (1, 2, 3)),
                tag("p", f"Measure again afterwards: {t.again}"),
                tag("ul", *(tag("li", c) for c in t.cautions)) if t.cautions else None,
            )
        )
    return join(*blocks)


def differences(pairs: Sequence[PairedDifference], caption: str) -> Markup:
    rows = [
        (
            d.quantity,
            str(d.keys),
            number(d.mean_first),
            number(d.mean_second),
            number(d.mean, 2),
            f"{number(d.low, 2)} to {number(d.high, 2)}" if d.low is not None else NOTHING,
            "yes" if d.changed else "no",
            d.reason,
        )
        for d in pairs
    ]
    head = ("Quantity", "Keys in both", "First, mean", "Second, mean", "Change", "Interval", "Changed", "Note")
    return table(caption, head, rows, (1, 2, 3, 4, 5))


def changed_keys(comparison: Comparison) -> Markup:
    rows = []
    for k in comparison.keys:
        by_name = {c.quantity: c for c in k.changes}
        cells = []
        for quantity in ("down", "up", "friction", "balance"):
            c = by_name.get(quantity)
            cells.append(NOTHING if c is None else f"{c.first:f} \u2192 {c.second:f}{' *' if c.changed else ''}")
        rows.append((str(k.key), k.note, *cells, k.verdict_first.value, k.verdict_second.value, k.remark))
    head = ("Key", "Note", "Down g", "Up g", "Friction g", "Balance g", "Verdict, first", "Verdict, second", "Remark")
    return table("Key by key; * marks a change beyond its uncertainty", head, rows, (0, 2, 3, 4, 5))


STANDINGS = {
    Standing.TAKEN: "taken",
    Standing.CONFIRMED: "confirmed when asked",
    Standing.CORRECTED: "a correction",
    Standing.UNSETTLED: "asked, not answered: in no figure",
    Standing.WITHDRAWN: "withdrawn: in no figure",
}


def provenance(sheet: Sheet) -> Markup:
    """Each value: when it was said, what was heard, how sure, and what became of it."""
    rows = [_provenance_row(e) for e in sheet.entries]
    head = ("No.", "Time", "Note", "Quantity", "Value", "Words heard", "Sureness", "Standing")
    return table("Where each value comes from", head, rows, (0, 4, 6))


def _provenance_row(e: Entry) -> tuple[str | Markup, ...]:
    value = "no return" if e.value is None else f"{e.value:f}" + ("" if e.quantity is Quantity.SWINGS else " g")
    heard = tag("bdi", e.heard_text or NOTHING, class_="words")
    return (str(e.n), e.at, note_name(e.key), e.quantity.value, value, heard, f"{e.sureness:.2f}",
            STANDINGS[e.standing])  # fmt: skip
