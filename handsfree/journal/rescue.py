"""A damaged journal's good lines, in a new journal; the damaged one stays as it is.

Lines are read one by one, by their numbers: what a damaged index or page makes unreadable is left out and named, and
all else is kept under its own number, so what names another line still does. That and what is lost is written down
in the new journal, for a report to say.
"""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

from handsfree.errors import BadUsage, DiskTrouble, JournalUnreadable
from handsfree.journal import schema
from handsfree.journal.clips import clips_folder
from handsfree.journal.database import connected, translated
from handsfree.journal.facts_json import alternatives_from_json, fact_from_json
from handsfree.journal.lock import JournalLock
from handsfree.nouns import Context

Row = tuple[Any, ...]
END = 10_000
"""So many numbers in a row without a line: there are no more. A page that leads to others may hide thousands."""
SITTING, HEARD, FACT = "sitting", "heard", "fact"
NUMBERS = {SITTING: "id", HEARD: "n", FACT: "n"}
"""Table -> its column of numbers, in the order in which the tables name each other."""
NAMES = {SITTING: "sitting", HEARD: "heard line", FACT: "fact"}


@dataclass(frozen=True, slots=True)
class Rescued:
    kept: int
    """Lines of all tables that are in the new journal."""
    lost: tuple[str, ...]
    """What is not, or not whole: "fact 17", "facts 20 to 31", "fact 161 and all after it", "the words of fact 12"."""


def rescue(path: Path, new: Path, at: str) -> Rescued:
    """Write what is whole of the journal at `path` to `new`, which must not be there yet; `at`: now, RFC 3339.

    Raises BadUsage, JournalUnreadable where nothing can be read, JournalBusy, DiskTrouble; then nothing of `new` is
    left, so that the same may be tried again.
    """
    if not path.is_file():
        raise JournalUnreadable(f"there is no journal {path}", do="Check the name given with --journal.")
    for there in (new, clips_folder(new)):
        if there.exists():
            raise BadUsage(f"{there} is there already", do="Name a new file with --out.")
    half = new.with_name(new.name + ".half")
    try:
        with _copy(path) as damaged, translated(new), contextlib.closing(connected(half, "rwc")) as connection:
            rescued = _moved(path, damaged, connection, at)
        lost = (*rescued.lost, *_clips_copied(clips_folder(path), clips_folder(new)))
        os.replace(half, new)
    except BaseException as error:
        shutil.rmtree(clips_folder(new), ignore_errors=True)
        if isinstance(error, OSError):
            what = f"cannot copy {path} to {new} ({error.strerror or error})"
            raise DiskTrouble(what, do="Free some space, or choose another file or folder.") from error
        raise
    finally:
        half.unlink(missing_ok=True)
    return Rescued(rescued.kept, lost)


@contextlib.contextmanager
def _copy(path: Path) -> Iterator[sqlite3.Connection]:
    """Of the file and of what a killed writer left in the log beside it: SQLite may write into what it opens."""
    with tempfile.TemporaryDirectory() as folder:
        with _nobody_writes(path):
            for suffix in ("", "-wal"):
                source = path.with_name(path.name + suffix)
                if source.exists():
                    shutil.copyfile(source, Path(folder) / ("copy" + suffix))
        with contextlib.closing(connected(Path(folder) / "copy", "rw")) as connection:
            yield connection


@contextlib.contextmanager
def _nobody_writes(path: Path) -> Iterator[None]:
    try:
        lock = JournalLock(path)
    except DiskTrouble:  # where no lock can be written, no journal can
        yield
        return
    try:
        yield
    finally:
        lock.release()


