"""The live table: only what changed is touched, so a reading shows in milliseconds however long the sitting is."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rich.text import Text
from textual import events
from textual.widget import Widget
from textual.widgets import DataTable

from handsfree.nouns import Standing
from handsfree.screen.rows import Row

COLUMNS: tuple[tuple[str, str, int], ...] = (
    ("key", "key", 4),
    ("note", " note", 5),
    ("down", "down", 6),
    ("up", "up", 8),
    ("friction", "friction", 9),
    ("balance", "balance", 8),
    ("standing", " standing", 11),
)
"""Name of the row's field, heading, columns."""
SWINGS = ("swings", "swings", 8)
BEAT = ("beat", "beat s", 8)
TORQUE = ("torque", "torque mN m", 13)
_LEFT = {"note", "standing"}
LAYOUTS = ((42, "-counts"), (51, "-weights"), (59, "-swings"), (80, "-torque"))
"""Columns of text -> class of the pane, whose style gives the table that much room."""

Columns = tuple[tuple[str, str, int], ...]


def layout_of(columns: Columns) -> str:
    """The narrowest that holds them all."""
    needed = sum(wide for _, _, wide in columns)
    return next(name for room, name in LAYOUTS if needed <= room)


def columns_of(rows: Iterable[Row], *, counting: bool, wide: bool = False) -> Columns:
    """What the table shows; `counting`: in the swing pass, where empty columns of weights would only take room;
    `wide`: there is room for what is only of interest where it is known."""
    there = list(rows)
    torque = (TORQUE,) if wide and any(row.torque for row in there) else ()
    key, note, down, up, friction, balance, standing = COLUMNS
    if counting:
        weights = (down, up, friction) if any(row.down or row.up for row in there) else ()
        return (key, note, *weights, SWINGS, BEAT, *torque, standing)
    swings = (SWINGS,) if any(row.swings for row in there) else ()
    return (key, note, down, up, friction, balance, *swings, *torque, standing)


class ReadingsTable(DataTable[Text]):
    """One row a key, in the order of the compass, keyed by the key's number."""

    can_focus = False

    def __init__(self, *, id: str) -> None:
        super().__init__(id=id, cursor_type="row", cell_padding=0, zebra_stripes=False)
        self._rows: dict[int, Row] = {}
        self._columns: Columns = ()
        self._counting = False
        self._latest: int | None = None

    def show(self, rows: dict[int, Row], latest: int | None, *, counting: bool = False) -> None:
        """Takes the rows over; the row of `latest` is marked and brought into view. `counting`: see `columns_of`."""
        self._counting = counting
        self._set_columns(columns_of(rows.values(), counting=counting, wide=self.screen.has_class("-wide")))
        for gone in self._rows.keys() - rows.keys():
            self.remove_row(str(gone))
        added = False
        for key, row in rows.items():
            before = self._rows.get(key)
            if before is None:
                self.add_row(*(self._cell(row, name) for name, _, _ in self._columns), key=str(key))
                added = True
            elif before != row:
                self._update(before, row)
        self._rows = dict(rows)
        if added:
            self.sort("key", key=lambda cell: int(cell.plain))
        if latest is not None and latest in rows:
            self._latest = latest
            self.call_after_refresh(self._bring)

    def on_resize(self, _event: events.Resize) -> None:
        """The row read last stays in view when there is less room; with more, there may be columns more."""
        self.show(dict(self._rows), self._latest, counting=self._counting)

    def _bring(self) -> None:
        row_key = str(self._latest)
        if row_key in self.rows:
            self.move_cursor(row=self.get_row_index(row_key), animate=False, scroll=True)

    def _update(self, before: Row, row: Row) -> None:
        for name, _, _ in self._columns:
            if getattr(before, name) != getattr(row, name) or before.standing != row.standing:
                self.update_cell(str(row.key), name, self._cell(row, name))

    def _set_columns(self, columns: Columns) -> None:
        if columns == self._columns:
            return
        self.clear(columns=True)
        self._rows = {}
        self._columns = columns
        if isinstance(self.parent, Widget):
            for _, name in LAYOUTS:
                self.parent.set_class(name == layout_of(columns), name)
        for name, heading, wide in columns:
            label = Text(heading, justify="left" if name in _LEFT else "right")
            self.add_column(label, key=name, width=wide)

    @staticmethod
    def _cell(row: Row, name: str) -> Text:
        value: Any = getattr(row, name)
        style = "bold" if row.standing == Standing.UNSETTLED.value else ""
        if name in _LEFT:
            return Text(f" {value}", style=style, justify="left", no_wrap=True)
        return Text(str(value), style=style, justify="right", no_wrap=True)
