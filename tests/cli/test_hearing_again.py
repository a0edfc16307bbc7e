"""`verify --listen`: recordings that were exchanged or lost are found out; another model is told from tampering."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from handsfree.cli import main
from handsfree.hearing import hearing
from handsfree.hearing_again import sound_verdict
from handsfree.journal.reader import JournalReader
from handsfree.settings import Settings


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the demo's journal and a report from it."""
    folder = tmp_path_factory.mktemp("demo")
    assert main(["demo", "--plain", "--journal", str(folder / "j")]) == 0
    assert main(["report", "--journal", str(folder / "j"), "--out", str(folder / "page.html")]) == 0
    return folder


@pytest.fixture
def kept(demo: Path, tmp_path: Path) -> Path:
    shutil.copytree(demo, tmp_path, dirs_exist_ok=True)
    return tmp_path


def verify(folder: Path) -> int:
    return main(["verify", str(folder / "page.html"), "--journal", str(folder / "j"), "--listen"])


def test_the_same_words_again(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert verify(kept) == 0
    assert "sitting 1, the sound: 19 of 19 recordings say the same\n" in capsys.readouterr().out


def test_an_exchanged_and_a_lost_recording_are_found_out(kept: Path, capsys: pytest.CaptureFixture[str]) -> None:
    clips = kept / "j.clips"
    shutil.copyfile(clips / "000002.flac", clips / "000001.flac")
    (clips / "000003.flac").unlink()
    (clips / "000004.flac").write_bytes(b"no sound")
    assert verify(kept) == 1
    line = capsys.readouterr().out.splitlines()[-1]
    assert "16 of 19 recordings say the same; 000001.flac says “fifty three twenty six”, the journal “c four" in line
    assert "000003.flac cannot be read; 000004.flac cannot be read" in line


def test_another_model_may_hear_otherwise(kept: Path) -> None:
    shutil.copyfile(kept / "j.clips" / "000002.flac", kept / "j.clips" / "000001.flac")
    with hearing(Settings()) as ears, JournalReader.read(kept / "j") as journal:
        verdict = sound_verdict(journal, journal.sittings()[0], replace(ears, name="another 2.0"))
    assert verdict.agrees
    assert "18 of 19 recordings say the same by another 2.0, which did not hear them then" in verdict.line
