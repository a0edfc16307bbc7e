"""Remarks after the work: listed, played, written down by a person or a machine. All of it invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from handsfree.cli import main
from handsfree.journal.memory import MemoryJournal
from handsfree.journal.reader import JournalReader
from handsfree.journal.store import Journal
from handsfree.journal.walk import walk_fold
from handsfree.nouns import (
    Alternative,
    Context,
    Finding,
    FindingTook,
    Heard,
    Pass,
    Remark,
    RemarkKept,
    Standing,
    Utterance,
)
from handsfree.session import Session
from handsfree.voice.playing import Loudspeaker
from handsfree.voice.sound import Sound

PCM = (b"\x10\x00\xf0\xff" * 8000)[:16000]


def heard(text: str, context: Context = Context.WALKTHROUGH) -> Heard:
    return Heard((Alternative(text, 1.0),), context, utterance=Utterance(PCM, 16000, 0.0, 0.4))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A journal that keeps no clips, with a finding (1), a spoken remark (2) and a typed one (3)."""
    path = tmp_path / "j"
    with Journal.open(path, "Fernhall upright", keep_clips=False) as journal:
        took = FindingTook(Finding("lid", "cracked", "", 2), Standing.TAKEN, 1.0)
        journal.append(heard("lid cracked two"), (took,))
        journal.append(heard("[unk]", Context.REMARK), (RemarkKept("lid", 1),))
        journal.append(Heard((Alternative("remark odd", 1.0),), Context.WALKTHROUGH, via="keyboard"),
                       (RemarkKept("", None, "odd smell"),))  # fmt: skip
    return path


def remarks(path: Path) -> tuple[Remark, ...]:
    with JournalReader.read(path) as journal:
        return walk_fold(journal.facts()).remarks


def test_a_remark_leaves_sound_even_where_no_other_sound_is_kept(path: Path) -> None:
    spoken, typed = remarks(path)
    assert spoken.clip is not None
    assert typed.clip is None
    assert [p.name for p in path.with_name("j.clips").iterdir()] == [spoken.clip]


def test_listed(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["remarks", "--journal", str(path)]) == 0
    first, second = capsys.readouterr().out.splitlines()
    assert first.endswith("lid, cracked: (sound only)")
    assert second.endswith("the instrument: odd smell")


def test_written_down_later(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["remarks", "--journal", str(path), "--write", "2", " Along the hinge, <b>old</b> "]) == 0
    assert "lid, cracked: Along the hinge, <b>old</b>" in capsys.readouterr().out
    assert (remarks(path)[0].text, remarks(path)[0].by) == ("Along the hinge, <b>old</b>", "keyboard")


def test_played(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    played: list[Sound] = []
    monkeypatch.setattr(Loudspeaker, "play", lambda self, sound: played.append(sound))
    assert main(["remarks", "--journal", str(path), "--play", "2"]) == 0
    assert played == [Sound(PCM, 16000)]


def test_a_machine_is_named_and_overwrites_no_person(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from handsfree.ears import dictation

    class Machine:
        def __init__(self, folder: Path) -> None:
            assert folder == Path("general")

        def words(self, pcm: bytes, rate: int) -> str:
            return f"{len(pcm)} bytes at {rate}"

    monkeypatch.setattr(dictation, "Dictation", Machine)
    command = ["remarks", "--journal", str(path), "--recognise", "general"]
    assert main(command) == 0
    assert (remarks(path)[0].text, remarks(path)[0].by) == ("16000 bytes at 16000", "machine")
    assert remarks(path)[1].text == "odd smell"
    assert main(["remarks", "--journal", str(path), "--write", "2", "by hand"]) == 0
    assert main(command) == 0
    assert (remarks(path)[0].text, remarks(path)[0].by) == ("by hand", "keyboard")


@pytest.mark.parametrize(("rest", "says"), [
    (["--play", "9"], "there is no remark 9 in this sitting. There are: 2, 3"),
    (["--play", "3"], "remark 3 has no sound"),
    (["--write", "two", "text"], "wants the number of a remark"),
    (["--write", "2", " "], "wants the number of a remark"),
    (["--recognise", "{}/nowhere"], "is no Vosk model"),
])  # fmt: skip
def test_troubles_say_what_to_do(path: Path, rest: list[str], says: str, capsys: pytest.CaptureFixture[str]) -> None:
    rest = [one.format(path.parent) for one in rest]
    assert main(["remarks", "--journal", str(path), *rest]) in (2, 3)
    assert says in capsys.readouterr().err
    assert remarks(path)[0].text == ""


def test_a_general_model_is_read_like_any_vosk_model() -> None:
    """With our own model, the only one here: what it makes of free speech is its own affair, digits it knows."""
    import tomllib

    from handsfree.ears.dictation import Dictation
    from handsfree.journal.clips import read_clip

    top = Path(__file__).parents[2]
    model = Dictation(top / "models" / "keybed-en")
    pcm, rate = read_clip(top / "tests" / "golden" / "walkthrough.flac")
    script = tomllib.loads((top / "tests" / "golden" / "walkthrough.toml").read_text(encoding="utf-8"))
    assert script["line"][0]["text"].startswith("humidity forty five")
    words = model.words(pcm[: 2 * rate * 4], rate)
    assert any(said in words for said in ("forty five", "forty fife"))  # a plain word loop knows the radio's five too


@pytest.mark.parametrize(("where", "part", "item"), [
    ("wrest pins", "tuning pins", None), ("instrument", "", None), ("1", "lid", 1),
])  # fmt: skip
def test_put_where_it_belongs(path: Path, where: str, part: str, item: int | None) -> None:
    assert main(["remarks", "--journal", str(path), "--place", "3", where]) == 0
    assert (remarks(path)[1].part, remarks(path)[1].item) == (part, item)
    assert (remarks(path)[0].part, remarks(path)[0].item) == ("lid", 1)


@pytest.mark.parametrize(("rest", "says"), [
    (["--place", "3", "the cellar"], "Name a part, instrument, or the number of a finding: 1 lid, cracked"),
    (["--place", "3", "9"], "there is no '9' to put it at"),
    (["--place", "x", "lid"], "wants the number of a remark"),
    (["--place", "9", "lid"], "there is no remark 9"),
    (["--recognise"], "no general model was named"),
])  # fmt: skip
def test_what_cannot_be_put_says_why(
    path: Path, rest: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["remarks", "--journal", str(path), *rest]) == 2
    assert says in capsys.readouterr().err


def test_a_remark_belongs_to_the_last_finding_until_another_part_is_named() -> None:
    session = Session(MemoryJournal())
    session.set_pass(Pass.WALKTHROUGH)
    for said in ("remark first", "lid cracked two", "remark second", "hammers", "remark third"):
        session.typed(said)
    assert [(r.part, r.item, r.text) for r in session.walk.remarks] == [
        ("", None, "first"),
        ("lid", session.walk.items[0].n, "second"),
        ("hammers", None, "third"),
    ]
