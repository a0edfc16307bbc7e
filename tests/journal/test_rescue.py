"""A damaged journal: which lines are lost, and that all others are in the new one."""

from __future__ import annotations

import errno
import os
import re
import shutil
import sqlite3
from pathlib import Path

import pytest

from handsfree.cli import main
from handsfree.errors import BadUsage, DiskTrouble, JournalBusy, JournalUnreadable
from handsfree.journal.clips import clips_folder
from handsfree.journal.reader import JournalReader
from handsfree.journal.rescue import rescue
from handsfree.journal.store import Journal
from handsfree.nouns import Kept
from tests.journal.made import heard, took

AT = "2031-05-06T12:00:00.000+00:00"
READINGS = 120


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two sittings; a sound with the first reading of each."""
    path = tmp_path_factory.mktemp("made") / "pass.journal"
    for name in ("first", "second"):
        with Journal.open(path, name, new_sitting=True) as journal:
            for key in range(READINGS):
                journal.append(heard(f"key {key % 88 + 1}", seconds=0.2 * (key == 0)), [took(key % 88 + 1, "50.5")])
    return path


@pytest.fixture
def path(made: Path, tmp_path: Path) -> Path:
    shutil.copytree(made.parent, tmp_path, dirs_exist_ok=True)
    return tmp_path / made.name


def facts(path: Path) -> dict[int, Kept]:
    with JournalReader.read(path) as reader:
        return {kept.n: kept for sitting in reader.sittings() for kept in reader.facts(sitting.id)}


def change(path: Path, statement: str) -> None:
    """As another program would that minds no trigger."""
    connection = sqlite3.connect(path)
    for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    connection.execute(statement)
    connection.commit()
    connection.close()


def test_a_whole_journal_comes_through_whole(path: Path, tmp_path: Path) -> None:
    before, new = path.read_bytes(), tmp_path / "new.journal"
    rescued = rescue(path, new, AT)
    assert rescued.lost == ()
    assert rescued.kept == 2 + 2 * 2 * READINGS
    assert path.read_bytes() == before
    with JournalReader.read(path) as old, JournalReader.read(new) as made:
        assert old.sittings() == made.sittings()
        for sitting in old.sittings():
            assert list(old.archive_lines(sitting)) == list(made.archive_lines(sitting))
    assert sorted(p.name for p in (tmp_path / "new.journal.clips").iterdir()) == ["000001.flac", "000121.flac"]


def test_the_damaged_line_is_named_and_all_others_are_kept(path: Path, tmp_path: Path) -> None:
    whole, new = facts(path), tmp_path / "new.journal"
    change(path, "UPDATE fact SET body = '{\"guessed\": 1}' WHERE n = 17")
    with JournalReader.read(path) as reader, pytest.raises(JournalUnreadable, match=r"fact 17 .*handsfree rescue"):
        list(reader.facts(1))
    assert rescue(path, new, AT).lost == ("fact 17",)
    assert facts(new) == {n: kept for n, kept in whole.items() if n != 17}


def test_it_goes_on_under_the_next_number_and_never_changes(path: Path, tmp_path: Path) -> None:
    new = tmp_path / "new.journal"
    change(path, "DELETE FROM fact WHERE n = 17")
    assert rescue(path, new, AT).lost == ("fact 17",)
    with Journal.open(new) as journal:
        assert journal.sitting.instrument == "second"
        (kept,) = journal.append(heard("again"), [took(1, "51")])
    assert kept.n == 2 * READINGS + 1
    connection = sqlite3.connect(new)
    for statement in (
        "UPDATE fact SET at = ''",
        "DELETE FROM heard",
        "INSERT OR REPLACE INTO sitting SELECT * FROM sitting",
    ):
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            connection.execute(statement)
    connection.close()


def stretch(named: str) -> range:
    """ "fact 3", "facts 3 to 12" or "fact 90 and all after it"."""
    first, *to = (int(n) for n in re.findall(r"\d+", named))
    return range(first, 2 * READINGS + 1 if "all after" in named else to[0] + 1 if to else first + 1)


@pytest.mark.parametrize("at", range(2, 14, 2))
def test_a_lost_page_costs_only_what_stood_on_it(path: Path, tmp_path: Path, at: int) -> None:
    whole, new = facts(path), tmp_path / "new.journal"
    content = bytearray(path.read_bytes())
    content[at * 4096 : (at + 1) * 4096] = b"\xa5" * 4096
    path.write_bytes(content)
    with pytest.raises(JournalUnreadable, match=r"damaged.*handsfree rescue"):
        Journal.open(path)
    rescued, left = rescue(path, new, AT), facts(new)
    assert all(kept.fact == whole[n].fact for n, kept in left.items())
    gone = whole.keys() - left.keys()
    assert set().union(*(stretch(one) for one in rescued.lost if one.startswith("fact"))) == gone


def test_a_long_gap_is_not_the_end(path: Path, tmp_path: Path) -> None:
    """A page that leads to others hides all that stands on them."""
    change(path, "DELETE FROM fact WHERE n BETWEEN 20 AND 200")
    new = tmp_path / "new.journal"
    assert "facts 20 to 200" in rescue(path, new, AT).lost
    assert sorted(facts(new)) == [*range(1, 20), *range(201, 2 * READINGS + 1)]


def test_words_that_are_lost_take_no_value_with_them(path: Path, tmp_path: Path) -> None:
    whole, new = facts(path), tmp_path / "new.journal"
    change(path, "UPDATE heard SET alternatives = '[]' WHERE n = 3")
    change(path, "UPDATE heard SET alternatives = '3' WHERE n = 5")
    lost = rescue(path, new, AT).lost
    assert set(lost) == {"heard line 3", "heard line 5", "the words of fact 3", "the words of fact 5"}
    left = facts(new)
    assert [n for n in whole if left[n].fact != whole[n].fact] == []
    assert (left[3].heard_text, left[4].heard_text, left[5].heard_text) == ("", "key 4", "")


def test_a_lost_sitting_leaves_its_readings(path: Path, tmp_path: Path) -> None:
    new = tmp_path / "new.journal"
    change(path, "DELETE FROM sitting WHERE id = 1")
    assert set(rescue(path, new, AT).lost) == {"sitting 1", "name and settings of sitting 1"}
    with JournalReader.read(new) as reader:
        assert [s.instrument for s in reader.sittings()] == ["", "second"]
        assert len(list(reader.facts(1))) == READINGS


def test_nothing_can_be_read(tmp_path: Path) -> None:
    path = tmp_path / "pass.journal"
    path.write_bytes(b"no journal at all, but long enough " * 200)
    with pytest.raises(JournalUnreadable, match=r"nothing of .* can be read"):
        rescue(path, tmp_path / "new.journal", AT)
    assert [p.name for p in tmp_path.iterdir()] == ["pass.journal"]


def test_what_a_killed_writer_left_in_the_log_is_read_too(path: Path, tmp_path: Path) -> None:
    killed = tmp_path / "killed" / path.name
    killed.parent.mkdir()
    with Journal.open(path) as journal:
        (kept,) = journal.append(heard("late"), [took(1, "51")])
        for suffix in ("", "-wal"):
            shutil.copyfile(path.with_name(path.name + suffix), killed.with_name(path.name + suffix))
    assert rescue(killed, tmp_path / "new.journal", AT).lost == ()
    assert facts(tmp_path / "new.journal")[kept.n].fact == kept.fact


def test_not_while_somebody_writes(path: Path, tmp_path: Path) -> None:
    with Journal.open(path), pytest.raises(JournalBusy, match="in use by another"):
        rescue(path, tmp_path / "new.journal", AT)
    assert not (tmp_path / "new.journal").exists()


def test_a_disk_that_fills_meanwhile_leaves_nothing_in_the_way(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same command must do once there is room."""
    new, written = tmp_path / "new.journal", Path.write_bytes

    def full(self: Path, content: bytes) -> int:
        if self.parent.name == "new.journal.clips" and any(self.parent.iterdir()):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return written(self, content)

    there = {p.name for p in tmp_path.iterdir()}
    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(DiskTrouble, match=r"cannot copy .*No space left on device\)\. Free some"):
        rescue(path, new, AT)
    assert {p.name for p in tmp_path.iterdir()} == there
    monkeypatch.undo()
    assert rescue(path, new, AT).lost == ()
    assert len(list(clips_folder(new).iterdir())) == 2


