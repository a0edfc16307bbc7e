"""A tidy table read back gives the same table again, or a clear reason why not."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from handsfree.cli import main
from handsfree.errors import BadTable
from handsfree.import_command import _keep, _RowClock
from handsfree.journal.memory import MemoryJournal
from handsfree.journal.sheet import fold
from handsfree.nouns import Sitting
from handsfree.reports.csv_out import tidy
from handsfree.reports.tidy_in import tidy_rows
from handsfree.session import Session
from handsfree.words.plans import plan_named

GOLDEN = Path(__file__).parents[1] / "golden" / "tidy.csv"
GIVEN_ANEW = {"sitting", "n", "replaces", "heard_n", "clip"}
SITTING = Sitting(1, "made up", "2031-05-06T09:00:00+00:00", "", "")


def values(table: bytes) -> list[dict[str, str]]:
    """What must survive, and which row each one replaced."""
    rows = list(csv.DictReader(io.StringIO(table.decode(), newline="")))
    place = {(row["n"], row["quantity"]): i for i, row in enumerate(rows)}
    return [
        {k: v for k, v in row.items() if k not in GIVEN_ANEW}
        | {"replaced row": str(place.get((row["replaces"], row["quantity"]), ""))}
        for row in rows
    ]


def test_export_import_export(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    journal, again = str(tmp_path / "j"), tmp_path / "again.csv"
    (tmp_path / "tidy.csv").write_bytes(GOLDEN.read_bytes())
    (tmp_path / "datapackage.json").write_bytes(GOLDEN.with_name("datapackage.json").read_bytes())
    assert main(["import", "--tidy", str(tmp_path / "tidy.csv"), "--journal", journal]) == 0
    assert main(["export", "--journal", journal, "--tidy", str(again)]) == 0
    assert values(again.read_bytes()) == values(GOLDEN.read_bytes())
    assert b'"weight_step_g": "0.5"' in (tmp_path / "datapackage.json").read_bytes(), "how it was measured too"
    assert capsys.readouterr().err == ""


def test_a_table_from_before_the_beat_was_kept() -> None:
    """Version 0.1 began without that column; all else is the same."""
    rows = list(csv.DictReader(io.StringIO(GOLDEN.read_text(encoding="utf-8"), newline="")))
    columns = [c for c in rows[0] if c != "beat_s"]
    older = io.StringIO(newline="")
    writer = csv.DictWriter(older, columns, extrasaction="ignore")
    writer.writeheader()
    writer.writerows(rows)
    read = tidy_rows(older.getvalue().encode(), "older")
    assert read == tuple(replace(row, beat=None) for row in tidy_rows(GOLDEN.read_bytes(), "golden"))


SENTENCES = st.sampled_from(
    [
        "fifty twenty eight",
        "fifty two and a half twenty seven",
        "fifty",
        "up twenty six",
        "fifteen",
        "ninety one twenty eight",
        "fifty eight no return",
        "yes",
        "negative",
        "disregard",
        "correction forty nine twenty",
        "correction up twenty two",
        "next",
        "back",
        "a zero",
        "key two fifty five twenty five",
        "same",
        "stand by",
        "go ahead",
        "read back",
        "c four sixty one thirty",
        "nice weather",
    ]
)


@settings(max_examples=50, deadline=None)
@example(["fifty", "fifty twenty eight", "disregard", "disregard"])
@example(["fifteen", "up twenty six"])
@example(["fifteen", "up twenty six", "fifty"])
@given(st.lists(SENTENCES, max_size=25))
def test_whatever_happened_in_a_pass_comes_back(sentences: list[str]) -> None:
    journal = MemoryJournal()
    session = Session(journal)
    plan = plan_named("every")
    assert plan
    session.set_plan(plan)
    for sentence in sentences:
        session.typed(sentence)
    if not session.sheet.entries:
        return
    table = tidy(session.sheet, SITTING)
    rows = tidy_rows(table, "table")
    again = MemoryJournal()
    _keep(rows, again, _RowClock(rows[0].at), "table")
    sheet = fold(again.facts())
    assert values(tidy(sheet, SITTING)) == values(table)
    assert {p: e.value for p, e in sheet.standing.items()} == {p: e.value for p, e in session.sheet.standing.items()}


def golden_with(old: bytes, new: bytes) -> bytes:
    content = GOLDEN.read_bytes()
    assert old in content
    return content.replace(old, new, 1)


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"", "has not the columns"),
        (b"key,note,down_g\r\n1,A0,50\r\n", "has not the columns"),
        (GOLDEN.read_bytes().splitlines(keepends=True)[0], "holds no readings"),
        (b"\xff\xfe", "cannot be read"),
        (GOLDEN.read_bytes().replace(b",", b";"), "has not the columns .* missing"),
        (golden_with(b"sureness,at", b"at,sureness"), "has not the columns .* they should be sitting, instrument"),
        (golden_with(b",clip\r", b",clip,mood\r"), "has not the columns .*mood unknown"),
        (golden_with(b",came_as", b""), "has not the columns .*came_as missing"),
        (golden_with(b",52,g", b',"52,0",g'), r"row 1 makes no sense"),
        (golden_with(b",52,g", b",52,0,g"), r"row 1 has not as many fields as"),
        (golden_with(b",52,g", b",-52,g"), r"row 1: -52 cannot be a value"),
        (golden_with(b",52,g", b",NaN,g"), r"row 1: NaN cannot be a value"),
        (golden_with(b",52,g", b",,g"), r"row 1: no value"),
        (golden_with(b",1,A0,down", b",1,B0,down"), r"row 1: key 1 is A0, not B0"),
        (golden_with(b",1,A0,down", b",89,A0,down"), r"row 1: there is no key 89"),
        (golden_with(b"taken,taken", b"taken,guessed"), r"row 1 makes no sense"),
        (golden_with(b"2031-05-06T09:01:30.000+02:00", b"2031-05-06T09:01:30"), r"row 1: a time without offset"),
        (golden_with(b"2031-05-06T09:01:30.000+02:00", b"06.05.2031 09:01"), r"row 1 makes no sense"),
    ],
)
def test_a_table_that_is_not_as_we_write_it_is_refused(content: bytes, message: str) -> None:
    with pytest.raises(BadTable, match=message):
        tidy_rows(content, "table")


def test_a_table_that_contradicts_itself_leaves_no_trace(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Two values stand for one place: no pass ends so."""
    table = tmp_path / "t.csv"
    table.write_bytes(
        golden_with(b"withdrawn,taken,,0.9877,2031-05-06T09:07", b"taken,taken,,0.9877,2031-05-06T09:07")
    )
    assert main(["import", "--tidy", str(table), "--journal", str(tmp_path / "j")]) == 6
    assert "contradicts itself" in capsys.readouterr().err
    assert not (tmp_path / "j").exists()


