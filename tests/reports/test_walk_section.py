"""The walkthrough in report and table: nothing passes for good that was not looked at, nothing typed does harm."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import frictionless
import html5lib
import pytest

from handsfree.nouns import Circumstance, Finding, Item, Remark, Sitting, Standing, Walk
from handsfree.reports.datapackage import descriptor
from handsfree.reports.walk_csv import WALK_COLUMNS, not_looked_at, walkthrough
from handsfree.reports.walk_section import Picture, walk_section
from handsfree.words import parts

AT = "2031-03-14T11:00:00.000+00:00"
SITTING = Sitting(1, "Fernhall grand", AT, "", "")
HOSTILE = ["<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "</section></main>", "&lt;b&gt;", "=1+1",
           "@SUM(A1)", "a\x00b\u202ec", "' onmouseover='x"]  # fmt: skip


def item(n: int, part: str, finding: str, grade: int | None, standing: Standing = Standing.TAKEN) -> Item:
    said = f"{part} {finding}"
    return Item(n, Finding(part, finding, "bass", grade), standing, 0.95, said, AT, None, heard_n=100 + n)


WALK = Walk(
    items=(
        item(1, "hammers", "grooved", 3),
        item(2, "lid", "cracked", 4, Standing.CORRECTED),
        item(3, "dampers", "good", 1, Standing.UNSETTLED),
        item(4, "keys", "loose", 3, Standing.WITHDRAWN),
        item(5, "soundboard", "not looked at", 0),
        item(6, "strings", "missing", None),
    ),
    remarks=(
        Remark(7, "lid", 2, AT, "000007.flac"),
        Remark(8, "", None, AT, None, "said by hand", "keyboard"),
        Remark(9, "lid", 2, AT, "000009.flac", "crick along lid", "machine"),
        Remark(10, "lid", 2, AT, None, "gone", "keyboard", withdrawn=True),
    ),
    noted={Circumstance.KIND: "grand", Circumstance.HUMIDITY: "30", Circumstance.TEMPERATURE: "20"},
)  # fmt: skip


def words(walk: Walk, **more: object) -> str:
    return re.sub(r"<[^>]*>", " ", walk_section(walk, **more))  # type: ignore[arg-type]


def test_what_was_not_looked_at_is_listed_and_never_good() -> None:
    page = words(WALK)
    missing = page[page.index("Not looked at.") : page.index("Remarks")]
    for part in ("soundboard", "dampers", "keys", "wrest plank"):  # said so, unsettled, withdrawn, never mentioned
        assert re.search(rf"\b{part}\b", missing), part
    for part in ("hammers", "lid prop, strings"):
        assert not re.search(rf"[:,] {part}[,\s]", missing), part
    assert "3 of 65 parts were looked at" in page
    assert "bridle straps" not in missing  # a grand has none
    names = {p.name for p in not_looked_at(WALK)}
    assert {"hammers", "lid", "strings"}.isdisjoint(names)
    assert names | {"hammers", "lid", "strings"} == set(parts.route("grand"))


def test_grades_in_words_and_the_worst_first() -> None:
    page = words(WALK)
    assert "3 worn" in page
    assert "not graded" in page
    assert page.index("Failing or unsafe.") < page.index("Findings, in the order")
    assert "lid, cracked, bass: 4 failing" in page
    assert "Asked about, not answered." in page
    assert "keys loose" not in page


def test_an_instrument_nobody_walked_round() -> None:
    page = words(Walk())
    assert "not walked round" in page
    assert "wrest plank" in page
    assert " good" not in page


def test_remarks_say_who_wrote_them() -> None:
    page = words(WALK)
    assert "spoken): not written down" in page
    assert "written down by a machine, not checked" in page
    assert "the instrument" in page
    assert "gone" not in page
    assert walk_section(WALK, sounds={7: b"fLaC"}).count("<audio") == 1


def test_climate_is_worked_out_and_warned_of() -> None:
    page = words(WALK)
    assert "Dry: wood shrinks" in page
    assert "6.2 per cent moisture" in page  # 6.19 % at 20 degrees and 30 %, see tests/reckoning/test_climate.py
    assert "Dew point 1.9 degrees" in page  # Magnus, 20 degrees and 30 %: 1.88, worked out by hand


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_remarks_stay_harmless(text: str) -> None:
    walk = replace(
        WALK,
        items=(replace(WALK.items[0], heard_text=text, finding=Finding(text, text, text, 3)),),
        remarks=(Remark(7, text, None, AT, None, text, "keyboard"),),
        noted={Circumstance.PLACE: text, Circumstance.HISTORY: text},
    )
    page = walk_section(walk, (Picture(text, AT, text, None, b"x"),))
    parser = html5lib.HTMLParser(strict=False, namespaceHTMLElements=False)
    tree = parser.parse(f"<!DOCTYPE html><html><head><title>t</title></head><body><main>{page}</main></body></html>")
    names = {element.tag for element in tree.iter() if isinstance(element.tag, str)}
    assert "script" not in names
    assert not [a for e in tree.iter() for a in e.attrib if a.startswith("on")]
    assert len(tree.findall(".//img")) == 1
    rows = list(csv.reader(io.StringIO(walkthrough(walk, SITTING, spreadsheet_safe=True).decode(), newline="")))
    assert all(len(row) == len(WALK_COLUMNS) for row in rows)
    if text.startswith(("=", "@")):
        assert all(not cell.startswith(("=", "@")) for row in rows for cell in (row[13], row[14]))
    plain = list(csv.DictReader(io.StringIO(walkthrough(walk, SITTING).decode(), newline="")))
    assert [row["text"] for row in plain if row["record"] == "remark"] == [text]


def test_the_table_keeps_all_and_is_valid(tmp_path: Path) -> None:
    content = walkthrough(WALK, SITTING)
    rows = list(csv.DictReader(io.StringIO(content.decode(), newline="")))
    findings = [r for r in rows if r["record"] == "finding"]
    assert [r["standing"] for r in findings] == ["taken", "corrected", "unsettled", "withdrawn", "taken", "taken"]
    assert [r["grade"] for r in findings] == ["3", "4", "1", "3", "0", ""]
    missing = {r["part"]: r["grade"] for r in rows if r["record"] == "not looked at"}
    assert set(missing.values()) == {"0"}
    assert {"dampers", "keys"} <= set(missing)
    assert "soundboard" not in missing  # it has a row of its own, with the words
    assert [r["text_by"] for r in rows if r["record"] == "remark"] == ["", "keyboard", "machine"]
    (tmp_path / "w.csv").write_bytes(content)
    (tmp_path / "datapackage.json").write_bytes(descriptor([("walkthrough", "w.csv")], SITTING))
    # Frictionless, the reference implementation of Table Schema
    report = frictionless.Package(str(tmp_path / "datapackage.json")).validate()
    assert report.valid, report.flatten(["rowNumber", "fieldName", "note"])
    assert json.loads((tmp_path / "datapackage.json").read_bytes())["resources"][0]["name"] == "walkthrough"


def test_the_sound_of_a_chosen_finding_stands_with_it() -> None:
    page = walk_section(WALK, sounds={2: b"fLaC"})
    assert page.count("<audio") == 1
    assert re.search(r"lid cracked</bdi>\u201d, a correction, sureness 0.95<audio", page)


def test_a_typed_finding_is_not_passed_off_as_heard() -> None:
    number = WALK.stands[0].heard_n
    assert "sureness" in words(WALK)
    assert words(WALK, typed=frozenset({number})).count(", typed") == words(WALK).count(", typed") + 1
