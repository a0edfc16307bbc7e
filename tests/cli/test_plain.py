"""Plain lines when something goes wrong, and what of a turn is spoken."""

from __future__ import annotations

import json
import sqlite3
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from handsfree.cli import build_parser, main
from handsfree.ears import microphone
from handsfree.ears.microphone import check
from handsfree.errors import NoMicrophone
from handsfree.hearing import VOICED
from handsfree.listen_command import _listen
from handsfree.nouns import Alternative, EarChanged, Earcon, EarEvent, EarState, Heard
from handsfree.opening import OpenPass, open_pass
from handsfree.plain import Plain
from handsfree.settings import Settings
from handsfree.voice.speaker import Silent
from tests.journal import disks


def opened(journal: Path, *more: str) -> Iterator[OpenPass]:
    args = build_parser().parse_args(["listen", "--typed", "--journal", str(journal), *more])
    with open_pass(args, Settings()) as it:
        yield it


@pytest.fixture
def a_pass(tmp_path: Path) -> Iterator[OpenPass]:
    yield from opened(tmp_path / "j", "--plan", "every")


def test_a_full_disk_is_told_and_the_pass_goes_on_when_it_is_freed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with disks.small_disk(tmp_path / "small") as disk:
        for it in opened(disk / "j", "--plan", "every"):
            plain = Plain(it)
            plain.type("50 28")
            filler = disks.fill(disk, leave=100_000)
            while plain.type("key one 50 28"):
                pass
            assert plain.exit_code == 5
            out, err = capsys.readouterr()
            confirmed = len(out.splitlines())
            assert err.startswith("handsfree: not kept: 'key one 50 28': the disk is full")
            assert err.count("\n") == 1
            assert len(list(it.journal.heard_lines())) == confirmed
            filler.unlink()
            assert plain.type("key two 51 27")
            assert json.loads(capsys.readouterr().out)["key"] == 2
            assert len(list(it.journal.heard_lines())) == confirmed + 1


