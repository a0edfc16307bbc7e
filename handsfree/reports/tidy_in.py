"""A tidy table of ours read back: bytes to rows, strictly, so that nothing is quietly misread on the way home."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal, InvalidOperation
from math import isfinite

from handsfree.errors import BadTable
from handsfree.nouns import HIGHEST_KEY, LOWEST_KEY, Quantity, Standing
from handsfree.reckoning.compass import note_name
from handsfree.reports.csv_out import TIDY_COLUMNS

REPAIR = "Export it again, and import the file as it was written."
LATER = frozenset({"beat_s"})
"""Columns that came after the first tables: where such a column is missing as a whole, nothing was known of it. All
others must be there, in the order of export."""


@dataclass(frozen=True, slots=True)
class TidyRow:
    """One value, as it stood in the table."""

    instrument: str
    n: int
    key: int
    quantity: Quantity
    value: Decimal | None
    beat: float | None
    standing: Standing
    came_as: Standing
    replaces: int | None
    sureness: float
    at: datetime
    heard_n: int | None
    heard: str


def tidy_rows(content: bytes, name: str) -> tuple[TidyRow, ...]:
    """All rows; `name` is for messages. Raises BadTable, naming the row, for what `tidy` never writes."""
    try:
        text = content.decode("utf-8-sig")
        table = csv.DictReader(io.StringIO(text, newline=""), strict=True)
        if problem := _columns_problem(table.fieldnames or ()):
            raise BadTable(f"{name} has not the columns of a tidy table: {problem}", do=REPAIR)
        rows = tuple(_row(record, f"{name}, row {number}") for number, record in enumerate(table, start=1))
    except (UnicodeDecodeError, csv.Error) as error:
        raise BadTable(f"{name} cannot be read ({error})", do=REPAIR) from error
    if not rows:
        raise BadTable(f"{name} holds no readings", do="Name a table with rows.")
    return rows


def _columns_problem(given: Sequence[str]) -> str:
    """What is wrong with the heading; "" = nothing."""
    if missing := [c for c in TIDY_COLUMNS if c not in given and c not in LATER]:
        return f"{', '.join(missing)} missing"
    if unknown := [c for c in given if c not in TIDY_COLUMNS]:
        return f"{', '.join(unknown)} unknown"
    in_order = [c for c in TIDY_COLUMNS if c in given]
    return "" if list(given) == in_order else f"they should be {', '.join(in_order)}"


def _row(record: Mapping[str | None, str | None], where: str) -> TidyRow:
    if None in record or None in record.values():
        raise BadTable(f"{where} has not as many fields as there are columns", do=REPAIR)
    given = {column: text for column, text in record.items() if column is not None and text is not None}
    field = dict.fromkeys(LATER, "") | given
    try:
        row = TidyRow(
            field["instrument"],
            int(field["n"]),
            int(field["key"]),
            Quantity(field["quantity"]),
            Decimal(field["value"]) if field["value"] else None,
            float(field["beat_s"]) if field["beat_s"] else None,
            Standing(field["standing"]),
            Standing(field["came_as"]),
            int(field["replaces"]) if field["replaces"] else None,
            float(field["sureness"]),
            datetime.fromisoformat(field["at"]),
            int(field["heard_n"]) if field["heard_n"] else None,
            field["heard"],
        )
    except (ValueError, InvalidOperation) as error:
        raise BadTable(f"{where} makes no sense ({error})", do=REPAIR) from error
    if problem := _problem(row, field):
        raise BadTable(f"{where}: {problem}", do=REPAIR)
    return row


def _problem(row: TidyRow, field: Mapping[str, str]) -> str:
    """What cannot be, although each field can; "" = nothing."""
    if not LOWEST_KEY <= row.key <= HIGHEST_KEY:
        return f"there is no key {row.key}"
    if field["note"] != note_name(row.key):
        return f"key {row.key} is {note_name(row.key)}, not {field['note']}"
    if row.value is None and (row.quantity is not Quantity.UP or field["no_return"] != "true"):
        return "no value"
    if row.value is not None and (field["no_return"] != "false" or not (row.value.is_finite() and row.value >= 0)):
        return f"{field['value']} cannot be a value"
    if row.beat is not None and not (isfinite(row.beat) and row.beat > 0):
        return f"{field['beat_s']} cannot be a beat"
    if row.at.tzinfo is None:
        return "a time without offset"
    if row.came_as is Standing.WITHDRAWN or not 0 <= row.sureness <= 1:
        return "came from nowhere"
    return ""
