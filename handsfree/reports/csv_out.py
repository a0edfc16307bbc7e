"""Readings as CSV, for spreadsheets and for other tools: returns bytes, writes no file.

RFC 4180: rows end in CRLF; UTF-8; a decimal point whatever the country. Numbers stand as they were said, nothing is
rounded. An empty field means: there is no value. The columns are described in datapackage.py.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal

from handsfree.nouns import Entry, Quantity, Sheet, Sitting
from handsfree.reckoning.compass import note_name
from handsfree.reckoning.results import Interval
from handsfree.reckoning.touch import statics

TIDY_COLUMNS = (
    "sitting", "instrument", "n", "key", "note", "quantity", "value", "unit", "no_return",
    "beat_s", "standing", "came_as", "replaces", "sureness", "at", "heard_n", "heard", "clip",
)  # fmt: skip
WIDE_COLUMNS = (
    "key", "note", "down_g", "up_g", "no_return", "friction_g", "balance_g", "swings", "swing_beat_s",
    "flange_torque_low_mN_m", "flange_torque_high_mN_m",
    "down_standing", "up_standing", "swings_standing", "unsettled",
)  # fmt: skip

UNITS = {Quantity.DOWN: "g", Quantity.UP: "g", Quantity.SWINGS: "{swings}"}
"""UCUM codes; braces hold what is counted without a unit."""

RUNS_AS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""How a text begins that a spreadsheet may take for a formula."""

NO_TORQUES: Mapping[int, Interval] = {}

Text = Callable[[str], str]


def tidy(sheet: Sheet, sitting: Sitting, *, spreadsheet_safe: bool = False) -> bytes:
    """One value a row, in the order in which they came; what was withdrawn or never settled too, marked so.

    `spreadsheet_safe` puts an apostrophe before text that a spreadsheet may take for a formula; such a text is then
    no longer exactly what was said.
    """
    text = harmless if spreadsheet_safe else str
    return rows_as_csv(TIDY_COLUMNS, (_tidy_row(entry, sitting, text) for entry in sheet.entries))


def wide(sheet: Sheet, torques: Mapping[int, Interval] = NO_TORQUES) -> bytes:
    """One key a row, in the order of the keyboard, with the values that stand and what follows from them.

    `torques`: key -> friction torque of its flange, mN m, where hammers were weighed.
    """
    keys = {key for key, _ in sheet.standing} | {p.key for q in sheet.questions for p in q.question.proposals}
    return rows_as_csv(WIDE_COLUMNS, (_wide_row(key, sheet, torques.get(key)) for key in sorted(keys)))


def harmless(text: str) -> str:
    """The text, made safe to open in a spreadsheet."""
    return "'" + text if text.lstrip(" ").startswith(RUNS_AS_FORMULA) else text


def decimal_text(value: Decimal | None) -> str:
    """As said, never in powers of ten; "" for none."""
    return "" if value is None else f"{value:f}"


def _tidy_row(entry: Entry, sitting: Sitting, text: Text) -> Sequence[str]:
    return (
        str(sitting.id),
        text(sitting.instrument),
        str(entry.n),
        str(entry.key),
        note_name(entry.key),
        entry.quantity.value,
        decimal_text(entry.value),
        UNITS[entry.quantity],
        _yes_no(_no_return(entry)),
        thousandths(entry.beat),
        entry.standing.value,
        entry.came_as.value,
        "" if entry.replaces is None else str(entry.replaces),
        f"{entry.sureness:.4f}",
        entry.at,
        "" if entry.heard_n is None else str(entry.heard_n),
        text(entry.heard_text),
        text(entry.clip or ""),
    )


def _wide_row(key: int, sheet: Sheet, torque: Interval | None) -> Sequence[str]:
    wanted = (Quantity.DOWN, Quantity.UP, Quantity.SWINGS)
    down, up, swings = (sheet.standing.get((key, quantity)) for quantity in wanted)
    friction, balance = _friction_and_balance(down, up)
    open_question = any(p.key == key for q in sheet.questions for p in q.question.proposals)
    return (
        str(key),
        note_name(key),
        decimal_text(down.value if down else None),
        decimal_text(up.value if up else None),
        _yes_no(_no_return(up)) if up else "",
        decimal_text(friction),
        decimal_text(balance),
        decimal_text(swings.value if swings else None),
        thousandths(swings.beat if swings else None),
        thousandths(torque.low if torque else None),
        thousandths(torque.high if torque else None),
        *(entry.standing.value if entry else "" for entry in (down, up, swings)),
        _yes_no(open_question),
    )


def thousandths(value: float | None) -> str:
    return "" if value is None else f"{value:.3f}"


def _friction_and_balance(down: Entry | None, up: Entry | None) -> tuple[Decimal | None, Decimal | None]:
    """Grams, exactly; none where a weight is missing."""
    if down is None or up is None or down.value is None or up.value is None:
        return None, None
    return statics(down.value, up.value)


def _no_return(entry: Entry | None) -> bool:
    return entry is not None and entry.quantity is Quantity.UP and entry.value is None


def _yes_no(value: bool) -> str:
    return "true" if value else "false"


def rows_as_csv(header: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """RFC 4180."""
    buffer = io.StringIO(newline="")
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows(rows)
    return buffer.getvalue().encode("utf-8")
