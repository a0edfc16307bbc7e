"""The tables in a spreadsheet that knows nothing of us: numbers are numbers, text is text, nothing runs."""

from __future__ import annotations

import csv
import io
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from handsfree.reports import csv_out
from tests.reports.made import SITTING, made_sheet

OFFICE = shutil.which("soffice") or shutil.which("libreoffice")
pytestmark = pytest.mark.skipif(OFFICE is None, reason="no LibreOffice here: no spreadsheet opens the tables")

OPENED_AS = "CSV:44,34,76,1,,0,false,true,false,false,false,-1"
"""Comma, double quote, UTF-8, from line 1, numbers recognised as in any cell: tokens of its CSV filter."""


def converted(folder: Path, content: bytes, to: str) -> Path:
    """The table opened and saved again as something else."""
    assert OFFICE is not None
    table = folder / "table.csv"
    table.write_bytes(content)
    apart = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    command = [OFFICE, apart, "--headless", "--infilter=" + OPENED_AS, "--convert-to", to, "--outdir", str(folder),
               str(table)]  # fmt: skip
    subprocess.run(command, capture_output=True, timeout=300, check=True)
    return folder / f"table.{to.partition(':')[0]}"


def cells(folder: Path, content: bytes) -> list[list[tuple[str, str]]]:
    """(type, text) of each cell, from the flat XML of an OpenDocument spreadsheet."""
    from xml.etree import ElementTree

    space = "{urn:oasis:names:tc:opendocument:xmlns:"
    rows = []
    for row in ElementTree.parse(converted(folder, content, "fods")).iter(f"{space}table:1.0}}table-row"):
        line: list[tuple[str, str]] = []
        for cell in row.iter(f"{space}table:1.0}}table-cell"):
            assert not cell.get(f"{space}table:1.0}}formula"), "a formula was made of it"
            kind = cell.get(f"{space}office:1.0}}value-type", "")
            value = cell.get(f"{space}office:1.0}}value") or "\n".join(
                "".join(p.itertext()) for p in cell.iter(f"{space}text:1.0}}p")
            )
            repeated = int(cell.get(f"{space}table:1.0}}number-columns-repeated", "1"))
            line += [(kind, value)] * min(repeated, 40)
        if any(kind for kind, _ in line):
            rows.append(line)
    return rows


def test_the_wide_table_opens_with_the_right_types(tmp_path: Path) -> None:
    sheet, _ = made_sheet()
    content = csv_out.wide(sheet)
    expected = list(csv.reader(io.StringIO(content.decode(), newline="")))
    head, *rows = cells(tmp_path, content)
    assert [text for _, text in head][: len(expected[0])] == expected[0]
    assert len(rows) == len(expected) - 1
    for row, said in zip(rows, expected[1:], strict=True):
        for (kind, value), name, text in zip(row, expected[0], said, strict=False):
            if not text:
                assert kind == ""
            elif name == "key" or name.endswith(("_g", "swings")):
                assert kind == "float", name
                assert float(value) == float(text)
            elif name == "note":
                assert (kind, value) == ("string", text)


HOSTILE = ('=HYPERLINK("x")', "+1+1", "@SUM(A1)", "two\r\nlines", 'a "quoted", name', "\u05e9\u05dc\u05d5\u05dd")


def test_hostile_words_stay_text(tmp_path: Path) -> None:
    """As exported for spreadsheets."""
    sheet, _ = made_sheet()
    entries = tuple(replace(e, heard_text=text) for e, text in zip(sheet.entries, HOSTILE, strict=False))
    content = csv_out.tidy(replace(sheet, entries=entries), SITTING, spreadsheet_safe=True)
    column = csv_out.TIDY_COLUMNS.index("heard")
    _, *rows = cells(tmp_path, content)
    assert len(rows) == len(HOSTILE)
    for row, text in zip(rows, HOSTILE, strict=True):
        kind, shown = row[column]
        assert kind == "string"
        assert shown.lstrip("'") == text.replace("\r\n", "\n")


def test_it_becomes_a_workbook(tmp_path: Path) -> None:
    """XLSX is a ZIP archive (ISO/IEC 29500): no own writer is needed for it."""
    sheet, _ = made_sheet()
    assert converted(tmp_path, csv_out.wide(sheet), "xlsx").read_bytes().startswith(b"PK")
