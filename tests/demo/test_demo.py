"""The demo is a test too: the recording through the shipped path must give the table that lies beside it."""

from __future__ import annotations

import csv
import json
import tomllib
from pathlib import Path

import pytest

from handsfree.cli import main

DEMO = Path(__file__).parents[2] / "demo"


def test_the_table_that_must_come_out_byte_for_byte(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = tmp_path / "wide.csv"
    assert main(["demo", "--plain", "--wide", str(made)]) == 0
    assert made.read_bytes() == (DEMO / "wide.csv").read_bytes()


def test_every_line_of_the_script_is_heard_as_it_was_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What is talk in the script ("" as its text) may be heard as other talk only."""
    journal = tmp_path / "demo.journal"
    arguments = ["listen", "--from", str(DEMO / "recording.flac"), "--plain", "--journal", str(journal)]
    assert main([*arguments, "--plan", "octave four"]) == 0
    turns = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    heard = [t["heard"] for t in turns if t["heard"].replace("[unk]", "").strip()]
    script = tomllib.loads((DEMO / "script.toml").read_text(encoding="utf-8"))
    assert heard == [line["text"] for line in script["line"] if line["text"]]
    outcomes = {t["outcome"] for t in turns}
    assert {"taken", "asked", "confirmed", "corrected", "withdrawn", "ignored"} <= outcomes


def test_what_was_withdrawn_is_still_in_the_tidy_table(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    tidy = tmp_path / "tidy.csv"
    assert main(["demo", "--plain", "--tidy", str(tidy)]) == 0
    rows = list(csv.DictReader(tidy.read_text(encoding="utf-8").splitlines()))
    withdrawn = {(r["note"], r["quantity"], r["value"]) for r in rows if r["standing"] == "withdrawn"}
    assert {("E4", "up", "29"), ("G#4", "down", "59"), ("G#4", "up", "20")} <= withdrawn
