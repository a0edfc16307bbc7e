"""The tables byte for byte, and what other programs make of them."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handsfree.journal.sheet import fold
from handsfree.nouns import Kept, Sheet
from handsfree.reckoning.results import Interval
from handsfree.reports import csv_out
from tests.reports.made import DOWN, SITTING, UP, made_sheet, took

GOLDEN = Path(__file__).parents[1] / "golden"


def read(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode("utf-8"), newline=""), strict=True))


def test_the_tidy_table_byte_for_byte() -> None:
    sheet, _ = made_sheet()
    assert csv_out.tidy(sheet, SITTING) == (GOLDEN / "tidy.csv").read_bytes()


def test_the_wide_table_byte_for_byte() -> None:
    sheet, _ = made_sheet()
    assert csv_out.wide(sheet, {49: Interval(0.61234, None)}) == (GOLDEN / "wide.csv").read_bytes()


@pytest.mark.parametrize("name", ["tidy.csv", "wide.csv"])
def test_rows_end_as_rfc_4180_says(name: str) -> None:
    """RFC 4180 section 2, 1 and 4: CRLF after each row, the same number of fields in each."""
    content = (GOLDEN / name).read_bytes()
    assert content.endswith(b"\r\n")
    assert content.count(b"\r\n") == content.count(b"\n") == content.count(b"\r")
    rows = list(csv.reader(io.StringIO(content.decode("utf-8"), newline=""), strict=True))
    assert len({len(row) for row in rows}) == 1


def test_quotes_and_commas_as_rfc_4180_says() -> None:
    """RFC 4180 section 2, 6 and 7: `a "q", x` stands as `"a ""q"", x"`."""
    sheet, _ = made_sheet()
    content = csv_out.tidy(sheet, replace(SITTING, instrument='a "q", x'))
    assert b'\r\n3,"a ""q"", x",2,1,A0,down,52,' in content


def test_every_value_ever_said_is_in_the_tidy_table() -> None:
    sheet, _ = made_sheet()
    rows = read(csv_out.tidy(sheet, SITTING))
    assert len(rows) == len(sheet.entries)
    assert {r["standing"] for r in rows} == {"taken", "confirmed", "corrected", "unsettled", "withdrawn"}


def test_only_what_stands_is_in_the_wide_table() -> None:
    rows = {r["key"]: r for r in read(csv_out.wide(made_sheet()[0]))}
    assert (rows["6"]["down_g"], rows["6"]["unsettled"]) == ("", "true"), "asked and not answered"
    assert rows["8"]["down_g"] == "49", "the correction, not what it replaced"
    assert "88" not in rows, "withdrawn"


def test_times_are_rfc_3339_with_offset() -> None:
    for row in read(csv_out.tidy(made_sheet()[0], SITTING)):
        assert "T" in row["at"]
        assert datetime.fromisoformat(row["at"]).utcoffset() is not None


def one_key(down: str, up: str) -> Sheet:
    facts = (took(40, DOWN, down), took(40, UP, up))
    return fold(Kept(n, SITTING.opened_at, None, "", None, fact) for n, fact in enumerate(facts, start=1))


GRAMS = st.decimals(min_value=0, max_value=500, places=2).map(str)


@settings(deadline=None)
@given(GRAMS, GRAMS)
def test_friction_and_balance_are_exact(down: str, up: str) -> None:
    """What the words mean (common practice, no source): down = balance + friction, up = balance - friction."""
    (row,) = read(csv_out.wide(one_key(down, up)))
    friction, balance = Decimal(row["friction_g"]), Decimal(row["balance_g"])
    assert (balance + friction, balance - friction) == (Decimal(down), Decimal(up))


@settings(deadline=None)
@given(GRAMS)
def test_grams_stand_as_they_were_said(grams: str) -> None:
    (row,) = read(csv_out.wide(one_key(grams, "20")))
    assert row["down_g"] == grams


def test_no_powers_of_ten() -> None:
    (row,) = read(csv_out.wide(one_key("1E+2", "20")))
    assert row["down_g"] == "100"


HOSTILE = [
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\tx",
    "\rx",
    "\nx",
    "  =1+1",
    "＝1",
    '"=1',
    "two\r\nlines, and more",
    "‮right to left",
    "x" * 10_000,
]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_stays_whole(text: str) -> None:
    rows = read(csv_out.tidy(made_sheet()[0], replace(SITTING, instrument=text)))
    assert {r["instrument"] for r in rows} == {text}


@pytest.mark.parametrize("text", HOSTILE)
def test_spreadsheet_safe_text_is_no_formula(text: str) -> None:
    rows = read(csv_out.tidy(made_sheet()[0], replace(SITTING, instrument=text), spreadsheet_safe=True))
    (safe,) = {r["instrument"] for r in rows}
    assert safe.removeprefix("'") == text
    assert not safe.lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\r", "\n", "＝"))


def test_spreadsheet_safe_leaves_harmless_tables_alone() -> None:
    sheet, _ = made_sheet()
    assert csv_out.tidy(sheet, SITTING, spreadsheet_safe=True) == csv_out.tidy(sheet, SITTING)


def test_an_empty_sitting_is_a_table_without_rows() -> None:
    assert csv_out.tidy(Sheet(), SITTING).count(b"\r\n") == 1
    assert csv_out.wide(Sheet()).count(b"\r\n") == 1
