"""The microphone where the machine plays up, with a stand-in for the sound library. The real one is driven in
test_virtual_microphone.py."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Iterator
from itertools import pairwise
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from handsfree.ears import microphone
from handsfree.ears.blocks import RATE, Block
from handsfree.ears.microphone import Microphone, check
from handsfree.errors import NoMicrophone
from handsfree.nouns import EarChanged, EarState


class PortAudioError(Exception):
    pass


class FakeStream:
    """Gives sound from a thread of its own as a card would, until it is pulled out."""

    def __init__(self, card: FakeCard, **wanted: Any) -> None:
        self.card, self.wanted = card, wanted
        if card.trouble is not None:
            raise PortAudioError(*card.trouble)
        if wanted["samplerate"] not in card.rates:
            raise PortAudioError("Invalid sample rate", -9997)
        if wanted["channels"] not in card.channels:
            raise PortAudioError("Invalid number of channels", -9998)
        self.running = False

    def start(self) -> None:
        self.running = True
        self.card.opened.append(self.wanted)
        threading.Thread(target=self._run, daemon=True).start()

    def _run(self) -> None:
        frames = self.wanted["blocksize"]
        pcm = np.full((frames, self.wanted["channels"]), 1000, "<i2").tobytes()
        while self.running and self.card.plugged.is_set():
            self.wanted["callback"](pcm, frames, None, None)
            time.sleep(frames / self.wanted["samplerate"])
        self.wanted["finished_callback"]()

    def abort(self, ignore_errors: bool = True) -> None:
        self.running = False

    close = abort


class FakeCard:
    """As much of the sounddevice module as the microphone uses."""

    def __init__(self) -> None:
        self.rates, self.channels = {44_100}, {1, 2}
        self.trouble: tuple[str, int] | None = None
        self.plugged = threading.Event()
        self.plugged.set()
        self.opened: list[dict[str, Any]] = []
        self.started_anew = 0

    def module(self) -> SimpleNamespace:
        return SimpleNamespace(
            PortAudioError=PortAudioError,
            RawInputStream=lambda **wanted: FakeStream(self, **wanted),
            query_devices=self.query,
            _terminate=lambda: None,
            _initialize=self.anew,
        )

    def anew(self) -> None:
        self.started_anew += 1

    def query(self, device: str | int | None = None, kind: str | None = None) -> Any:
        there = {"name": "desk", "max_input_channels": 2, "default_samplerate": 44_100.0}
        if kind is None:
            return [there]
        if not self.plugged.is_set() or device not in (None, "desk"):
            raise ValueError("no input device")
        return there


@pytest.fixture
def card(monkeypatch: pytest.MonkeyPatch) -> Iterator[FakeCard]:
    card = FakeCard()
    monkeypatch.setitem(sys.modules, "sounddevice", card.module())
    monkeypatch.setattr(microphone, "RETRY_SECONDS", 0.05)
    yield card
    card.plugged.clear()


def problem(device: str | None = None) -> str:
    with pytest.raises(NoMicrophone) as caught:
        check(device)
    return str(caught.value)


def test_every_trouble_has_its_own_words(card: FakeCard) -> None:
    assert "the microphone shelf is not there" in problem("shelf")
    assert "choose one of: desk" in problem("shelf")
    card.trouble = ("Device unavailable", -9985)
    assert "busy" in problem()
    card.trouble = ("Unanticipated host error", -9999)
    assert "cannot be opened (Unanticipated host error)" in problem()
    card.trouble, card.rates = None, set()
    assert "takes no sample rate" in problem()
    card.plugged.clear()
    assert "is not there" in problem()


def test_a_machine_without_portaudio(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "sounddevice", raising=False)
    monkeypatch.setattr("ctypes.util.find_library", lambda name: None)
    monkeypatch.setitem(sys.modules, "_sounddevice_data", None)
    assert "libportaudio2" in problem()
    mic = Microphone()
    first = next(mic.blocks())
    assert isinstance(first, EarChanged)
    assert first.state is EarState.NO_MICROPHONE


@pytest.mark.parametrize(("rates", "channels"), [({44_100}, {1}), ({48_000}, {2}), ({16_000}, {1, 2})])
def test_whatever_the_card_takes_is_made_to_fit(card: FakeCard, rates: set[int], channels: set[int]) -> None:
    card.rates, card.channels = rates, channels
    mic = Microphone("desk")
    blocks = []
    for item in mic.blocks():
        assert isinstance(item, Block)
        blocks.append(item)
        if len(blocks) == 20:
            mic.close()
            break
    middle = np.frombuffer(blocks[15].pcm, "<i2")
    assert np.abs(middle - 1000).max() < 20
    assert card.opened[0]["samplerate"] in rates


def test_a_stream_that_will_not_close_is_left_behind(card: FakeCard, monkeypatch: pytest.MonkeyPatch) -> None:
    """PortAudio can wait for ever for a device that was pulled out: listening goes on without it."""
    let_go = threading.Event()
    monkeypatch.setattr(microphone, "CLOSING_SECONDS", 0.05)
    monkeypatch.setattr(FakeStream, "abort", lambda self, ignore_errors: let_go.wait(30))
    mic = Microphone("desk")
    states: list[EarState] = []
    for item in mic.blocks():
        if isinstance(item, EarChanged):
            states.append(item.state)
            card.plugged.set()
        elif not states:
            card.plugged.clear()
        else:
            break
    mic.close()
    assert states == [EarState.NO_MICROPHONE, EarState.LISTENING]
    assert card.started_anew == 0, "it would wait for the stream"
    let_go.set()


def test_gone_and_back(card: FakeCard) -> None:
    mic = Microphone("desk")
    happened: list[Block | EarChanged] = []

    def listen() -> None:
        happened.extend(mic.blocks())

    thread = threading.Thread(target=listen)
    thread.start()
    time.sleep(0.3)
    card.plugged.clear()
    time.sleep(0.4)
    card.plugged.set()
    time.sleep(0.5)
    mic.close()
    thread.join(2)
    assert not thread.is_alive()
    states = [e.state for e in happened if isinstance(e, EarChanged)]
    assert states[0] is EarState.NO_MICROPHONE
    assert states[-1] is EarState.LISTENING
    gone = next(e for e in happened if isinstance(e, EarChanged))
    assert "has gone" in gone.message
    assert "keyboard" in gone.message
    positions = [e.position for e in happened if isinstance(e, Block)]
    assert positions == sorted(positions)
    jump = max(b - a for a, b in pairwise(positions)) / RATE
    assert jump > 0.3, "time without a device passes too"


def test_portaudio_is_left_alone_while_somebody_plays(card: FakeCard) -> None:
    playing = threading.Lock()
    card.plugged.clear()
    mic = Microphone("desk", playing=playing)
    thread = threading.Thread(target=lambda: list(mic.blocks()))
    with playing:
        thread.start()
        time.sleep(0.3)
        assert card.started_anew == 0
    time.sleep(0.3)
    mic.close()
    thread.join(2)
    assert card.started_anew > 0


def test_a_card_that_gives_nothing_has_gone(card: FakeCard, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(microphone, "FIRST_SOUND_SECONDS", 0.2)
    monkeypatch.setattr(FakeStream, "_run", lambda self: None)
    mic = Microphone("desk")
    first = next(mic.blocks())
    assert isinstance(first, EarChanged)
    assert "has gone" in first.message
