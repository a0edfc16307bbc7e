"""A reading can be heard again."""

from __future__ import annotations

from pathlib import Path

import pytest

from handsfree.cli import main
from handsfree.journal.clips import read_clip
from handsfree.journal.store import Journal
from handsfree.nouns import Context, Finding, FindingTook, Quantity, RemarkKept, Standing
from handsfree.voice.playing import Loudspeaker, NoLoudspeaker
from handsfree.voice.sound import Sound
from tests.journal.made import heard, took


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    path = tmp_path / "made-up.journal"
    with Journal.open(path, "Made-up grand") as writer:
        writer.append(heard("c four 52 28", 0.2), [took(40, "52"), took(40, "28", Quantity.UP)])
        writer.append(heard("d four 53", 0.3), [took(42, "53")])
        writer.append(heard("c four 54", 0.4), [took(40, "54", replaces=1)])
        writer.append(heard("e four 50"), [took(44, "50")])
        finding = FindingTook(Finding("hammers", "grooved", "", 3), Standing.TAKEN, 0.97)
        writer.append(heard("hammers grooved three", 0.5, Context.WALKTHROUGH), [finding])
        writer.append(heard("[unk]", 0.6, Context.REMARK), [RemarkKept("hammers", 6)])
    return path


@pytest.fixture
def played(monkeypatch: pytest.MonkeyPatch) -> list[Sound]:
    sounds: list[Sound] = []
    monkeypatch.setattr(Loudspeaker, "play", lambda self, sound: sounds.append(sound))
    return sounds


@pytest.mark.parametrize(
    ("what", "clips", "told"),
    [
        ("C4", [1, 3], ["C4 down 52, withdrawn", "C4 up 28, taken", "C4 down 54, taken"]),
        ("d4", [2], ["D4 down 53, taken"]),
        ("2", [1], ["C4 up 28, taken"]),
        ("6", [5], ["hammers, grooved, taken"]),
        ("7", [6], ["remark, hammers"]),
    ],
)
def test_what_was_said_is_played(
    journal: Path,
    played: list[Sound],
    capsys: pytest.CaptureFixture[str],
    what: str,
    clips: list[int],
    told: list[str],
) -> None:
    assert main(["play", what, "--journal", str(journal)]) == 0
    folder = journal.with_name(journal.name + ".clips")
    assert played == [Sound(*read_clip(folder / f"{n:06}.flac")) for n in clips]
    assert [line.split("  ")[-1] for line in capsys.readouterr().out.splitlines()] == told


@pytest.mark.parametrize(
    ("what", "message"),
    [
        ("E4", "there is no sound of E4. It was typed"),
        ("F4", "nothing was said of 'F4' in sitting 1. Name a note"),
        ("99", "nothing was said of '99'"),
        ("nonsense", "nothing was said of 'nonsense'"),
    ],
)
def test_what_cannot_be_played_is_told(
    journal: Path, played: list[Sound], capsys: pytest.CaptureFixture[str], what: str, message: str
) -> None:
    assert main(["play", what, "--journal", str(journal)]) == 2
    assert message in capsys.readouterr().err
    assert played == []


def test_without_a_loudspeaker_the_file_is_named(
    journal: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def none(*_: object) -> None:
        raise NoLoudspeaker("no such device")

    monkeypatch.setattr(Loudspeaker, "play", none)
    assert main(["play", "D4", "--journal", str(journal)]) == 2
    assert "000002.flac with another program" in capsys.readouterr().err
