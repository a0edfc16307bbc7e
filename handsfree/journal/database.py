"""Opening the SQLite file of a journal, and SQLite's errors as ours."""

from __future__ import annotations

import contextlib
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path

from handsfree.errors import DiskTrouble, JournalBusy, JournalUnreadable
from handsfree.journal import schema

RESCUE = "Save what is whole with: handsfree rescue --journal FILE --out NEW, or name another file with --journal."


def connected(path: Path, mode: str) -> sqlite3.Connection:
    """`mode` is SQLite's: "ro", "rw" or "rwc"."""
    return sqlite3.connect(
        f"{path.resolve().as_uri()}?mode={mode}", uri=True, isolation_level=None, check_same_thread=False, timeout=5
    )


def connected_to_read(path: Path) -> sqlite3.Connection:
    """Changes nothing. Where nothing can be written beside the journal (a read-only disk), a copy of it in memory."""
    # opened for writing, since only then does SQLite remove its own two files beside the journal at the end
    connection = connected(path, "rw")
    try:
        connection.execute("PRAGMA query_only = ON")
        connection.execute("PRAGMA user_version")
    except sqlite3.OperationalError as error:
        connection.close()
        if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_CANTOPEN:
            raise
        return _copied(path)
    return connection


def _copied(path: Path) -> sqlite3.Connection:
    """With what a killed writer left in the log beside it."""
    with tempfile.TemporaryDirectory() as folder:
        for suffix in ("", "-wal"):
            source = path.with_name(path.name + suffix)
            if source.exists():
                shutil.copyfile(source, Path(folder) / ("copy" + suffix))
        copy = connected(Path(folder) / "copy", "rw")
        memory = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
        with contextlib.closing(copy):
            copy.backup(memory)
    return memory


def understood(path: Path, connection: sqlite3.Connection) -> int:
    """The schema's version, of a sound file that is a journal or still empty."""
    if not schema.is_journal(connection):
        raise JournalUnreadable(f"{path} is a database, but no journal", do="Name another file with --journal.")
    version = schema.version_of(connection)
    if version > schema.LATEST:
        raise JournalUnreadable(
            f"{path} was written by a newer handsfree (schema {version}, this one knows {schema.LATEST})",
            do="Update handsfree, or name another file with --journal.",
        )
    found = connection.execute("PRAGMA quick_check(1)").fetchone()[0]
    if found != "ok":
        raise JournalUnreadable(f"{path} is damaged ({found.splitlines()[-1]})", do=RESCUE)
    return version


@contextlib.contextmanager
def closed_on_failure(connection: sqlite3.Connection) -> Iterator[None]:
    try:
        yield
    except BaseException:
        connection.close()
        raise


@contextlib.contextmanager
def translated(path: Path) -> Iterator[None]:
    """SQLite's errors as ours."""
    try:
        yield
    except sqlite3.Error as error:
        primary = getattr(error, "sqlite_errorcode", 0) & 0xFF
        if primary in (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT):
            raise JournalUnreadable(f"{path} is damaged or no journal ({error})", do=RESCUE) from error
        if primary in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            raise JournalBusy(f"{path} is in use by another program", do="Close that one first.") from error
        if primary == sqlite3.SQLITE_FULL:
            raise DiskTrouble(
                f"the disk is full, {path} keeps nothing more", do="Free some, then say it again."
            ) from error
        if primary in (sqlite3.SQLITE_IOERR, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
            raise DiskTrouble(
                f"cannot write or read {path} ({error})", do="Check the disk, or name another file with --journal."
            ) from error
        raise