def test_it_never_overwrites(path: Path, tmp_path: Path) -> None:
    (tmp_path / "new.journal").write_text("mine")
    with pytest.raises(BadUsage, match="is there already"):
        rescue(path, tmp_path / "new.journal", AT)
    assert (tmp_path / "new.journal").read_text() == "mine"


def test_the_command_tells_and_a_report_says_it(
    path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    new, page = tmp_path / "new.journal", tmp_path / "page.html"
    change(path, "DELETE FROM fact WHERE n = 200")
    assert main(["rescue", "--journal", str(path), "--out", str(new)]) == 0
    assert capsys.readouterr().out == (
        f"481 lines are whole and stand in {new}; {path} was left as it is.\nLost: fact 200.\n"
    )
    assert main(["report", "--journal", str(new), "--out", str(page)]) == 0
    assert "The journal was damaged" in page.read_text()
    assert "fact 200" in page.read_text()
    assert main(["verify", str(page), "--journal", str(new)]) == 0
    # rescued once more: that is no news for a report that was written before
    again = tmp_path / "again.journal"
    change(new, "DELETE FROM fact WHERE n = 3")
    assert main(["rescue", "--journal", str(new), "--out", str(again)]) == 0
    assert main(["verify", str(page), "--journal", str(again)]) == 0
    with JournalReader.read(again) as reader:
        assert [lost for _, lost in reader.rescues()] == [("fact 200",), ("fact 3", "fact 200")]
