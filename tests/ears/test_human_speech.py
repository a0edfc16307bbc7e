"""Human readings through the whole ear, from a recording: the shipped model, grammar, endpointing and decoding.

The words are AN4 people's (see spliced_speech.py). AN4's training part is also what the model learns from: this shows
that the path works, not how well strangers are heard, which is measured when a model is made.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import soundfile
from spliced_speech import random_reading, skip_without_speech, speakers, spoken, with_pauses

from handsfree.ears.source import FileSource
from handsfree.hearing import Hearing, hearing
from handsfree.nouns import Context, Heard
from handsfree.settings import Settings

PAUSE = 2.0
UNSURE = 0.5
"""Below this nothing is taken without asking (judgement's own limit is higher)."""
RATE = 16_000


@pytest.fixture(scope="module")
def ears() -> Iterator[Hearing]:
    with hearing(Settings()) as opened:
        yield opened


def hear(ears: Hearing, path: Path) -> list[Heard]:
    listener = ears.listener(FileSource(path), lambda: Context.TOUCH)
    return [event for event in listener.events() if isinstance(event, Heard)]


def end(heard: Heard) -> float:
    """Seconds since listening began, of the moment that the utterance was closed."""
    assert heard.utterance is not None
    return heard.utterance.start + len(heard.utterance.pcm) / (2 * heard.utterance.rate)


@pytest.mark.parametrize(
    ("noise_db", "exact", "among", "soon"),
    [(40, 0.55, 0.85, 0.9), (15, 0.45, 0.80, 1.3)],
    ids=["quiet", "fan"],
)
def test_readings_of_many_people(
    ears: Hearing, tmp_path: Path, noise_db: float, exact: float, among: float, soon: float
) -> None:
    """Thresholds lie a little below what the first model reached: in quiet 63 % exact, all among the
    alternatives, half of them closed 0.63 s after the last word; with noise 15 dB below the speech
    60 %, 91 %, 0.63 s."""
    skip_without_speech()
    rng = random.Random(5)
    readings = [(s, random_reading(s, rng)) for s in speakers()[::2]]
    sound, places = with_pauses([spoken(s, text, rng) for s, text in readings], PAUSE, 3000 / 10 ** (noise_db / 20))
    soundfile.write(tmp_path / "readings.flac", sound, RATE)
    heard = hear(ears, tmp_path / "readings.flac")
    at_place = [[h for h in heard if h.utterance and h.utterance.start < b and end(h) > a] for a, b in places]
    right = sum([h.text for h in got] == [text] for got, (_, text) in zip(at_place, readings, strict=True))
    found = sum(
        len(got) == 1 and text in {one.text for one in got[0].alternatives}
        for got, (_, text) in zip(at_place, readings, strict=True)
    )
    delays = [end(got[-1]) - b for got, (_, b) in zip(at_place, places, strict=True) if got]
    assert right >= exact * len(readings)
    assert found >= among * len(readings)
    assert np.median(delays) < soon
    assert not [h for h in heard if all(h not in got for got in at_place)], "nothing is heard between the readings"


def test_a_clip_heard_again_gives_the_same(ears: Hearing, tmp_path: Path) -> None:
    """The utterance as kept, decoded anew, gives the same alternatives: readings can be judged again later."""
    skip_without_speech()
    rng = random.Random(6)
    sound, _ = with_pauses([spoken(s, random_reading(s, rng), rng) for s in speakers()[:4]], PAUSE)
    soundfile.write(tmp_path / "four.wav", sound, RATE)
    for heard in hear(ears, tmp_path / "four.wav"):
        assert heard.utterance is not None
        decoding = ears.recogniser.begin(Context.TOUCH)
        for start in range(0, len(heard.utterance.pcm), 640):
            decoding.accept(heard.utterance.pcm[start : start + 640])
        assert decoding.finish() == heard.alternatives


def ringing(rng: np.random.Generator) -> np.ndarray:
    """A struck string, synthetic: decaying partials of A3 with a hammer's knock (equal temperament, 440 Hz)."""
    at = np.arange(4 * RATE) / RATE
    partials = [np.exp(-at * (1 + 0.5 * n)) * np.sin(2 * np.pi * 220 * n * at) / n for n in range(1, 9)]
    knock = np.exp(-at * 200) * rng.normal(0, 1, len(at))
    return 9000 * (sum(partials) + knock) / 2


def knocks(rng: np.random.Generator) -> np.ndarray:
    """Wood and metal, synthetic: a click every 0.7 s."""
    sound = np.zeros(8 * RATE)
    for start in range(RATE // 2, len(sound) - RATE // 2, round(0.7 * RATE)):
        at = np.arange(RATE // 4) / RATE
        sound[start : start + len(at)] += 15_000 * np.exp(-at * 90) * rng.normal(0, 1, len(at))
    return sound


def fan(rng: np.random.Generator) -> np.ndarray:
    """A fan switched on: brownish noise and hum, synthetic."""
    noise = np.cumsum(rng.normal(0, 1, 8 * RATE))
    noise -= np.convolve(noise, np.ones(800) / 800, "same")
    hum = np.sin(2 * np.pi * 100 * np.arange(8 * RATE) / RATE)
    return np.concatenate([np.zeros(RATE), 1500 * (noise / noise.std() + hum)])


@pytest.mark.parametrize("make", [ringing, knocks, fan], ids=["string", "knocks", "fan"])
def test_noise_alone_is_no_reading(ears: Hearing, tmp_path: Path, make: object) -> None:
    """No noise may be heard as a sentence with any sureness. Synthetic, since no open recording of a workshop was
    found (CHECKS 8)."""
    assert callable(make)
    rng = np.random.default_rng(11)
    sound = np.concatenate([np.zeros(RATE), make(rng), np.zeros(2 * RATE)])
    sound += rng.normal(0, 10, len(sound))
    soundfile.write(tmp_path / "noise.wav", np.clip(sound, -32768, 32767).astype(np.int16), RATE)
    heard = hear(ears, tmp_path / "noise.wav")
    assert [h.text for h in heard if h.text and "[unk]" not in h.text and h.sureness > UNSURE] == []


def test_silence_alone_is_nothing(ears: Hearing, tmp_path: Path) -> None:
    soundfile.write(tmp_path / "silence.wav", np.zeros(10 * RATE, np.int16), RATE)
    assert hear(ears, tmp_path / "silence.wav") == []
