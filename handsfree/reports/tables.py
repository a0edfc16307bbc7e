"""The tables of the report: rows of figures, each beside what it was worked out from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from handsfree.nouns import Entry, Quantity, Sheet, Standing
from handsfree.reckoning.comparison import SMALL_SHIFT, is_small_shift
from handsfree.reckoning.compass import note_name
from handsfree.reckoning.results import (
    Bound,
    Comparison,
    Figures,
    Interval,
    KeyFigures,
    PairedDifference,
    SectionFigures,
    Spread,
    Verdict,
    Weighed,
)
from handsfree.reckoning.touch_settings import TouchSettings
from handsfree.reckoning.uncertainty import known
from handsfree.reports.markup import Markup, join, tag
from handsfree.reports.times import clock, one_day

NOTHING = "\u2013"
"""An en dash: there is no value."""
LEFT_OPEN = {Verdict.FINE, Verdict.UNKNOWN}
"""Verdicts that call for nothing."""

Cell = str | Markup
Row = Sequence[Cell]


SHORT = 12
"""Rows; up to so many stay on one sheet of paper."""


def table(
    caption: str, head: Sequence[str], rows: Iterable[Row], numeric: Sequence[int], style: str | None = None
) -> Markup:
    """`numeric`: the columns that are set right; `style`: a class of the table's own."""
    return told_table(caption, head, ((row, None) for row in rows), numeric, style)


