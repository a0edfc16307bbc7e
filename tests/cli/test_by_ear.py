"""The whole way from a recording to the journal, through the commands, with the model that comes along."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import subprocess
import sys
import threading
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile
import soxr

from handsfree.cli import main
from handsfree.demo_command import demo_folder
from handsfree.ears.model_folder import find_model
from handsfree.errors import JournalUnreadable
from handsfree.journal.clips import read_clip
from handsfree.journal.reader import JournalReader

RECORDING = demo_folder() / "recording.flac"
FIRST = ("c four fifty two twenty eight", "C4", [("down", "52"), ("up", "28")])
SECOND = ("fifty three twenty six", "C#4", [("down", "53"), ("up", "26")])
TWO_READINGS = 7.3
"""Seconds of the recording that hold them, and the silence after."""


@pytest.fixture(autouse=True)
def no_settings_of_ours(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.delenv("HANDSFREE_SETTINGS", raising=False)
    monkeypatch.delenv("HANDSFREE_MODEL", raising=False)


def beginning(path: Path, rate: int, channels: int) -> Path:
    """The first two readings, as another device would have recorded them."""
    samples, original = soundfile.read(RECORDING, dtype="float32")
    resampled = soxr.resample(samples[: int(TWO_READINGS * original)], original, rate)
    soundfile.write(path, np.column_stack([resampled] * channels), rate)
    return path


def listen(capsys: pytest.CaptureFixture[str], *args: str) -> list[dict[str, Any]]:
    code = main(["listen", "--plain", "--plan", "octave four", *args])
    out, err = capsys.readouterr()
    assert (code, err) == (0, "")
    return [json.loads(line) for line in out.splitlines()]


def short(turn: dict[str, Any]) -> tuple[str, str, list[tuple[str, str]]]:
    return turn["heard"], turn["note"], [(r["quantity"], r["value"]) for r in turn["readings"]]


@pytest.mark.parametrize(("rate", "channels", "kind"), [(16_000, 1, "flac"), (44_100, 2, "wav"), (48_000, 1, "wav")])
def test_any_usual_rate_is_heard_alike(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], rate: int, channels: int, kind: str
) -> None:
    recording = beginning(tmp_path / f"r.{kind}", rate, channels)
    turns = listen(capsys, "--from", str(recording), "--journal", str(tmp_path / "j"))
    assert [short(t) for t in turns] == [FIRST, SECOND]
    assert {t["outcome"] for t in turns} == {"taken"}


def test_a_turn_by_ear_tells_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    recording = beginning(tmp_path / "r.wav", 16_000, 1)
    started = "2031-05-06T09:00:00+02:00"
    first, second = listen(capsys, "--from", str(recording), "--journal", str(tmp_path / "j"), "--started", started)
    assert sum(a["share"] for a in first["alternatives"]) == pytest.approx(1, abs=0.01)
    best = first["alternatives"][0]
    assert [w["text"] for w in best["words"]] == first["heard"].split()
    assert all(w["start"] <= w["end"] for w in best["words"])
    assert first["sureness"] == best["share"]
    assert first["via"] == "voice"
    times = [datetime.fromisoformat(t["at"]) for t in (first, second)]
    since = [(t - datetime.fromisoformat(started)).total_seconds() for t in times]
    assert 2 < since[0] < 5 < since[1] < TWO_READINGS, "when it was said, not when it was worked out"
    assert times[0].isoformat(timespec="seconds").endswith("+02:00")


def test_the_sound_of_each_utterance_is_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    recording = beginning(tmp_path / "r.wav", 16_000, 1)
    listen(capsys, "--from", str(recording), "--journal", str(tmp_path / "j"))
    with JournalReader.read(tmp_path / "j") as journal:
        lines = list(journal.heard_lines())
        assert [line.clip for line in lines] == ["000001.flac", "000002.flac"]
        for line in lines:
            pcm, rate = read_clip(journal.clips_folder / (line.clip or ""))
            assert line.start is not None
            assert line.speech_end is not None
            assert len(pcm) / 2 / rate >= line.speech_end - line.start > 1
        (sitting,) = journal.sittings()
        assert find_model().name in sitting.model, "which model heard it is on record"


def test_in_real_time_it_takes_its_time(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    recording = beginning(tmp_path / "r.wav", 16_000, 1)
    began = datetime.now().astimezone()
    turns = listen(capsys, "--from", str(recording), "--journal", str(tmp_path / "j"), "--realtime")
    assert [short(t) for t in turns] == [FIRST, SECOND]
    since = [(datetime.fromisoformat(t["at"]) - began).total_seconds() for t in turns]
    assert since[1] - since[0] > 2
    assert since[1] > 6
    for turn in turns:
        assert 100 < turn["ms"] < 3000, "the silence that ends a sentence counts here"


# ---------------------------------------------------------------- bad input


def silent_wav(path: Path, rate: int, frames: int) -> Path:
    soundfile.write(path, np.zeros(frames, "int16"), rate)
    return path


def test_bad_audio(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "text.wav").write_text("no sound at all")
    (tmp_path / "nothing.wav").touch()
    cut = tmp_path / "cut.flac"
    cut.write_bytes(RECORDING.read_bytes()[:100])
    bad = {
        tmp_path / "missing.wav": "there is no audio file",
        tmp_path / "text.wav": "cannot be read as audio",
        tmp_path / "nothing.wav": "cannot be read as audio",
        tmp_path: "there is no audio file",
        silent_wav(tmp_path / "empty.wav", 16_000, 0): "holds no sound",
        silent_wav(tmp_path / "slow.wav", 2_000, 4_000): "sample rate of 2000 Hz",
    }
    for path, message in bad.items():
        code = main(["listen", "--plain", "--from", str(path), "--journal", str(tmp_path / "j")])
        out, err = capsys.readouterr()
        assert (code, out) == (4, ""), path
        assert message in err
        assert err.count("\n") == 1
    assert main(["listen", "--plain", "--from", str(cut), "--journal", str(tmp_path / "j2")]) == 4
    assert not (tmp_path / "j").exists()


def test_silence_is_heard_as_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = silent_wav(tmp_path / "s.wav", 16_000, 80_000)
    assert listen(capsys, "--from", str(path), "--journal", str(tmp_path / "j")) == []


def test_no_model(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for folder in (tmp_path / "nowhere", tmp_path):
        code = main(
            ["listen", "--plain", "--from", str(RECORDING), "--model", str(folder), "--journal", str(tmp_path / "j")]
        )
        assert code == 3
        assert "model folder" in capsys.readouterr().err
    assert not (tmp_path / "j").exists()


def test_an_altered_model(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    model = shutil.copytree(find_model(), tmp_path / "model")
    net = bytearray((model / "am" / "final.mdl").read_bytes())
    net[1000] ^= 1
    (model / "am" / "final.mdl").write_bytes(net)
    code = main(
        ["listen", "--plain", "--from", str(RECORDING), "--model", str(model), "--journal", str(tmp_path / "j")]
    )
    assert code == 3
    assert "altered or is damaged" in capsys.readouterr().err


def test_a_time_without_offset(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for time in ("2031-05-06T09:00:00", "yesterday"):
        args = ["listen", "--plain", "--from", str(RECORDING), "--started", time, "--journal", str(tmp_path / "j")]
        assert main(args) == 2
        assert "is no time with offset. Write it like" in capsys.readouterr().err


# ---------------------------------------------------------------- killed while it hears


@pytest.mark.skipif(os.name != "posix", reason="needs SIGKILL")
def test_killed_while_it_hears_every_confirmed_turn_has_its_sound(tmp_path: Path) -> None:
    """The recording starts anew each time, so what comes of it differs, but what was confirmed is kept."""
    journal, chance = tmp_path / "j", random.Random(4)
    command = [sys.executable, "-m", "handsfree", "listen", "--plain", "--from", str(RECORDING)]
    command += ["--journal", str(journal), "--plan", "every"]
    before = total = 0
    for _ in range(8):
        confirmed = []
        enough, patience = chance.randint(0, 15), chance.uniform(0, 0.05)
        with subprocess.Popen(command, stdout=subprocess.PIPE) as process:
            assert process.stdout
            killer = threading.Timer(patience if enough else chance.uniform(0.2, 1.5), process.kill)
            if not enough:
                killer.start()
            for line in process.stdout:
                if line.endswith(b"\n"):
                    confirmed.append(json.loads(line))
                    if len(confirmed) == enough:
                        killer.start()
            killer.join()
        assert process.returncode == -signal.SIGKILL
        try:
            with JournalReader.read(journal) as reader:
                lines = list(reader.heard_lines())
                last_n = max((k.n for k in reader.facts()), default=0)
        except JournalUnreadable:
            assert not confirmed
            continue
        kept = lines[before:]
        assert len(confirmed) <= len(kept) <= len(confirmed) + 1
        assert [line.heard.text for line in kept][: len(confirmed)] == [t["heard"] for t in confirmed]
        assert all(t["last_n"] <= last_n for t in confirmed)
        for line in kept:
            if line.clip:
                assert read_clip(tmp_path / "j.clips" / line.clip)
        before, total = len(lines), total + len(confirmed)
    assert total > 20


# ---------------------------------------------------------------- the demo


def test_the_demo_leaves_nothing_behind(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert main(["demo", "--plain"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "  you: c four fifty two twenty eight\n" in out
    assert "40,C4,52,28," in out
    assert not list(tmp_path.iterdir())


def test_the_demo_can_be_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["demo", "--plain", "--journal", str(tmp_path / "j"), "--tidy", str(tmp_path / "t.csv")]) == 0
    capsys.readouterr()
    assert main(["export", "--journal", str(tmp_path / "j"), "--tidy", str(tmp_path / "again.csv")]) == 0
    assert (tmp_path / "t.csv").read_bytes() == (tmp_path / "again.csv").read_bytes()
