"""When the disk, the file or another program is the trouble: a clear error, and nothing lost."""

from __future__ import annotations

import errno
import os
import re
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from handsfree.errors import DiskTrouble, JournalBusy, JournalUnreadable
from handsfree.journal import clips, lock
from handsfree.journal.reader import JournalReader
from handsfree.journal.store import Journal
from tests.journal import disks
from tests.journal.made import heard, took


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "pass.journal"


def filled(path: Path, readings: int = 5) -> Path:
    with Journal.open(path, "first") as journal:
        for key in range(1, readings + 1):
            journal.append(heard(f"key {key}"), [took(key, "50")])
    return path


def test_no_journal_to_read(path: Path) -> None:
    with pytest.raises(JournalUnreadable, match=r"there is no journal .*Check the name"):
        JournalReader.read(path)


def test_no_such_folder(tmp_path: Path) -> None:
    with pytest.raises(DiskTrouble, match=r"there is no folder .*nowhere\. Make it"):
        Journal.open(tmp_path / "nowhere" / "pass.journal")


def test_a_folder_is_no_journal(tmp_path: Path) -> None:
    with pytest.raises(JournalUnreadable, match="is a folder, not a journal"):
        Journal.open(tmp_path)
    assert not tmp_path.with_name(tmp_path.name + ".lock").exists()


@pytest.mark.parametrize("name", ["a b", "50%41", "what?.journal", "no#1", "Flügel", "it's", "-"])
def test_any_file_name_will_do(tmp_path: Path, name: str) -> None:
    path = filled(tmp_path / name)
    assert path.is_file()
    with JournalReader.read(path) as reader:
        assert len(list(reader.facts())) == 5
    assert [p.name for p in tmp_path.iterdir()] == [name]


