"""Figures and comparisons as lines of text, for a terminal of 80 columns or more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

from handsfree.reckoning.compass import grams, listed, note_name
from handsfree.reckoning.readings import Method
from handsfree.reckoning.results import (
    Bound,
    Comparison,
    Figures,
    Interval,
    KeyFigures,
    PairedDifference,
    SectionFigures,
    Spread,
    Treatment,
    Verdict,
    Weighed,
)
from handsfree.reckoning.uncertainty import known

HEAD = f"{'key':>3} {'note':<4} {'down':>6} {'up':>6} {'frict.':>7} {'bal.':>7} {'swings':>6} {'expect':>6}  verdict"


def figures_lines(figures: Figures, width: int = 100) -> Iterator[str]:
    """The whole of one sitting."""
    yield figures.label or "Figures"
    yield _method(figures.method)
    if figures.keys:
        yield ""
        yield HEAD
        yield from (_key(k) for k in figures.keys)
        if any(k.friction for k in figures.keys):
            yield from _wrapped(known(figures).sentence, width, "")
    yield from _titled("Why", _whys(figures.keys), width)
    yield from _titled("Sections", [_section(s) for s in (*figures.sections, figures.whole) if s.keys_read], width)
    yield from _treatments(figures.treatments, width)
    yield from _titled("Evenness", [figures.evenness.sentence], width)
    yield from _titled("Repeatability", [figures.repeatability.sentence], width)
    yield from _titled("Of all 88 keys", figures.sample.sentences, width)
    yield from _titled("Measure next", [f"{note_name(k.key)}: {k.why}" for k in figures.sample.next_keys], width)
    yield from _titled("To know", figures.notes, width)


def comparison_lines(made: Comparison, width: int = 100) -> Iterator[str]:
    yield f"{made.first.label or 'first'} -> {made.second.label or 'second'} ({made.kind})"
    yield from _titled("What can be said", made.conclusions, width)
    yield ""
    yield f"{'':<10} {'keys':>4} {'first':>7} {'second':>7} {'change':>7}   interval"
    yield from (_difference(d) for d in made.whole)
    for section in made.sections:
        if any(d.keys for d in section.differences):
            yield f"  {section.name} ({note_name(section.first)} to {note_name(section.last)})"
            yield from (_difference(d) for d in section.differences if d.keys)
    if made.keys:
        yield ""
        yield "By key (* = by more than its uncertainty)"
    for k in made.keys:
        parts = [f"{c.quantity} {c.difference:+f}{'*' if c.changed else ''}" for c in k.changes]
        verdicts = f"{k.verdict_first} -> {k.verdict_second}"
        yield f"{k.key:>3} {k.note:<4} {', '.join(parts)}; {verdicts}{f' ({k.remark})' if k.remark else ''}"
    yield from _titled("To know", [*made.notes, *(n for f in (made.first, made.second) for n in _named(f))], width)


def _named(figures: Figures) -> list[str]:
    return [f"{figures.label}: {note}" for note in figures.notes]


def _method(method: Method) -> str:
    return (
        f"Weights in steps of {grams(method.weight_step)} g; hammers let fall from {grams(method.release_angle)} "
        f"degrees; a swing is {method.swing}."
    )


def _key(k: KeyFigures) -> str:
    up = "none" if k.no_return else ("" if k.up is None else grams(k.up))
    cells = (
        f"{k.key:>3} {k.note:<4} {'' if k.down is None else grams(k.down):>6} {up:>6} {_weighed(k.friction):>7} "
        f"{_weighed(k.balance):>7} {'' if k.swing is None else grams(k.swing.count):>6} "
        f"{'' if k.expected_down is None else grams(k.expected_down):>6}"
    )
    return f"{cells}  {k.verdict}"


def _weighed(weighed: Weighed | None) -> str:
    if weighed is None:
        return ""
    sign = {Bound.EXACT: "", Bound.AT_LEAST: ">=", Bound.AT_MOST: "<="}[weighed.bound]
    return f"{sign}{grams(weighed.value)}"


def _whys(keys: Sequence[KeyFigures]) -> list[str]:
    """Of fine keys the table says enough."""
    lines = []
    for k in keys:
        if k.verdict is Verdict.FINE and k.swing is None:
            continue
        line = f"{k.note}: {k.why}"
        if k.swing is not None and k.swing.mu is not None:
            line += f" {_swing(k)}"
        lines.append(line)
    return lines


def _swing(k: KeyFigures) -> str:
    swing = k.swing
    if swing is None or swing.mu is None:
        return ""
    parts = [f"flange: friction torque over weight torque {_interval(swing.mu, 3)}"]
    if swing.torque is not None and swing.torque_mnm is not None:
        both = f"{_interval(swing.torque, 0)} gf mm = {_interval(swing.torque_mnm, 2)} mN m"
        parts.append(f"torque, one pass missed or added: {both}")
    if swing.at_key is not None:
        parts.append(f"{_interval(swing.at_key, 1)} g of the key's friction")
    if swing.note:
        parts.append(swing.note)
    return f"[{'; '.join(parts)}]"


def _interval(interval: Interval, places: int) -> str:
    low = f"{interval.low:.{places}f}"
    return f"{low} or more" if interval.high is None else f"{low} to {interval.high:.{places}f}"


def _section(s: SectionFigures) -> str:
    means = [
        f"{name} {_spread(value)}"
        for name, value in (("down", s.down), ("up", s.up), ("friction", s.friction), ("balance", s.balance))
        if value is not None
    ]
    still = f" Do not return: {listed(s.no_return)}." if s.no_return else ""
    what = f"{s.name} ({note_name(s.first)} to {note_name(s.last)}): {s.verdict}. {s.why}"
    return f"{what} Means: {'; '.join(means)}.{still}" if means else f"{what}{still}"


def _spread(value: Spread) -> str:
    return f"{grams(value.mean)} g ({grams(value.low)} to {grams(value.high)})"


def _treatments(treatments: Sequence[Treatment], width: int) -> Iterator[str]:
    if not treatments:
        return
    yield ""
    yield "Treatment, most gain first"
    for n, t in enumerate(treatments, 1):
        yield f"{n}. {t.what}" + (f": {grams(t.gain)} g in all" if t.gain else "")
        hoped = [
            f"{note_name(e.key)}"
            + (
                f" {grams(e.down)} -> {grams(e.expected_down)}"
                if e.down is not None and e.expected_down is not None
                else ""
            )
            for e in t.keys
        ]
        yield from _wrapped(", ".join(hoped), width, "   ")
        for sentence in (t.why, f"Does not mend: {t.cannot}", *(f"Caution: {c}" for c in t.cautions)):
            yield from _wrapped(sentence, width, "   ")
        yield from _wrapped(f"Then measure again: {t.again}", width, "   ")


def _difference(d: PairedDifference) -> str:
    if d.mean is None or d.mean_first is None or d.mean_second is None:
        return f"{d.quantity:<10} {d.keys:>4}   {d.reason}"
    interval = "" if d.low is None or d.high is None else f"{d.low:+z.2f} to {d.high:+z.2f}"
    means = f"{d.mean_first:>7.2f} {d.mean_second:>7.2f} {d.mean:>+7.2f}"
    return f"{d.quantity:<10} {d.keys:>4} {means}   {interval} {f'({d.reason})' if d.reason else ''}".rstrip()


def _titled(title: str, lines: Sequence[str], width: int) -> Iterator[str]:
    if not lines:
        return
    yield ""
    yield title
    for line in lines:
        yield from _wrapped(line, width, "  ")


def _wrapped(text: str, width: int, indent: str) -> Iterator[str]:
    yield from wrap(text, width, initial_indent=indent, subsequent_indent=indent + "  ", break_on_hyphens=False)
