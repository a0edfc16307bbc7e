"""The speaker: one sound after the other, never an exception, silence where nothing can be heard."""

from __future__ import annotations

import sys
import threading
import time
from pathlib import Path
from types import SimpleNamespace

import pytest

from handsfree.errors import BadSettings
from handsfree.nouns import Earcon
from handsfree.voice.earcons import earcon_sound
from handsfree.voice.espeak import NoVoice
from handsfree.voice.natural import NaturalVoice
from handsfree.voice.playing import Loudspeaker, NoLoudspeaker
from handsfree.voice.sound import Sound
from handsfree.voice.speaker import Aloud, Silent, make_speaker


class Recorder:
    """Plays into a list, as slowly as it is told."""

    def __init__(self, seconds: float = 0.0, trouble: str = "") -> None:
        self.seconds, self.trouble = seconds, trouble
        self.played: list[Sound] = []
        self.at_once = 0

    def play(self, sound: Sound, cut_short: threading.Event) -> None:
        if self.trouble:
            raise NoLoudspeaker(self.trouble)
        self.at_once += 1
        assert self.at_once == 1, "two sounds at once"
        time.sleep(self.seconds)
        self.played += [sound] * (not cut_short.is_set())
        self.at_once -= 1


class Spelling:
    """A synthesiser whose sound is the line itself."""

    def speak(self, line: str) -> Sound:
        return Sound(line.encode(), 8_000)


