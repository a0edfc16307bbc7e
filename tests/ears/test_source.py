"""Recordings of every kind become the same blocks; what is none is a clear error."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest
import soundfile

from handsfree.ears.blocks import BLOCK_BYTES, BLOCK_SAMPLES, RATE, Block
from handsfree.ears.source import FileSource, PushedSource
from handsfree.errors import NoSound
from handsfree.nouns import EarChanged, EarState


def sine(rate: int, seconds: float = 1.0, hertz: float = 440.0, amplitude: float = 0.5) -> np.ndarray:
    return amplitude * np.sin(2 * np.pi * hertz * np.arange(round(rate * seconds)) / rate)


def heard(path: Path) -> np.ndarray:
    blocks = [b for b in FileSource(path).blocks() if isinstance(b, Block)]
    assert [b.position for b in blocks] == [i * BLOCK_SAMPLES for i in range(len(blocks))]
    assert {len(b.pcm) for b in blocks} == {BLOCK_BYTES}
    return np.frombuffer(b"".join(b.pcm for b in blocks), "<i2") / 32768.0


@pytest.mark.parametrize("rate", [8_000, 11_025, 16_000, 22_050, 44_100, 48_000, 96_000])
@pytest.mark.parametrize(
    ("channels", "subtype", "suffix"), [(1, "PCM_16", "wav"), (2, "PCM_24", "flac"), (6, "FLOAT", "wav")]
)
def test_any_rate_and_channels_give_the_same_sound(
    tmp_path: Path, rate: int, channels: int, subtype: str, suffix: str
) -> None:
    """Against the sine itself at 16 kHz (mathematics), apart from the filter's edges."""
    path = tmp_path / f"sine.{suffix}"
    soundfile.write(path, np.column_stack([sine(rate)] * channels), rate, subtype=subtype)
    got = heard(path)
    assert len(got) == pytest.approx(RATE, abs=2 * BLOCK_SAMPLES)
    middle = slice(RATE // 4, RATE // 2)
    assert np.abs(got[:RATE][middle] - sine(RATE)[middle]).max() < 0.01


def test_two_channels_are_mixed(tmp_path: Path) -> None:
    path = tmp_path / "left.wav"
    soundfile.write(path, np.column_stack([sine(RATE), np.zeros(RATE)]), RATE)
    assert np.abs(heard(path)).max() == pytest.approx(0.25, abs=0.01)


def test_what_is_too_high_for_the_model_does_not_fold_back(tmp_path: Path) -> None:
    """11 kHz is above half of 16 kHz: without a filter it would come out as 5 kHz (sampling theorem)."""
    path = tmp_path / "high.wav"
    soundfile.write(path, sine(48_000, hertz=11_000), 48_000)
    assert np.abs(heard(path)[RATE // 4 : RATE // 2]).max() < 0.001


def test_samples_that_are_no_numbers_are_silence(tmp_path: Path) -> None:
    path = tmp_path / "nan.wav"
    soundfile.write(path, np.full(RATE, np.nan), RATE, subtype="FLOAT")
    assert not heard(path).any()


def test_a_bad_file_says_what_is_wrong(tmp_path: Path) -> None:
    (tmp_path / "text.wav").write_text("this is no sound", encoding="ascii")
    (tmp_path / "empty.wav").touch()
    soundfile.write(tmp_path / "nothing.wav", np.zeros(0), RATE)
    soundfile.write(tmp_path / "slow.wav", np.zeros(1000), 1_000)
    expected = {
        "text.wav": "cannot be read as audio",
        "empty.wav": "cannot be read as audio",
        "nothing.wav": "holds no sound",
        "slow.wav": "sample rate of 1000 Hz",
        "missing.wav": "there is no audio file",
        ".": "there is no audio file",
    }
    for name, why in expected.items():
        with pytest.raises(NoSound, match=why) as caught:
            FileSource(tmp_path / name)
        assert caught.value.do.startswith("Give")
        assert caught.value.exit_code == 4


def test_a_file_that_breaks_off_gives_what_it_has(tmp_path: Path) -> None:
    whole, cut = tmp_path / "whole.flac", tmp_path / "cut.flac"
    soundfile.write(whole, np.random.default_rng(2).normal(0, 0.1, 10 * RATE), RATE)
    cut.write_bytes(whole.read_bytes()[: whole.stat().st_size // 2])
    got = []
    try:
        got.extend(FileSource(cut).blocks())
    except NoSound as error:
        assert "breaks off" in str(error)  # noqa: PT017  # which of the two happens is the codec's business
    assert len(got) > 4 * RATE / BLOCK_SAMPLES


def test_real_time_takes_its_time(tmp_path: Path) -> None:
    path = tmp_path / "half.wav"
    soundfile.write(path, np.zeros(RATE // 2), RATE)
    began = time.monotonic()
    blocks = [b for b in FileSource(path, realtime=True).blocks() if isinstance(b, Block)]
    assert 0.45 < time.monotonic() - began < 1.0
    assert all(b.arrived - began >= b.end - 0.005 for b in blocks), "no block may come before it was recorded"


def test_closing_ends_it(tmp_path: Path) -> None:
    path = tmp_path / "long.wav"
    soundfile.write(path, np.zeros(60 * RATE), RATE)
    with FileSource(path) as source:
        blocks = source.blocks()
        next(blocks)
        source.close()
        assert list(blocks) == []


def test_the_pushed_source_gives_what_was_pushed() -> None:
    source = PushedSource()
    gone = EarChanged(EarState.NO_MICROPHONE, "gone")
    source.push(b"\1\0" * 400)
    source.push_change(gone)
    source.push_silence(0.04)
    source.close()
    one, two, change, three, four = source.blocks()
    assert change == gone
    assert [b.position for b in (one, two, three, four) if isinstance(b, Block)] == [0, 320, 640, 960]
    assert isinstance(two, Block)
    assert two.pcm == (b"\1\0" * 80).ljust(BLOCK_BYTES, b"\0")
