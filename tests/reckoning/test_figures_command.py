"""`handsfree figures` as a user meets it."""

from __future__ import annotations

import argparse
import io
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from handsfree import figures_command
from handsfree.errors import BadTable, BadUsage, JournalUnreadable

BEFORE = "note;down;up;swings\nA0;61,5;20;3\nC1;58;24;4\nD#1;62;18;0\nF4;50;28;7\nC8;52;no return;\n"
AFTER = "key,down_g,up_g,no_return,swings\n1,55,25,,7\n4,52,26,false,7\n7,54,26,,6\n45,50,28,,7\n88,50,20,,9\n"

Run = Callable[..., str]


@pytest.fixture(autouse=True)
def no_settings_of_ours(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.delenv("HANDSFREE_SETTINGS", raising=False)
    monkeypatch.setenv("COLUMNS", "100")


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    def command(*args: str) -> str:
        parser = argparse.ArgumentParser()
        figures_command.add_arguments(parser)
        capsys.readouterr()
        assert figures_command.run(parser.parse_args(args)) == 0
        return capsys.readouterr().out

    return command


@pytest.fixture
def before(tmp_path: Path) -> str:
    path = tmp_path / "before.csv"
    path.write_text(BEFORE, encoding="utf-8")
    return str(path)


@pytest.fixture
def after(tmp_path: Path) -> str:
    path = tmp_path / "after.csv"
    path.write_text(AFTER, encoding="utf-8")
    return str(path)


def test_a_table_is_shown_with_all_its_parts(run: Run, before: str) -> None:
    out = run("--csv", before)
    assert "  1 A0     61.5     20   20.75   40.75      3  55.75  friction" in out.splitlines()
    assert " 88 C8       52   none    >=26    <=26                friction" in out.splitlines()
    for title in ("Why", "Sections", "Treatment, most gain first", "Evenness", "Repeatability", "Measure next"):
        assert f"\n{title}\n" in out
    assert "Caution: " in out
    # 1.96 x 0.204 g of a 1 g step (computed), and half a step
    assert "each known to ±0.4 g (95 %)" in " ".join(out.split())
    assert "friction reads 0.5 g too high" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 100


def test_json_is_one_object_with_exact_grams(run: Run, before: str) -> None:
    made: dict[str, Any] = json.loads(run("--csv", before, "--json"))
    keys = {k["note"]: k for k in made["figures"]["keys"]}
    assert keys["A0"]["down"] == "61.5"
    assert keys["A0"]["friction"]["value"] == "20.75"
    assert keys["A0"]["verdict"] == "friction"
    assert keys["A0"]["expected_down"] == "55.75"
    assert keys["A0"]["why"]
    assert keys["C8"]["friction"]["bound"] == "at least"
    assert [s["name"] for s in made["figures"]["sections"]] == ["bass", "middle", "treble"]
    assert made["figures"]["treatments"][0]["what"] == "Ease the hammer flanges"
    assert made["figures"]["evenness"]["sentence"]
    assert made["left_out"] == []


def test_against_compares_first_with_second(run: Run, before: str, after: str) -> None:
    out = run("--csv", after, "--against", before)
    assert out.splitlines()[0] == "before -> after (before and after)"
    assert "Down weight fell by" in out
    made = json.loads(run("--csv", after, "--against", before, "--json", "--instruments"))["comparison"]
    assert made["kind"] == "two instruments"
    down = made["whole"][0]
    assert (down["keys"], down["mean"]) == (5, pytest.approx(-4.5))
    assert {k["note"]: k["remark"] for k in made["keys"]}["C8"] == "did not return, now does"


def test_how_it_was_measured_can_be_said(run: Run, before: str) -> None:
    plain = json.loads(run("--csv", before, "--json"))["figures"]["keys"][0]
    asked = ("--step", "0.5", "--release", "80", "--swing", "to-and-fro", "--hammer", "10,130", "--ratio", "5")
    told = json.loads(run("--csv", before, "--json", *asked))["figures"]["keys"][0]
    assert told["friction"]["bias"] == "0.25"
    assert told["swing"]["passes"] == [6, 7]
    assert told["swing"]["mu"]["high"] < plain["swing"]["mu"]["low"]
    assert plain["swing"]["torque"] is None
    assert told["swing"]["torque_mnm"]["low"] > 0
    assert told["swing"]["at_key"]["low"] > 0


def test_thresholds_can_be_set(run: Run, before: str) -> None:
    made = json.loads(run("--csv", before, "--json", "--set", "down_acceptable=49", "--set", "up_slow=30"))
    assert made["figures"]["settings"]["down_acceptable"] == "49"
    assert {k["note"]: k["verdict"] for k in made["figures"]["keys"]}["F4"] != "fine"


def test_what_was_left_out_is_said(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "odd.csv"
    path.write_text("note,down,up\nC4,50,26\nC9,50,26\n", encoding="utf-8")
    assert "  odd.csv: Line 3: C9 is not on a keyboard of 88 keys; left out." in run("--csv", str(path)).splitlines()


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
def test_spreadsheet_encodings(run: Run, tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "sheet.csv"
    path.write_text(BEFORE, encoding=encoding)
    assert "61.5" in run("--csv", str(path))


def test_explain_needs_nothing(run: Run) -> None:
    assert "friction (D - U)/2 = 12 g" in run("--explain")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (None, "cannot read"),
        (b"\xff\xfe\x00", "not UTF-8"),
        (b"\x80\x81", "not UTF-8"),
        (b"hello", "holds no readings"),
    ],
)
def test_a_table_that_is_none_says_what_to_do(run: Run, tmp_path: Path, content: bytes | None, said: str) -> None:
    path = tmp_path / "bad.csv"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(BadTable, match=said) as error:
        run("--csv", str(path))
    assert error.value.do


@pytest.mark.parametrize(
    "wrong",
    [
        ("--set", "weight=3"),
        ("--set", "up_slow=slow"),
        ("--step", "a bit"),
        ("--hammer", "9"),
        ("--hammer", "9,130,x"),
        ("--ratio", "NaN"),
        ("--sitting", "2"),
    ],
)
def test_a_wrong_option_is_named(run: Run, before: str, wrong: tuple[str, ...]) -> None:
    with pytest.raises(BadUsage):
        run("--csv", before, *wrong)


def test_no_journal_and_no_table(run: Run) -> None:
    with pytest.raises(JournalUnreadable):
        run()
    with pytest.raises(BadUsage, match="a journal knows"):
        run("--step", "0.5")


def test_from_a_journal(run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Typed into `handsfree listen`, kept, and worked out."""
    from handsfree.cli import main

    journal = str(tmp_path / "pass.journal")

    def typed(lines: str, *more: str) -> None:
        monkeypatch.setattr(sys, "stdin", io.StringIO(lines))
        assert main(["listen", "--typed", "--plain", "--journal", journal, *more]) == 0

    typed("c four sixty two twenty\nd four fifty four twenty six\n", "--instrument", "made up")
    typed("c four fifty four twenty six\nd four fifty two twenty six\n", "--instrument", "made up", "--new-sitting")
    out = run("--journal", journal)
    assert out.startswith("made up, sitting 2\n")
    made = json.loads(run("--journal", journal, "--against", "1", "--json"))["comparison"]
    assert [k["note"] for k in made["keys"]] == ["C4", "D4"]
    assert [c["difference"] for c in made["keys"][0]["changes"]] == ["-8", "6", "-7", "-1"]
    with pytest.raises(BadUsage, match="cannot be compared with itself"):
        run("--journal", journal, "--against", "2")
    first = json.loads(run("--journal", journal, "--sitting", "1", "--json"))["figures"]
    assert first["keys"][0]["down"] == "62"
    typed("c four fifty twenty six\nd four fifty twenty six\n", "--instrument", "another")
    kinds = {
        more: run("--journal", journal, "--against", "1", *more).splitlines()[0]
        for more in ((), ("--no-instruments",), ("--sitting", "2"), ("--sitting", "2", "--instruments"))
    }
    assert [line.endswith("(two instruments)") for line in kinds.values()] == [True, False, False, True]


def test_the_arithmetic_is_loaded_only_when_asked_for() -> None:
    """`--help` of the program must stay instant."""
    code = (
        "import sys, argparse\nfrom handsfree import figures_command\n"
        "figures_command.add_arguments(argparse.ArgumentParser())\n"
        "print([m for m in sys.modules if m.startswith('handsfree.reckoning') or m in ('numpy', 'pydantic')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_room_needs_no_numerical_library() -> None:
    code = (
        "import sys\nfrom handsfree.reckoning import as_text, plain, summary, table_in, worked\n"
        "assert list(worked.worked_examples())\n"
        "print(sorted({m.split('.')[0] for m in sys.modules} & {'numpy', 'scipy', 'statsmodels', 'pydantic'}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