def test_lines_and_earcons_one_after_the_other() -> None:
    recorder = Recorder(0.02)
    speaker = Aloud(Spelling, recorder)
    threads = [threading.Thread(target=speaker.say, args=(f"line {i}",)) for i in range(4)]
    threads += [threading.Thread(target=speaker.earcon, args=(Earcon.ACCEPTED,))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(recorder.played) == 5
    assert earcon_sound(Earcon.ACCEPTED) in recorder.played


class Slow(Spelling):
    """A synthesiser that takes a while, as a neural voice does."""

    def __init__(self) -> None:
        self.begun = threading.Event()

    def speak(self, line: str) -> Sound:
        self.begun.set()
        time.sleep(0.05)
        return super().speak(line)


def test_a_line_that_is_cut_short_while_it_is_made_is_not_played() -> None:
    """A newer turn must not wait for the end of an older one's line."""
    recorder, voice = Recorder(), Slow()
    speaker = Aloud(lambda: voice, recorder)
    thread = threading.Thread(target=speaker.say, args=("a long line",))
    thread.start()
    assert voice.begun.wait(1)
    speaker.stop()
    thread.join()
    assert recorder.played == []
    speaker.say("the next")
    assert recorder.played == [Sound(b"the next", 8_000)]


def test_what_comes_after_a_line_that_is_over_is_not_cut_short() -> None:
    recorder = Recorder()
    speaker = Aloud(Spelling, recorder)
    speaker.say("a line")
    speaker.stop()
    speaker.earcon(Earcon.QUESTION)
    speaker.play(b"1234", 8_000)
    assert recorder.played[1:] == [earcon_sound(Earcon.QUESTION), Sound(b"1234", 8_000)]


def test_without_a_loudspeaker_it_goes_on_silently_and_recovers() -> None:
    recorder = Recorder(trouble="nothing to play through")
    speaker = Aloud(Spelling, recorder)
    speaker.say("hello")
    speaker.earcon(Earcon.REFUSED)
    assert speaker.trouble == "nothing to play through"
    recorder.trouble = ""
    speaker.say("hello")
    assert speaker.trouble == ""
    assert len(recorder.played) == 1


def test_without_a_synthesiser_the_earcons_remain() -> None:
    def none() -> Spelling:
        raise NoVoice("no voice here")

    recorder = Recorder()
    speaker = Aloud(none, recorder)
    speaker.say("hello")
    assert speaker.trouble == "no voice here"
    speaker.earcon(Earcon.ACCEPTED)
    assert recorder.played == [earcon_sound(Earcon.ACCEPTED)]


def test_earcons_can_be_switched_off() -> None:
    recorder = Recorder()
    Aloud(Spelling, recorder, earcons=False).earcon(Earcon.ACCEPTED)
    assert recorder.played == []


def test_everything_off_is_silent_and_remembers() -> None:
    speaker = make_speaker(voice=False, earcons=False)
    assert isinstance(speaker, Silent)
    speaker.say("hello")
    speaker.earcon(Earcon.QUESTION)
    assert speaker.said == ["hello", Earcon.QUESTION]


class PortAudioError(Exception):
    pass


def sound_library(**parts: object) -> SimpleNamespace:
    return SimpleNamespace(PortAudioError=PortAudioError, **parts)


def no_device(*_: object) -> None:
    raise ValueError("No output device")


def test_a_machine_without_output_device(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "sounddevice", sound_library(query_devices=no_device))
    with pytest.raises(NoLoudspeaker, match="No output device"):
        Loudspeaker().play(earcon_sound(Earcon.ACCEPTED))
    speaker = make_speaker()
    speaker.say("hello")
    speaker.earcon(Earcon.ACCEPTED)


class FakeStream:
    """An output that takes a while for each piece."""

    def __init__(self, **wanted: object) -> None:
        self.wanted = wanted
        self.written = 0
        self.ended = ""

    def __enter__(self) -> FakeStream:
        return self

    def __exit__(self, *_: object) -> None:
        self.ended = self.ended or "closed"

    def write(self, piece: bytes) -> None:
        self.written += len(piece)
        time.sleep(0.005)

    def stop(self) -> None:
        self.ended = "stopped"

    def abort(self) -> None:
        self.ended = "aborted"


def test_stop_cuts_a_long_line_short(monkeypatch: pytest.MonkeyPatch) -> None:
    streams: list[FakeStream] = []

    def stream(**wanted: object) -> FakeStream:
        streams.append(FakeStream(**wanted))
        return streams[-1]

    library = sound_library(query_devices=lambda *_: {"default_samplerate": 48_000.0}, RawOutputStream=stream)
    monkeypatch.setitem(sys.modules, "sounddevice", library)
    playing = threading.Lock()
    loudspeaker = Loudspeaker(playing=playing)
    cut_short = threading.Event()
    thread = threading.Thread(target=loudspeaker.play, args=(Sound(bytes(2 * 48_000 * 10), 48_000), cut_short))
    thread.start()
    time.sleep(0.1)
    assert playing.locked(), "nobody may start PortAudio anew now"
    cut_short.set()
    thread.join(1)
    assert streams[0].ended == "aborted"
    assert streams[0].written < 2 * 48_000 * 5
    assert not playing.locked()


def test_a_natural_voice_that_is_not_there_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "piper", None)
    with pytest.raises(BadSettings, match="piper-tts, which is not installed"):
        make_speaker(natural_voice=str(tmp_path / "voice.onnx"))
    monkeypatch.setitem(sys.modules, "piper", SimpleNamespace(PiperVoice=None, SynthesisConfig=None))
    with pytest.raises(BadSettings, match="there is no voice"):
        make_speaker(natural_voice=str(tmp_path / "voice.onnx"))


def test_a_natural_voice_that_fails_is_silent_and_no_more(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    class Broken:
        @staticmethod
        def load(voice: Path) -> Broken:
            return Broken()

        def synthesize(self, text: str, syn_config: object) -> list[object]:
            raise RuntimeError("no memory")

    monkeypatch.setitem(sys.modules, "piper", SimpleNamespace(PiperVoice=Broken, SynthesisConfig=SimpleNamespace))
    for name in ("voice.onnx", "voice.onnx.json"):
        (tmp_path / name).touch()
    recorder = Recorder()
    voice = NaturalVoice(tmp_path / "voice.onnx")
    speaker = Aloud(lambda: voice, recorder)
    speaker.say("hello")
    assert speaker.trouble == "the natural voice does not speak (no memory)"
    speaker.earcon(Earcon.ACCEPTED)
    assert recorder.played == [earcon_sound(Earcon.ACCEPTED)]
