"""The figures as a page: what the readings mean so far, what to treat first, how even it is, and each key's verdict.

Built on what the reckoning room works out; nothing is computed here. The reasons stand beside the verdicts, since a
verdict without its reason cannot be checked at the instrument.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from handsfree.reckoning.compass import counted, grams, listed, note_name
from handsfree.reckoning.results import (
    Bound,
    Expected,
    Figures,
    KeyFigures,
    SectionFigures,
    Spread,
    Treatment,
    Verdict,
    Weighed,
)
from handsfree.screen.styled import Line, Piece, Role, fitted, wrapped

ROLE_OF_VERDICT = {
    Verdict.FINE: Role.GOOD,
    Verdict.UNKNOWN: Role.FAINT,
    Verdict.DOUBTFUL: Role.BAD,
}
"""All others ask for something."""
_BOUNDS = {Bound.EXACT: "", Bound.AT_LEAST: "≥", Bound.AT_MOST: "≤"}
_KEY_COLUMNS = "note   down      up  frict.    bal.  expect  verdict"


def figures_lines(figures: Figures, columns: int, latest: int | None = None) -> list[Line]:
    """The whole page at a given width; the verdict on the key read last stands first."""
    if not figures.keys:
        return [
            (Piece("No figures yet", Role.STRONG),),
            *_said(("Down and up of one key are enough for a start.", *figures.notes), columns),
        ]
    return [
        *(line for key in figures.keys if key.key == latest for line in _latest(key, columns)),
        *_summary(figures.whole, columns),
        *_heading("What to treat, most gain first"),
        *_treatments(figures.treatments, columns),
        *_heading("Evenness and repeatability"),
        *_said((figures.evenness.sentence, figures.repeatability.sentence), columns),
        *_heading("Each key"),
        fitted((Piece(_KEY_COLUMNS, Role.FAINT),), columns),
        *(line for key in figures.keys for line in _key(key, columns)),
        *_heading("Sections"),
        *(line for section in figures.sections if section.keys_read for line in _section(section, columns)),
        *_heading("What the keys read say of all keys"),
        *_said(figures.sample.sentences, columns),
        *_next(figures, columns),
        *_heading("Good to know"),
        *_said(figures.notes or ("Nothing is missing.",), columns),
    ]


def _heading(text: str) -> list[Line]:
    return [(), (Piece(text, Role.STRONG),)]


def _said(sentences: Iterable[str], columns: int, indent: int = 2, role: Role = Role.PLAIN) -> list[Line]:
    return [
        (Piece(" " * indent + part, role),)
        for sentence in sentences
        if sentence
        for part in wrapped(sentence, max(columns - indent, 10))
    ]


def _role(verdict: Verdict) -> Role:
    return ROLE_OF_VERDICT.get(verdict, Role.ASK)


# ------------------------------------------------------------ the whole


def _summary(whole: SectionFigures, columns: int) -> list[Line]:
    head = (
        Piece(f"{counted(whole.keys_read, 'key')}: ", Role.STRONG),
        Piece(whole.verdict.value, _role(whole.verdict)),
    )
    return [fitted(head, columns), *_said((whole.why,), columns), *_spreads(whole, columns)]


def _spreads(section: SectionFigures, columns: int) -> list[Line]:
    named: tuple[tuple[str, Role, Spread | None], ...] = (
        ("down", Role.DOWN, section.down),
        ("up", Role.UP, section.up),
        ("friction", Role.FRICTION, section.friction),
        ("balance", Role.PLAIN, section.balance),
        ("swings", Role.PLAIN, section.swings),
    )
    return [fitted(_spread(name, role, spread), columns) for name, role, spread in named if spread is not None]


def _spread(name: str, role: Role, spread: Spread) -> Line:
    unit = "" if name == "swings" else " g"
    return (
        Piece(f"  {name:<10}", role),
        Piece(f"mean {spread.mean:5.1f}{unit}   {grams(spread.low):>5} to {grams(spread.high):>5}{unit}"),
        Piece(f"   {counted(spread.keys, 'key')}", Role.FAINT),
    )


def _section(section: SectionFigures, columns: int) -> list[Line]:
    reach = f"{note_name(section.first)}-{note_name(section.last)}"
    head = (Piece(f"  {section.name} {reach}: "), Piece(section.verdict.value, _role(section.verdict)))
    return [fitted(head, columns), *_said((section.why,), columns, indent=4, role=Role.FAINT)]


# ------------------------------------------------------------ what to do


def _treatments(treatments: Sequence[Treatment], columns: int) -> list[Line]:
    if not treatments:
        return _said(("Nothing so far.",), columns)
    return [line for n, one in enumerate(treatments, start=1) for line in _treatment(n, one, columns)]


def _treatment(n: int, one: Treatment, columns: int) -> list[Line]:
    gain = f"   {grams(one.gain)} g off in all" if one.gain else ""
    head = (Piece(f"  {n}. {one.what}", Role.STRONG), Piece(gain, Role.GOOD))
    keys = "; ".join(_expected(e) for e in one.keys)
    lines = [fitted(head, columns), *_said((keys, one.why), columns, indent=5)]
    if one.cannot:
        lines += _said((f"Does not mend: {one.cannot}",), columns, indent=5, role=Role.FAINT)
    lines += _said((f"! {caution}" for caution in one.cautions), columns, indent=5, role=Role.UP)
    return lines + _said((f"Measure again: {one.again}" if one.again else "",), columns, indent=5, role=Role.FAINT)


def _expected(one: Expected) -> str:
    if one.down is None or one.expected_down is None:
        return note_name(one.key)
    return f"{note_name(one.key)} {grams(one.down)} to {grams(one.expected_down)}"


def _next(figures: Figures, columns: int) -> list[Line]:
    keys = [n.key for n in figures.sample.next_keys]
    return _said((f"Measure next: {listed(keys)}." if keys else "",), columns)


# ------------------------------------------------------------ key by key


def _latest(key: KeyFigures, columns: int) -> list[Line]:
    head = (Piece(f"{key.note}: ", Role.STRONG), Piece(key.verdict.value, _role(key.verdict)))
    return [fitted(head, columns), *_said((key.why,), columns), ()]


def _key(key: KeyFigures, columns: int) -> list[Line]:
    up = "no ret." if key.no_return else "" if key.up is None else grams(key.up)
    cells = (
        Piece(f"{key.note:<4}", Role.STRONG),
        Piece(f"{'' if key.down is None else grams(key.down):>7}"),
        Piece(f"{up:>8}"),
        Piece(f"{_weighed(key.friction):>8}"),
        Piece(f"{_weighed(key.balance):>8}"),
        Piece(f"{'' if key.expected_down is None else grams(key.expected_down):>8}"),
        Piece(f"  {key.verdict.value}", _role(key.verdict)),
    )
    return [fitted(cells, columns), *_said((key.why,), columns, indent=4, role=Role.FAINT)]


def _weighed(weighed: Weighed | None) -> str:
    return "" if weighed is None else f"{_BOUNDS[weighed.bound]}{grams(weighed.value)}"
