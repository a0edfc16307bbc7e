"""A whole walkthrough driven by a recording, through the command line, down to journal, report and table.

The recording is a synthetic voice (public domain) reading tests/golden/walkthrough.toml: an invented instrument. What
the model hears of it is measured, not arranged: whatever it is not sure of must be asked about, and nothing may stand
that was not said.
"""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from handsfree.cli import main
from handsfree.journal.clips import read_clip
from handsfree.journal.reader import JournalReader
from handsfree.journal.walk import walk_fold
from handsfree.nouns import Circumstance, Context, Finding, Walk
from handsfree.words.grammar import understand

GOLDEN = Path(__file__).parents[1] / "golden"
SCRIPT = tomllib.loads((GOLDEN / "walkthrough.toml").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def journal(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Kept with keep_clips off: only remarks leave sound."""
    folder = tmp_path_factory.mktemp("walk")
    (folder / "settings.toml").write_text("keep_clips = false\n", encoding="utf-8")
    return folder / "walk.journal"


@pytest.fixture(scope="module")
def lines(journal: Path) -> list[dict[str, Any]]:
    """The outcome lines."""
    import contextlib
    import io

    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        assert main(["listen", "--pass", "walkthrough", "--plain", "--from", str(GOLDEN / "walkthrough.flac"),
                     "--journal", str(journal), "--instrument", SCRIPT["instrument"], "--started", SCRIPT["started"],
                     "--settings", str(journal.parent / "settings.toml")]) == 0  # fmt: skip
    return [json.loads(line) for line in out.getvalue().splitlines()]


def walk_in(journal: Path) -> Walk:
    with JournalReader.read(journal) as reader:
        return walk_fold(reader.facts())


def said_findings() -> list[Finding]:
    """What the script's lines mean by themselves."""
    meant = (understand(line["text"], Context.WALKTHROUGH) for line in SCRIPT["line"] if line["text"])
    return [said for said in meant if isinstance(said, Finding) and said.part]


def test_most_of_it_is_heard_or_asked_about(lines: list[dict[str, Any]]) -> None:
    named = {(one.get("part"), one.get("finding"), one.get("place"), one.get("grade")) for one in lines}
    wanted = said_findings()
    heard = [f for f in wanted if (f.part, f.finding, f.place, f.grade) in named]
    assert len(heard) >= 0.6 * len(wanted), f"heard {len(heard)} of {len(wanted)}"


def test_nothing_stands_that_was_not_said(lines: list[dict[str, Any]], journal: Path) -> None:
    assert lines
    said = said_findings()
    spoken = {(f.finding, f.place) for f in said} | {("cracked", "treble side"), ("cracked", ""), ("good", "")}
    for item in walk_in(journal).stands:
        assert (item.finding.finding, item.finding.place) in spoken, item
        assert item.sureness >= 0.9


def test_talk_is_no_finding(lines: list[dict[str, Any]]) -> None:
    talk = [one for one in lines if "11:00:34" < one["at"][11:19] < "11:00:38"]
    assert talk
    assert all(one["outcome"] in ("ignored", "asked") for one in talk)


def test_the_remark_is_kept_as_sound_and_nothing_else_is(lines: list[dict[str, Any]], journal: Path) -> None:
    (remark,) = walk_in(journal).remarks
    assert remark.clip is not None
    assert [p.name for p in (journal.parent / "walk.journal.clips").iterdir()] == [remark.clip]
    pcm, rate = read_clip(journal.parent / "walk.journal.clips" / remark.clip)
    assert 4 < len(pcm) / 2 / rate < 9  # the line takes about 4.5 s, the pause that ends it two


def test_climate_is_noted(lines: list[dict[str, Any]], journal: Path) -> None:
    assert walk_in(journal).noted.get(Circumstance.HUMIDITY) == "45"


def test_the_answer_comes_in_time(lines: list[dict[str, Any]]) -> None:
    assert max(one["ms"] for one in lines) < 1500


def test_report_and_table(lines: list[dict[str, Any]], journal: Path, tmp_path: Path) -> None:
    (remark,) = walk_in(journal).remarks
    page, table = tmp_path / "r.html", tmp_path / "w.csv"
    assert main(["report", "--journal", str(journal), "--out", str(page), "--clip", str(remark.n)]) == 0
    assert main(["export", "--journal", str(journal), "--walkthrough", str(table)]) == 0
    text = page.read_text(encoding="utf-8")
    assert "Not looked at." in text
    assert len(re.findall(r"<audio", text)) == 1
    assert main(["verify", "--journal", str(journal), str(page)]) == 0
    rows = table.read_text(encoding="utf-8").splitlines()
    assert sum(",remark," in row for row in rows) == 1
    assert sum(",not looked at," in row for row in rows) >= 60