def test_a_journal_that_another_program_holds_is_told_and_the_pass_goes_on(
    a_pass: OpenPass, capsys: pytest.CaptureFixture[str]
) -> None:
    plain = Plain(a_pass)
    a_pass.journal._connection.execute("PRAGMA busy_timeout = 0")
    other = sqlite3.connect(a_pass.journal.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    assert plain.type("50 28") is None
    assert (plain.exit_code, "not kept: '50 28'" in capsys.readouterr().err) == (5, True)
    other.execute("ROLLBACK")
    other.close()
    assert plain.type("50 28")
    assert json.loads(capsys.readouterr().out)["key"] == 1


def test_a_new_name_in_a_known_journal_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A slip of the pen would else be found out only when the earlier readings are missed."""
    for name, told in (("Fernhall", ""), ("Fernhal", "a new instrument, 'Fernhal'; this journal knows Fernhall")):
        for it in opened(tmp_path / "j", "--instrument", name):
            Plain(it)
        assert told in capsys.readouterr().err
    for it in opened(tmp_path / "j", "--instrument", "Fernhall", "--new-sitting"):
        Plain(it)
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize("do", ["Plug one in, or choose one of: desk.", "Install it (Debian: libportaudio2)."])
def test_what_to_do_about_the_microphone_is_said_without_a_screen_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, do: str
) -> None:
    def missing(device: str | None) -> None:
        raise NoMicrophone(f"the microphone {device} is not there", do=do)

    monkeypatch.setattr(microphone, "check", missing)
    assert main(["listen", "--plain", "--device", "shelf", "--journal", str(tmp_path / "j")]) == 4
    assert f"the microphone shelf is not there. {do} Here: --typed, or --from FILE." in capsys.readouterr().err


def test_without_a_microphone_plain_listening_says_what_to_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    try:
        check()
    except NoMicrophone:
        assert main(["listen", "--plain", "--journal", str(tmp_path / "j")]) == 4
        assert "Here: --typed, or --from FILE." in capsys.readouterr().err
        assert not (tmp_path / "j").exists()
    else:
        pytest.skip("this machine has a microphone")


def test_the_live_table_grows_and_is_always_whole(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    live = tmp_path / "live.csv"
    for it in opened(tmp_path / "j", "--plan", "every", "--follow", str(live)):
        plain = Plain(it)
        assert live.read_bytes().count(b"\r\n") == 1, "the header, from the beginning"
        plain.type("50 28")
        assert live.read_bytes().count(b"\r\n") == 3
        plain.type("51 27")
        plain.type("hello")
        assert live.read_bytes().count(b"\r\n") == 5
        assert not list(tmp_path.glob("*.half"))
    capsys.readouterr()
    assert main(["export", "--journal", str(tmp_path / "j"), "--tidy", "-"]) == 0
    assert capsys.readouterr().out.encode().replace(b"\r\n", b"\n") == live.read_bytes().replace(b"\r\n", b"\n")


def test_trouble_with_the_live_table_stops_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    live = tmp_path / "not yet" / "live.csv"
    for it in opened(tmp_path / "j", "--plan", "every", "--follow", str(live)):
        plain = Plain(it)
        assert plain.type("50 28")
        assert "cannot write" in capsys.readouterr().err
        live.parent.mkdir()
        assert plain.type("51 27")
        assert capsys.readouterr().err == "handsfree: all is well again\n"
        assert live.read_bytes().count(b"\r\n") == 5


class Said:
    """A stand-in for the ears: these sentences, each when the one before has been answered aloud."""

    def __init__(self, sentences: list[str], it: OpenPass, speaker: Silent) -> None:
        self._sentences, self._it, self._speaker = sentences, it, speaker
        self.closed = 0
        self.hearing = False

    def events(self) -> Iterator[EarEvent]:
        yield EarChanged(EarState.NO_MICROPHONE, "the microphone is gone")
        for text in self._sentences:
            time.sleep(0.05)
            yield Heard((Alternative(text, 1.0),), self._it.session.context)
        time.sleep(0.05)

    def ms_since_speech_end(self, heard: Heard) -> float:
        return 12.34

    def close_ears(self) -> None:
        self.closed += 1

    def open_ears(self) -> None:
        assert self.closed


@pytest.mark.parametrize("read_back", ["never", "questions", "every"])
def test_what_is_spoken_is_a_setting(a_pass: OpenPass, capsys: pytest.CaptureFixture[str], read_back: str) -> None:
    speaker = Silent()
    ears = Said(["fifty twenty eight", "ninety one twenty eight", "yes"], a_pass, speaker)
    settings = Settings(read_back=read_back)  # type: ignore[arg-type]
    _listen(ears, Plain(a_pass), speaker, settings)  # type: ignore[arg-type]
    spoken = [s for s in speaker.said if not isinstance(s, Earcon)]
    first, question, answer = (json.loads(line) for line in capsys.readouterr().out.splitlines())
    greeting = "Every key, from A zero."
    expected = {
        "never": [],
        "questions": [greeting, question["line"]],
        "every": [greeting, first["line"], question["line"], answer["line"]],
    }
    assert spoken == expected[read_back]
    assert Earcon.QUESTION in speaker.said, "a sound is always there"
    assert ears.closed >= 3
    assert (first["ms"], first["earcon"]) == (12.3, "accepted")


class Slow(Silent):
    """Goes on talking for a while after it was told to stop."""

    talking = False

    def say(self, text: str) -> None:
        self.talking = True
        time.sleep(0.4)
        self.talking = False


def test_the_end_waits_for_a_line_that_is_being_said(a_pass: OpenPass) -> None:
    """PortAudio crashes when the program ends meanwhile (seen five times of six)."""
    speaker = Slow()
    ears = Said(["ninety one twenty eight"], a_pass, speaker)
    _listen(ears, Plain(a_pass), speaker, Settings())  # type: ignore[arg-type]
    assert not speaker.talking


def test_every_setting_has_its_meaning() -> None:
    assert set(VOICED) == set(Settings.model_fields["read_back"].annotation.__args__)  # type: ignore[union-attr]
