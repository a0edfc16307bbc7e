"""The descriptor, as the reference library of the standard (frictionless) understands it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from handsfree.nouns import Circumstance, Sheet
from handsfree.reports import csv_out, datapackage
from tests.reports.made import SITTING

frictionless = pytest.importorskip("frictionless")
GOLDEN = Path(__file__).parents[1] / "golden"


@pytest.fixture
def package(tmp_path: Path) -> Path:
    """A folder with both tables and the descriptor."""
    for name in ("tidy.csv", "wide.csv", "datapackage.json"):
        shutil.copy(GOLDEN / name, tmp_path / name)
    return tmp_path


def problems(folder: Path) -> list[tuple[str, str]]:
    """(kind of error, column) of everything that the library finds wrong."""
    report = frictionless.validate(str(folder / "datapackage.json"))
    found = report.flatten(["type", "fieldName"])
    return sorted((kind, column or "") for kind, column in found)


def test_the_descriptor_byte_for_byte() -> None:
    made = datapackage.descriptor([("tidy", "tidy.csv"), ("wide", "wide.csv")], SITTING)
    assert made == (GOLDEN / "datapackage.json").read_bytes()


def test_the_package_is_valid(package: Path) -> None:
    assert problems(package) == []


def test_so_is_one_of_an_empty_sitting(package: Path) -> None:
    (package / "tidy.csv").write_bytes(csv_out.tidy(Sheet(), SITTING))
    (package / "wide.csv").write_bytes(csv_out.wide(Sheet()))
    assert problems(package) == []


def test_the_types_come_back(package: Path) -> None:
    resource = frictionless.Package(str(package / "datapackage.json")).get_resource("wide")
    second: dict[str, Any] = resource.read_rows()[1].to_dict()
    assert (second["key"], second["note"], str(second["down_g"]), second["no_return"]) == (2, "A#0", "52.50", False)
    tidy = frictionless.Package(str(package / "datapackage.json")).get_resource("tidy").read_rows()
    assert tidy[0]["at"].utcoffset().total_seconds() == 2 * 3600


def test_a_wrong_table_is_found_out(package: Path) -> None:
    """A row of nonsense: key and note off the keyboard, letters for a weight, a negative weight; and a key twice."""
    with open(package / "wide.csv", "ab") as out:
        out.write(b"89,H9,abc,-3,false,,,,,,,,,,false\r\n1,A0,50,25,false,,,,,,,,,,false\r\n")
    assert problems(package) == [
        ("constraint-error", "key"),
        ("constraint-error", "note"),
        ("constraint-error", "up_g"),
        ("primary-key", ""),
        ("type-error", "down_g"),
        ("unique-error", "key"),
    ]


def test_every_column_says_what_it_means() -> None:
    for table in json.loads((GOLDEN / "datapackage.json").read_text())["resources"]:
        for field in table["schema"]["fields"]:
            assert len(field["description"]) > 5, field["name"]


def test_grams_have_a_ucum_unit() -> None:
    """UCUM: gram is "g"; what is only counted may stand in braces, as an annotation of the unit one."""
    wide = json.loads((GOLDEN / "datapackage.json").read_text())["resources"][1]
    units = {f["name"]: f.get("unit") for f in wide["schema"]["fields"]}
    assert {name for name, unit in units.items() if unit == "g"} == {n for n in units if n.endswith("_g")}
    assert units["swings"] == "{swings}"


@pytest.mark.parametrize("text", [b"", b"[]", b"{not json", b'{"name": "another-package"}', b"\xff"])
def test_a_stranger_s_descriptor_is_known_as_one(text: bytes) -> None:
    assert not datapackage.is_ours(text)


def test_ours_is_known_as_ours() -> None:
    assert datapackage.is_ours(datapackage.descriptor([], SITTING))


def test_the_room_travels_with_the_tables() -> None:
    """Friction and swings move with it, so figures without it are half."""
    noted = {Circumstance.TEMPERATURE: "21", Circumstance.HUMIDITY: "45"}
    package = json.loads(datapackage.descriptor([], SITTING, noted=noted))
    assert package["noted"] == {"temperature": "21", "humidity": "45"}
    assert "noted" not in json.loads(datapackage.descriptor([], SITTING))