def _moved(path: Path, damaged: sqlite3.Connection, new: sqlite3.Connection, at: str) -> Rescued:
    schema.migrate(new, at)
    new.execute("BEGIN IMMEDIATE")
    triggers = new.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in triggers:  # numbers may be missing now; later ones follow the last again
        new.execute(f"DROP TRIGGER {name}")
    kept: dict[str, set[int]] = {}
    lost: list[str] = []
    for table in NUMBERS:
        good, bad = _read(damaged, table)
        rows = [_without_lost_words(row, kept[HEARD]) for row in good] if table is FACT else good
        lost += _named("the words of fact", [a[0] for a, b in zip(good, rows, strict=True) if a != b])
        if table is not SITTING:
            _stand_ins(new, rows, kept[SITTING], lost)
        lost += bad
        for row in rows:
            new.execute(f"INSERT INTO {table} VALUES ({', '.join('?' * len(row))})", row)
        kept[table] = {row[0] for row in rows}
    if not any(kept.values()):
        raise JournalUnreadable(
            f"nothing of {path} can be read", do=f"Its sound, if any, lies in {clips_folder(path)}; keep both."
        )
    for _, sql in triggers:
        new.execute(sql)
    for n, (when, what) in enumerate([*_records(damaged), (at, json.dumps(lost))], start=1):
        new.execute("INSERT INTO migration VALUES (?, ?, ?)", (-n, when, what))
    new.execute("COMMIT")
    return Rescued(sum(map(len, kept.values())), tuple(lost))


def _read(damaged: sqlite3.Connection, table: str) -> tuple[list[Row], list[str]]:
    """The lines that are whole, and names of those that are not."""
    good: list[Row] = []
    bad: list[int] = []
    n, last, broken = 0, 0, False
    while n < last + END:
        n += 1
        try:
            row = damaged.execute(f"SELECT * FROM {table} WHERE {NUMBERS[table]} = ?", (n,)).fetchone()
            if row is None:
                bad.append(n)
                continue
            last, broken = n, False
            CHECKS[table](row)
            good.append(row)
        except (sqlite3.Error, ValueError):
            broken = broken or n > last
            bad.append(n)
    lost = [*_named(NAMES[table], [n for n in bad if n <= last])]
    return good, [*lost, *([f"{NAMES[table]} {last + 1} and all after it"] if broken else [])]


def _named(what: str, numbers: list[int]) -> Iterator[str]:
    """ "fact 3", "facts 7 to 12"; `numbers` rise."""
    for _, group in groupby(enumerate(numbers), key=lambda pair: pair[1] - pair[0]):
        first, *more = (n for _, n in group)
        yield f"{what}s {first} to {more[-1]}" if more else f"{what} {first}"


def _check_sitting(row: Row) -> None:
    if not isinstance(json.loads(row[5]), dict):
        raise ValueError("no settings")


def _check_heard(row: Row) -> None:
    alternatives_from_json(row[5])
    Context(row[3])
    if row[4] not in ("voice", "keyboard"):
        raise ValueError(f"heard by {row[4]!r}")


def _check_fact(row: Row) -> None:
    fact_from_json(row[4], row[5])


CHECKS: dict[str, Callable[[Row], None]] = {SITTING: _check_sitting, HEARD: _check_heard, FACT: _check_fact}


def _without_lost_words(fact: Row, heard: set[int]) -> Row:
    return fact if fact[2] is None or fact[2] in heard else (*fact[:2], None, *fact[3:])


def _stand_ins(new: sqlite3.Connection, rows: Sequence[Row], sittings: set[int], lost: list[str]) -> None:
    """A sitting without a name for lines whose own is lost."""
    for _, sitting, *rest in rows:
        if sitting not in sittings:
            opened_at = next(value for value in rest if isinstance(value, str))
            new.execute("INSERT INTO sitting VALUES (?, '', ?, '', '', '{}')", (sitting, opened_at))
            sittings.add(sitting)
            lost.append(f"name and settings of sitting {sitting}")


def _records(damaged: sqlite3.Connection) -> list[tuple[str, str]]:
    """Of earlier rescues."""
    try:
        return damaged.execute("SELECT at, what FROM migration WHERE version < 0 ORDER BY version DESC").fetchall()
    except sqlite3.Error:
        return []


def _clips_copied(old: Path, new: Path) -> Iterator[str]:
    """Names what could not be read; not being able to write is an OSError all the same."""
    if not old.is_dir():
        return
    new.mkdir()
    for clip in sorted(old.iterdir()):
        try:
            content = clip.read_bytes()
        except OSError:
            yield f"sound {clip.name}"
            continue
        (new / clip.name).write_bytes(content)
