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
from handsfree.voice.playing import Loudspeaker, NoLoudspeaker
from handsfree.voice.sound import Sound
from handsfree.voice.speaker import Aloud, Silent, make_speaker


class Recorder:
    """Plays into a list, as slowly as it is told."""

    def __init__(self, seconds: float = 0.0, trouble: str = "") -> None:
        self.seconds, self.trouble = seconds, trouble
        self.played: list[Sound] = []
        self.at_once = 0

    def play(self, sound: Sound) -> None:
        if self.trouble:
            raise NoLoudspeaker(self.trouble)
        self.at_once += 1
        assert self.at_once == 1, "two sounds at once"
        time.sleep(self.seconds)
        self.played.append(sound)
        self.at_once -= 1

    def stop(self) -> None:
        pass


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


def test_half_duplex_around_lines_only() -> None:
    recorder, told = Recorder(), []
    speaker = Aloud(
        Spelling, recorder, on_start=lambda: told.append("start"), on_end=lambda: told.append(len(recorder.played))
    )
    speaker.earcon(Earcon.QUESTION)
    assert told == []
    speaker.say("C five, sixty one down?")
    assert told == ["start", 2]
    assert speaker.busy is False


def test_without_a_loudspeaker_it_goes_on_silently_and_recovers() -> None:
    recorder = Recorder(trouble="nothing to play through")
    ended: list[bool] = []
    speaker = Aloud(Spelling, recorder, on_end=lambda: ended.append(True))
    speaker.say("hello")
    speaker.earcon(Earcon.REFUSED)
    assert speaker.trouble == "nothing to play through"
    assert ended == [True], "the ears are opened again all the same"
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
    thread = threading.Thread(target=loudspeaker.play, args=(Sound(bytes(2 * 48_000 * 10), 48_000),))
    thread.start()
    time.sleep(0.1)
    assert playing.locked(), "nobody may start PortAudio anew now"
    loudspeaker.stop()
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