def test_a_table_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import", "--tidy", str(tmp_path / "no.csv"), "--journal", str(tmp_path / "j")]) == 5
    assert "cannot read" in capsys.readouterr().err


def test_how_it_was_measured_travels_and_where_it_came_from_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Hammers typed in the walkthrough reach the tables, and come back with them: the torque is the same again."""
    first, second = str(tmp_path / "first.journal"), str(tmp_path / "second.journal")
    monkeypatch.setenv("HANDSFREE_SETTINGS", "")
    monkeypatch.setattr("sys.stdin", io.StringIO("hammer weights 10 g 130 mm\naction ratio 5\n"))
    assert main(["listen", "--typed", "--plain", "--journal", first, "--pass", "walkthrough"]) == 0
    monkeypatch.setattr("sys.stdin", io.StringIO("c four seven\n"))
    assert main(["listen", "--typed", "--plain", "--journal", first, "--pass", "swings"]) == 0
    wide = []
    for journal in (first, second):
        folder = tmp_path / Path(journal).stem
        folder.mkdir()
        tables = ["--tidy", str(folder / "t.csv"), "--wide", str(folder / "w.csv")]
        assert main(["export", "--journal", journal, *tables]) == 0
        wide.append((folder / "w.csv").read_text())
        assert '"hammer_weights": "10 g 130 mm"' in (folder / "datapackage.json").read_text()
        if journal is first:
            assert main(["import", "--tidy", str(folder / "t.csv"), "--journal", second]) == 0
    assert wide[0] == wide[1]
    # 0.076083 and 0.113993 of 1300 gf mm (computed: energy relation and SciPy solve_ivp agree)
    assert ",7,,0.970,1.453," in wide[0]
    out = tmp_path / "report.html"
    assert main(["report", "--journal", second, "--out", str(out)]) == 0
    assert "The readings came from a table" in out.read_text()
