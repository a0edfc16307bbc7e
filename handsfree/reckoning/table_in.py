"""Readings from a table made elsewhere: paper notes typed in a spreadsheet, or our own wide export.

Columns by their headings, in any order: key or note, and any of down, up, swings, no return. Comma, semicolon or tab
between them, decimal point or comma. A row that cannot be read is left out and named; the others stand.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace

from handsfree.reckoning.cells import Unreadable, column_of, number, place, up_weight, yes
from handsfree.reckoning.readings import KeyReading

HEADING_WITHIN = 20
"""Lines in which the headings must come (titles and dates may stand above)."""

_VALUES = ("down", "up", "swings", "no_return")


@dataclass(frozen=True, slots=True)
class Table:
    """What a table held."""

    readings: tuple[KeyReading, ...]
    """One per key; where a key has several rows, the last value of each kind stands."""
    repeats: tuple[KeyReading, ...]
    """Earlier rows of keys measured more than once."""
    reasons: tuple[str, ...]
    """Everything left out, and why; empty if all was read."""


@dataclass(frozen=True, slots=True)
class _Layout:
    line: int
    """Index of the line with the headings."""
    delimiter: str
    columns: Mapping[str, int]
    width: int


def readings_from_csv(text: str) -> Table:
    """Never raises: an unreadable table is an empty one with the reason."""
    lines = text.lstrip("\ufeff").splitlines(keepends=True)
    layout = _layout(lines)
    if layout is None:
        return Table((), (), ("No headings found: the first row must name key or note, and down, up or swings.",))
    reasons: list[str] = []
    readings = list(_readings(lines, layout, reasons))
    absent = [c for c in ("down", "up", "swings") if c not in layout.columns]
    if absent:
        reasons.append(f"No column {' or '.join(absent)}: the figures that need it are missing.")
    standing, repeats = _latest(readings)
    return Table(standing, repeats, tuple(reasons))


def _layout(lines: list[str]) -> _Layout | None:
    """The first line that names a place and a value, with the delimiter that makes the most of it."""
    for n, line in enumerate(lines[:HEADING_WITHIN]):
        best: _Layout | None = None
        for delimiter in (",", ";", "\t"):
            try:
                cells = next(csv.reader([line], delimiter=delimiter), [])
            except csv.Error:
                continue
            columns: dict[str, int] = {}
            for i, cell in enumerate(cells):
                column = column_of(cell)
                if column is not None:
                    columns.setdefault(column, i)
            named = ("key" in columns or "note" in columns) and any(v in columns for v in _VALUES)
            if named and (best is None or len(columns) > len(best.columns)):
                best = _Layout(n, delimiter, columns, len(cells))
        if best is not None:
            return best
    return None


def _readings(lines: list[str], layout: _Layout, reasons: list[str]) -> Iterator[KeyReading]:
    rows = csv.reader(lines[layout.line + 1 :], delimiter=layout.delimiter)
    while True:
        try:
            row = next(rows)
        except StopIteration:
            return
        except csv.Error as error:
            reasons.append(f"Line {layout.line + 1 + rows.line_num}: {error}; the rest is not read.")
            return
        if not any(cell.strip() for cell in row):
            continue
        try:
            if any(cell.strip() for cell in row[layout.width :]):
                raise Unreadable("more cells than headings (decimal commas between commas? save it with semicolons)")
            reading = _reading(row, layout.columns)
        except Unreadable as why:
            reasons.append(f"Line {layout.line + 1 + rows.line_num}: {why}; left out.")
            continue
        if reading != KeyReading(reading.key):
            yield reading


def _reading(row: list[str], columns: Mapping[str, int]) -> KeyReading:
    def cell(column: str) -> str:
        at = columns.get(column)
        return row[at] if at is not None and at < len(row) else ""

    key = place(cell("key"), cell("note"))
    try:
        up, no_return = up_weight(cell("up"))
        no_return = no_return or yes(cell("no_return"))
        return KeyReading(key, number(cell("down")), up, no_return, number(cell("swings")))
    except Unreadable as why:
        raise Unreadable(f"key {key}: {why}") from why


def _latest(readings: list[KeyReading]) -> tuple[tuple[KeyReading, ...], tuple[KeyReading, ...]]:
    """Rows of one key complete each other; where both have a value the later one stands, the other is a repeat."""
    standing: dict[int, KeyReading] = {}
    repeats: list[KeyReading] = []
    for new in readings:
        old = standing.get(new.key)
        if old is None:
            standing[new.key] = new
            continue
        lifted = new.up is not None or new.no_return
        merged = KeyReading(
            new.key,
            old.down if new.down is None else new.down,
            new.up if lifted else old.up,
            new.no_return if lifted else old.no_return,
            old.swings if new.swings is None else new.swings,
        )
        replaced = replace(
            old,
            down=None if new.down is None else old.down,
            up=old.up if lifted else None,
            no_return=old.no_return and lifted,
            swings=None if new.swings is None else old.swings,
        )
        standing[new.key] = merged
        if any(getattr(replaced, f.name) for f in fields(replaced) if f.name != "key"):
            repeats.append(replaced)
    return tuple(standing[k] for k in sorted(standing)), tuple(repeats)