@pytest.mark.parametrize("content", [b"not a database at all, but a longer text " * 50, b"\x00" * 5000])
def test_not_a_database(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    with pytest.raises(JournalUnreadable, match="damaged or no journal"):
        Journal.open(path)
    with pytest.raises(JournalUnreadable, match="damaged or no journal"):
        JournalReader.read(path)
    assert path.read_bytes() == content, "whatever it is, it is left as it was"


def test_another_program_s_database(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE recipes (name TEXT)")
    connection.close()
    before = path.read_bytes()
    with pytest.raises(JournalUnreadable, match="a database, but no journal"):
        Journal.open(path)
    assert path.read_bytes() == before


def test_from_a_newer_handsfree(path: Path) -> None:
    filled(path)
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA user_version = 99")
    connection.close()
    before = path.read_bytes()
    for way in (Journal.open, JournalReader.read):
        with pytest.raises(JournalUnreadable, match=r"newer handsfree \(schema 99.*Update handsfree"):
            way(path)
    assert path.read_bytes() == before


def test_a_damaged_page_is_noticed_at_once(path: Path) -> None:
    filled(path, 200)
    content = bytearray(path.read_bytes())
    content[-3000:-100] = b"\xff" * 2900
    path.write_bytes(content)
    with pytest.raises(JournalUnreadable, match=r"damaged.*handsfree rescue"):
        Journal.open(path)


def test_a_fact_that_makes_no_sense_is_named(path: Path) -> None:
    filled(path)
    connection = sqlite3.connect(path)
    connection.execute("INSERT INTO fact SELECT 6, sitting, NULL, at, 'guessed', body FROM fact WHERE n = 5")
    connection.commit()
    connection.close()
    with JournalReader.read(path) as reader, pytest.raises(JournalUnreadable, match=r"fact 6 in .* makes no sense"):
        list(reader.facts())


def test_a_reader_changes_nothing(path: Path) -> None:
    filled(path)
    with JournalReader.read(path) as reader, pytest.raises(sqlite3.OperationalError, match="readonly"):
        reader._connection.execute("INSERT INTO sitting VALUES (2, '', '', '', '', '{}')")


def test_one_writer_a_journal(path: Path) -> None:
    with Journal.open(path, "first") as journal:
        with pytest.raises(JournalBusy, match=r"in use by another handsfree\. Close that one"):
            Journal.open(path)
        journal.append(heard("x"), [took(1, "50")])
    with Journal.open(path) as journal:
        assert len(list(journal.facts())) == 1
    assert not path.with_name(path.name + ".lock").exists()


def test_a_writer_that_was_killed_blocks_nobody(path: Path) -> None:
    holder = (
        "import sys, time\nfrom pathlib import Path\nfrom handsfree.journal.store import Journal\n"
        "journal = Journal.open(Path(sys.argv[1]))\nprint('held', flush=True)\ntime.sleep(60)\n"
    )
    with subprocess.Popen([sys.executable, "-c", holder, str(path)], stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        process.stdout.readline()
        with pytest.raises(JournalBusy):
            Journal.open(path)
        process.kill()
        process.wait()
        with Journal.open(path) as journal:
            journal.append(heard("x"), [took(1, "50")])


@pytest.mark.skipif(sys.platform == "win32", reason="Windows removes no lock file that is open")
def test_a_lock_file_removed_while_it_is_opened_is_not_held(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file without a name is held by nobody else: two would write."""
    take, removed = lock._take, list[Path]()

    def late(handle: int) -> None:
        if not removed:
            removed.append(path.with_name(path.name + ".lock"))
            removed[0].unlink()
        take(handle)

    monkeypatch.setattr(lock, "_take", late)
    with Journal.open(path), pytest.raises(JournalBusy):
        Journal.open(path)


def test_a_broken_opening_lets_the_lock_go(path: Path) -> None:
    path.write_bytes(b"x" * 5000)
    for _ in range(2):
        with pytest.raises(JournalUnreadable):
            Journal.open(path)
    path.unlink()
    with Journal.open(path):
        pass


# ---------------------------------------------------------------- disks


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    with disks.small_disk(tmp_path / "small") as folder:
        yield folder


def append_until_full(journal: Journal) -> tuple[list[int], str]:
    """Numbers of the facts that were confirmed before the disk was full, and the message then."""
    confirmed: list[int] = []
    for _ in range(10_000):
        try:
            confirmed += [k.n for k in journal.append(heard("c four fifty two"), [took(40, "52")])]
        except DiskTrouble as trouble:
            return confirmed, str(trouble)
    pytest.fail("the disk never was full")


def test_a_full_disk_loses_nothing_and_goes_on_when_it_is_freed(small_disk: Path) -> None:
    path = filled(small_disk / "pass.journal")
    with Journal.open(path) as journal:
        filler = disks.fill(small_disk, leave=200_000)
        confirmed, message = append_until_full(journal)
        assert re.search(r"the disk is full.*Free some", message)
        assert confirmed == list(range(6, 6 + len(confirmed)))
        assert len(confirmed) > 10
        assert [k.n for k in journal.facts()] == [1, 2, 3, 4, 5, *confirmed]
        filler.unlink()
        (kept,) = journal.append(heard("again"), [took(41, "53")])
        assert kept.n == confirmed[-1] + 1
    with Journal.open(path) as journal:
        assert [k.n for k in journal.facts()] == list(range(1, kept.n + 1))


def test_a_process_that_ends_on_a_full_disk_has_lost_nothing(small_disk: Path) -> None:
    path = filled(small_disk / "pass.journal")
    with Journal.open(path) as journal:
        filler = disks.fill(small_disk, leave=200_000)
        confirmed, _ = append_until_full(journal)
    filler.unlink()
    with Journal.open(path) as journal:
        assert [k.n for k in journal.facts()] == [1, 2, 3, 4, 5, *confirmed]


def test_sound_gives_way_before_readings_do(small_disk: Path) -> None:
    with Journal.open(small_disk / "pass.journal") as journal:
        (kept,) = journal.append(heard("a", seconds=0.5), [took(1, "50")])
        assert (kept.clip, journal.trouble) == ("000001.flac", "")
        filler = disks.fill(small_disk, leave=clips.KEPT_FREE - 20_000)
        (kept,) = journal.append(heard("b", seconds=0.5), [took(1, "50")])
        assert kept.clip is None
        assert journal.trouble.startswith("sound not kept (the disk is nearly full), readings are.")
        assert [p.name for p in journal.clips_folder.iterdir()] == ["000001.flac"]
        filler.unlink()
        (kept,) = journal.append(heard("c", seconds=0.5), [took(1, "50")])
        assert (kept.clip, journal.trouble) == ("000003.flac", "")


def test_a_clip_that_cannot_be_written_costs_no_reading(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.clips_folder.write_text("something else of that name")
        (kept,) = journal.append(heard("a", seconds=0.5), [took(1, "50")])
        assert kept.clip is None
        assert "sound not kept (File exists)" in journal.trouble
        assert list(journal.facts()) == [kept]


def test_a_full_disk_has_no_room_for_a_new_journal(small_disk: Path) -> None:
    filler = disks.fill(small_disk, leave=0)
    with pytest.raises(DiskTrouble):
        Journal.open(small_disk / "pass.journal")
    filler.unlink()
    with Journal.open(small_disk / "pass.journal"):
        pass


def test_a_read_only_disk(small_disk: Path) -> None:
    path = filled(small_disk / "pass.journal")
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with pytest.raises(DiskTrouble, match=r"cannot write beside .*Read-only.*Choose a folder"):
        Journal.open(path)
    with JournalReader.read(path) as reader:
        assert len(list(reader.facts())) == 5, "it can still be read and exported"
    with pytest.raises(DiskTrouble, match="cannot write beside"):
        Journal.open(small_disk / "new.journal")


def test_what_a_killed_writer_left_in_the_log_is_read_on_a_read_only_disk_too(
    path: Path, tmp_path: Path, small_disk: Path
) -> None:
    with Journal.open(path, "first") as journal:
        for key in range(1, 6):
            journal.append(heard(f"key {key}"), [took(key, "50")])
        for suffix in ("", "-wal"):
            shutil.copy(f"{path}{suffix}", small_disk)
    assert (small_disk / f"{path.name}-wal").stat().st_size > 0
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with JournalReader.read(small_disk / path.name) as reader:
        assert len(list(reader.facts())) == 5


def test_a_folder_without_the_right_to_write(tmp_path: Path) -> None:
    if os.name != "posix" or os.geteuid() == 0:
        pytest.skip("root may write anywhere: the read-only disk stands for this one")
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(DiskTrouble, match="cannot write beside"):
            Journal.open(tmp_path / "pass.journal")
    finally:
        tmp_path.chmod(0o700)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows writes a file's name with the file")
def test_a_clip_and_its_name_are_on_disk_before_the_line_that_names_it(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """POSIX fsync(2): a file's name is on disk only once its folder was synced, too."""
    done: list[str] = []
    fsync, replace = os.fsync, os.replace

    def synced(handle: int) -> None:
        done.append("sync " + Path(os.readlink(f"/proc/self/fd/{handle}")).name)
        fsync(handle)

    def renamed(one: Path, other: Path) -> None:
        done.append(f"name {other.name}")
        replace(one, other)

    if not Path("/proc/self/fd").is_dir():
        pytest.skip("needs Linux, to see which file is synced")
    with Journal.open(path) as journal:
        monkeypatch.setattr(os, "fsync", synced)
        monkeypatch.setattr(os, "replace", renamed)
        journal.append(heard("a", seconds=0.5), [took(1, "50")])
        folder = journal.clips_folder
    assert done == [f"sync {path.parent.name}", "sync 000001.flac.half", "name 000001.flac", f"sync {folder.name}"]


def test_a_clip_whose_name_cannot_be_synced_leaves_nothing_behind(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Journal.open(path) as journal:
        journal.append(heard("a", seconds=0.5), [took(1, "50")])
        monkeypatch.setattr(clips, "_names_on_disk", _no_space)
        (kept,) = journal.append(heard("b", seconds=0.5), [took(2, "51")])
        assert (kept.clip, "No space left" in journal.trouble) == (None, True)
        assert [p.name for p in journal.clips_folder.iterdir()] == ["000001.flac"]


def _no_space(*_: object) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_while_another_program_holds_the_file_nothing_is_kept_and_then_all_is(path: Path) -> None:
    """SQLite's own lock, as any program takes it that writes into the file."""
    other = sqlite3.connect(path, isolation_level=None)
    with Journal.open(path) as journal:
        journal._connection.execute("PRAGMA busy_timeout = 0")
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(JournalBusy, match=r"in use by another program\. Close that one"):
            journal.append(heard("x", seconds=0.5), [took(1, "50")])
        other.execute("ROLLBACK")
        assert list(journal.facts()) == []
        (kept,) = journal.append(heard("x", seconds=0.5), [took(1, "50")])
        assert (kept.n, kept.clip) == (1, "000001.flac")
    other.close()
