"""Tables from elsewhere: paper notes typed in a spreadsheet, and our own export read back."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.reckoning.compass import key_of, note_name
from handsfree.reckoning.readings import KeyReading
from handsfree.reckoning.table_in import readings_from_csv
from tests.reckoning.making import check_table, read

A, C4 = 49, 40


def test_columns_in_any_order() -> None:
    table = readings_from_csv("swings,up_g,note,down_g\n7,28,C4,52.5\n")
    assert table.readings == (read("52.5", 28, 7, C4),)
    assert table.reasons == ()


@pytest.mark.parametrize(
    "text",
    [
        "key,down_g,up_g,swings\n40,52.5,28,7\n",
        "\ufeffKey;Down (g);Up (g);Swings\r\n40;52,5;28;7\r\n",
        "NOTE\tDown\tUP weight\tswing\nC4\t52,5\t28 g\t7\n",
        'note,down,up,swings\n"C4","52,5","28","7"\n',
        "Grand in the hall,,,\n,,,\nkey,down,up,swings\n\n40,52.5,28,7\n,,,\n",
        "note;up;down;remark;swings\nc 4;28;52.5;a bit stiff;7\n",
        "key,note,down_g,up_g,swings\n40,C4,'52.5,28,7\n",
    ],
)
def test_the_same_reading_however_it_was_typed(text: str) -> None:
    table = readings_from_csv(text)
    assert table.readings == (read("52.5", 28, 7, C4),)
    assert table.reasons == ()


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("C9,50,26", "not on a keyboard"),
        ("H4,50,26", "no note"),
        (",50,26", "no key is named"),
        ("C4,fifty,26", '"fifty" is no number'),
        ("C4,-50,26", "is no number"),
        ("C4,nan,26", "is no number"),
        ("C4,5e1,26", "is no number"),
        ("C4,50,26,1", "more cells than headings"),
        ('C4,"1,234",26', "two ways"),
    ],
)
def test_a_row_that_cannot_be_read_is_named_and_the_others_stand(row: str, why: str) -> None:
    table = readings_from_csv(f"note,down,up\n{row}\nA4,51,27\n")
    assert table.readings == (read(51, 27, key=A),)
    assert len(table.reasons) == 2
    assert table.reasons[0].startswith("Line 2: ")
    assert why in table.reasons[0]
    assert "No column swings" in table.reasons[1]


def test_decimal_commas_between_commas_say_what_to_do() -> None:
    table = readings_from_csv("note,down,up,swings\nC4,52,5,28,5,7\n")
    assert table.readings == ()
    assert "semicolons" in table.reasons[0]


def test_key_and_note_must_agree() -> None:
    table = readings_from_csv("key,note,down,up,swings\n40,C4,50,26,7\n41,C4,50,26,7\nD4,,50,26,7\n")
    assert [r.key for r in table.readings] == [40, 42]
    assert "key 41 is not C4" in table.reasons[0]


@pytest.mark.parametrize("up", ["no return", "No return", "none", "NR"])
def test_no_return_in_words(up: str) -> None:
    table = readings_from_csv(f"note,down,up\nC4,50,{up}\n")
    assert table.readings == (KeyReading(C4, Decimal(50), None, True),)


def test_rows_of_one_key_complete_each_other_and_repeat() -> None:
    table = readings_from_csv("note,down,up,swings\nC4,50,,\nC4,,26,\nC4,52,,6\n")
    assert table.readings == (read(52, 26, 6, C4),)
    assert table.repeats == (read(50, None, None, C4),)


@pytest.mark.parametrize("text", ["", "\n\n", "hello", "key,colour\n1,red\n", "\x00", "down,up\n50,26\n"])
def test_what_is_no_table_gives_the_reason(text: str) -> None:
    table = readings_from_csv(text)
    assert table.readings == ()
    assert "headings" in table.reasons[0]


def test_headings_alone_are_an_empty_table() -> None:
    assert readings_from_csv("key,down_g,up_g,swings\n").readings == ()


def test_our_own_wide_export_reads_back() -> None:
    """The export room writes it, this one reads it: the values that stand, exactly."""
    from handsfree.reports.csv_out import wide
    from tests.reports.made import made_sheet

    sheet, _ = made_sheet()
    table = readings_from_csv(wide(sheet).decode("utf-8"))
    assert table.reasons == ()
    by = {r.key: r for r in table.readings}
    assert by[2].down == Decimal("52.50")
    assert str(by[2].down) == "52.50"
    assert by[3].no_return
    assert by[49].swings == Decimal("6.5")
    assert {k for k, _ in sheet.standing} == set(by)


def test_names_of_all_keys_against_the_table_outside() -> None:
    """Key numbers and names of 88 keys, from the check tables."""
    for row in check_table("keys88.csv"):
        key = int(row["key"])
        assert note_name(key) == row["sharp"]
        assert key_of(row["sharp"]) == key_of(row["flat"]) == key


@pytest.mark.parametrize(
    ("text", "key"), [("f sharp 4", 46), ("Gb4", 46), ("F♯4", 46), ("B♭3", 38), ("a0", 1), ("C8", 88), ("Cb4", 39)]
)
def test_ways_to_write_a_note(text: str, key: int) -> None:
    assert key_of(text) == key


@pytest.mark.parametrize("text", ["", "4", "C", "x4", "C##4", "C4 C5"])
def test_what_is_no_note(text: str) -> None:
    assert key_of(text) is None


@given(st.text(max_size=400))
def test_any_text_is_read_or_refused(text: str) -> None:
    table = readings_from_csv(text)
    assert table.readings or table.reasons


CELL = st.one_of(
    st.sampled_from(["", "52", "52,5", "no return", '"', "C4", "40", "\x00", ";", "'7", "99999999999"]),
    st.text(max_size=5),
)


@given(st.lists(st.lists(CELL, max_size=7), max_size=12), st.sampled_from(",;\t"))
def test_any_rows_under_good_headings_are_read_or_refused(rows: list[list[str]], delimiter: str) -> None:
    head = delimiter.join(["key", "note", "down", "up", "swings", "no return"])
    table = readings_from_csv("\n".join([head, *(delimiter.join(r) for r in rows)]))
    for reading in table.readings:
        assert 1 <= reading.key <= 88
        assert all(v is None or v.is_finite() for v in (reading.down, reading.up, reading.swings))


@given(
    st.lists(
        st.builds(
            KeyReading,
            st.integers(1, 88),
            st.integers(1, 300).map(lambda n: Decimal(n) / 2),
            st.integers(1, 300).map(lambda n: Decimal(n) / 2),
        ),
        max_size=30,
        unique_by=lambda r: r.key,
    ),
    st.sampled_from([(",", "."), (";", ","), (";", "."), ("\t", ",")]),
)
def test_what_is_written_is_read(readings: list[KeyReading], marks: tuple[str, str]) -> None:
    between, point = marks
    rows = [between.join(["note", "down_g", "up_g", "swings"])]
    for r in readings:
        rows.append(between.join([note_name(r.key), *(str(v).replace(".", point) for v in (r.down, r.up)), ""]))
    table = readings_from_csv("\r\n".join(rows))
    assert sorted(readings, key=lambda r: r.key) == list(table.readings)
    assert table.reasons == ()