def told_table(
    caption: str,
    head: Sequence[str],
    rows: Iterable[tuple[Row, Cell | None]],
    numeric: Sequence[int],
    style: str | None = None,
) -> Markup:
    """Like `table`; each row may have words of its own, which stand below it over the whole width: a column of
    sentences leaves no room for figures on a phone."""
    kind = dict.fromkeys(numeric, "n")
    header = tag("tr", *(tag("th", h, scope="col", class_=kind.get(i)) for i, h in enumerate(head)))
    groups: list[list[Markup]] = [[]]
    rows = list(rows)
    for row, words in rows:
        line = tag("tr", *(tag("td", c, class_=kind.get(i)) for i, c in enumerate(row)))
        if words is None:
            groups[-1].append(line)
        else:  # a body of its own holds the two together on paper
            groups += [[line, tag("tr", tag("td", words, colspan=len(head)), class_="told")], []]
    bodies = [tag("tbody", *group) for group in groups if group] or [tag("tbody")]
    return tag(
        "div",
        tag("table", tag("caption", caption), tag("thead", header), *bodies, class_=style),
        class_="wide short" if len(rows) <= SHORT else "wide", tabindex=0, role="region", aria_label=caption,
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


def between(interval: Interval | None, places: int) -> str:
    """ "0.65 to 1.02", or only the lower end."""
    if interval is None:
        return NOTHING
    if interval.high is None:
        return f"{interval.low:.{places}f} or more"
    return f"{interval.low:.{places}f} to {interval.high:.{places}f}"


def verdict(value: Verdict) -> Markup:
    return tag("span", value.value, class_=None if value in LEFT_OPEN else "flag")


def key_figures(figures: Figures) -> Markup:
    """Of all keys read, with how well one key's figure is known."""
    whole, sure = figures.whole, known(figures)
    spreads = (
        ("Down, g", whole.down, sure.down),
        ("Up, g", whole.up, sure.up),
        ("Friction, g", whole.friction, sure.weighed),
        ("Balance, g", whole.balance, sure.weighed),
        ("Swings", whole.swings, None),
    )
    rows = [_spread(name, spread, half) for name, spread, half in spreads if spread]
    head = ("Figure", "Keys", "Mean", "Median", "From, to", "One key")
    return table("Key figures of all keys that were read, and how well that of one key is known", head, rows,
                 (1, 2, 3, 4, 5))  # fmt: skip


def _spread(name: str, spread: Spread, half: float | None) -> Row:
    about = "\u00b11" if half is None else f"\u00b1{half:.1f}"
    span = f"{grams(spread.low)}\u2013{grams(spread.high)}"
    return (name, str(spread.keys), number(spread.mean), number(spread.median), span, about)


def sections(figures: Figures) -> Markup:
    rows = ((_section(s), s.why) for s in figures.sections if s.keys_read)
    head = ("Section", "Keys", "Down, g", "Friction, g", "Balance, g", "Verdict")
    return told_table("Sections of the keyboard, means", head, rows, (1, 2, 3, 4))


def _section(s: SectionFigures) -> Row:
    means = (number(spread.mean if spread else None) for spread in (s.down, s.friction, s.balance))
    return (f"{s.name}, {note_name(s.first)}\u2013{note_name(s.last)}", str(s.keys_read), *means, verdict(s.verdict))


def keys(figures: Figures) -> Markup:
    head = ("Key", "Down g", "Up g", "Friction g", "Balance g", "Swings", "Verdict")
    return told_table("Every key that was read", head, (_key_row(k) for k in figures.keys), (1, 2, 3, 4, 5))


def _key_row(k: KeyFigures) -> tuple[Row, str]:
    up = "no return" if k.no_return else grams(k.up)
    swings = grams(k.swing.count) if k.swing else NOTHING
    row = (_key(k.key), grams(k.down), up, weighed(k.friction), weighed(k.balance), swings, verdict(k.verdict))
    return row, k.why


def _key(key: int) -> Markup:
    """Its note, and its number on the keyboard."""
    return join(tag("b", note_name(key)), tag("span", f" {key}", class_="soft"))


def torques(figures: Figures) -> Markup:
    """Friction torque of the flanges, where hammers were weighed."""
    swung = [(k.key, k.swing) for k in figures.keys if k.swing and k.swing.torque]
    if not swung:
        return Markup("")
    rows = [
        (_key(key), grams(s.count), between(s.mu_eye, 3), between(s.torque, 0), between(s.torque_mnm, 2),
         between(s.at_key, 1))
        for key, s in swung
    ]  # fmt: skip
    head = ("Key", "Swings", "Friction torque over weight torque", "Torque, gf mm", "Torque, mN m", "At the key, g")
    return table("Friction torque of the hammer flanges, the count right to one pass", head, rows, (1, 2, 3, 4, 5))


Pair = tuple[str, str]
"""What the first and the second are called in the head of a column."""


def differences(pairs: Sequence[PairedDifference], caption: str, pair: Pair, settings: TouchSettings) -> Markup:
    by = {d.quantity: d for d in pairs}
    small = "friction" in by and "balance" in by and is_small_shift(by["friction"], by["balance"], settings)
    rows = ((_difference(d, small), d.reason or None) for d in pairs if d.keys)
    interval = f"{float(settings.confidence) * 100:g} % interval"
    head = ("Figure", "Keys", f"{pair[0]}, mean", f"{pair[1]}, mean", "Difference", interval, "Shown")
    return told_table(caption, head, rows, (1, 2, 3, 4, 5))


def _difference(d: PairedDifference, small_shift: bool) -> Row:
    interval = NOTHING if d.low is None or d.high is None else f"{d.low:+z.2f} to {d.high:+z.2f}"
    change = NOTHING if d.mean is None else f"{d.mean:+z.2f}"
    unit = "" if d.quantity == "swings" else ", g"
    shown = "yes" if d.changed else "no"
    if d.quantity == "balance" and d.changed and small_shift:
        shown = "no: friction alone can do that"
    return (d.quantity + unit, str(d.keys), number(d.mean_first), number(d.mean_second), change, interval, shown)


def changed_keys(comparison: Comparison) -> Markup:
    rows = []
    for k in comparison.keys:
        by_name = {c.quantity: c for c in k.changes}
        cells = []
        for quantity in ("down", "up", "friction", "balance"):
            c = by_name.get(quantity)
            sign = " *" if c and c.changed else " \u2020" if quantity == "balance" and k.remark == SMALL_SHIFT else ""
            cells.append(NOTHING if c is None else f"{c.first:f} \u2192 {c.second:f}{sign}")
        one, two = k.verdict_first, k.verdict_second
        became = one.value if one is two else f"{one.value} \u2192 {two.value}"
        rows.append(((_key(k.key), *cells, became), None if k.remark == SMALL_SHIFT else k.remark or None))
    head = ("Key", "Down g", "Up g", "Friction g", "Balance g", "Verdict")
    caption = "Key by key. * differs by more than its uncertainty; \u2020 does, but friction alone can do that"
    return told_table(caption, head, rows, (1, 2, 3, 4))


STANDINGS = {
    Standing.TAKEN: "taken",
    Standing.CONFIRMED: "confirmed when asked",
    Standing.CORRECTED: "a correction",
    Standing.UNSETTLED: "asked, not answered: in no figure",
    Standing.WITHDRAWN: "withdrawn: in no figure",
}


NOBODY: frozenset[int] = frozenset()
NO_WORDS: Mapping[int, str] = {}


def sound_id(entry: Entry) -> str:
    """Where on the page its sound is."""
    return f"sound-{entry.n}-{entry.quantity.value}"


def provenance(
    sheet: Sheet,
    typed: frozenset[int] = NOBODY,
    heard: frozenset[int] = NOBODY,
    words: Mapping[int, str] = NO_WORDS,
) -> Markup:
    """Each value: when it was said, what was heard, how sure, and what became of it.

    `typed`: numbers of the lines that came by keyboard; nobody had to hear those. `heard`: numbers of the values
    whose sound is on the page. `words`: of a value, in place of the likeliest by ear.
    """
    day = one_day(e.at for e in sheet.entries)
    rows = [_provenance_row(e, day, typed, heard, words.get(e.n, e.heard_text)) for e in sheet.entries]
    head = ("No.", "Time", "Note", "What", "Value", "Words heard", "Sureness", "What became of it")
    caption = "Where each value comes from" + (f"; all on {day}" if day else "")
    return table(caption, head, rows, (0, 4, 6), "words-below")


def value_words(e: Entry) -> str:
    if e.value is None:
        return "no return"
    return f"{e.value:f}" + ("" if e.quantity is Quantity.SWINGS else "\u00a0g")


def _provenance_row(e: Entry, day: str, typed: frozenset[int], heard: frozenset[int], said: str) -> Row:
    number = tag("a", str(e.n), href=f"#{sound_id(e)}") if e.n in heard else str(e.n)
    words = tag("bdi", said or NOTHING, class_="words")
    sure = "typed" if e.heard_n in typed else f"{e.sureness:.2f}"
    became = STANDINGS[e.standing] + (f", in place of no. {e.replaces}" if e.replaces is not None else "")
    return (number, clock(e.at, day), note_name(e.key), e.quantity.value, value_words(e), words, sure, became)
