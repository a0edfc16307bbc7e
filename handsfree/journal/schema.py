"""The journal's tables, append-only by schema, and the steps that bring an older file up to date.

What is written never changes: triggers refuse UPDATE and DELETE, and INSERT of any number but the next one (without
the last, INSERT OR REPLACE would overwrite a line and fire no delete trigger). They lie in the file itself, so they
hold for every program that opens it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

APPLICATION_ID = 0x68614A6F
"""Stands in the file's header: tells a journal from any other SQLite database."""


RECORD = "CREATE TABLE IF NOT EXISTS migration (version INTEGER PRIMARY KEY, at TEXT NOT NULL, what TEXT NOT NULL)"


@dataclass(frozen=True, slots=True)
class Migration:
    """One step; its number is its place in the list, from 1."""

    what: str
    statements: tuple[str, ...]


def append_only(table: str, number: str) -> tuple[str, ...]:
    """Triggers that let `table` only grow, by the next `number`."""
    return (
        f"""CREATE TRIGGER {table}_never_changes BEFORE UPDATE ON {table}
            BEGIN SELECT RAISE(ABORT, 'the journal is append-only: {table}'); END""",
        f"""CREATE TRIGGER {table}_never_shrinks BEFORE DELETE ON {table}
            BEGIN SELECT RAISE(ABORT, 'the journal is append-only: {table}'); END""",
        f"""CREATE TRIGGER {table}_numbers_only_rise BEFORE INSERT ON {table}
            WHEN NEW.{number} IS NOT (SELECT coalesce(max({number}), 0) + 1 FROM {table})
            BEGIN SELECT RAISE(ABORT, 'the journal is append-only: {table}'); END""",
    )


MIGRATIONS: tuple[Migration, ...] = (
    Migration(
        "sittings, what was heard, and the facts it became",
        (
            """CREATE TABLE sitting (
                id INTEGER PRIMARY KEY,
                instrument TEXT NOT NULL,
                opened_at TEXT NOT NULL,          -- RFC 3339 with offset
                app TEXT NOT NULL,                -- version of handsfree
                model TEXT NOT NULL,              -- name and checksum of the recogniser's model
                settings TEXT NOT NULL CHECK (json_valid(settings))
            ) STRICT""",
            """CREATE TABLE heard (
                n INTEGER PRIMARY KEY,
                sitting INTEGER NOT NULL REFERENCES sitting (id),
                at TEXT NOT NULL,
                context TEXT NOT NULL,
                via TEXT NOT NULL CHECK (via IN ('voice', 'keyboard')),
                alternatives TEXT NOT NULL CHECK (json_valid(alternatives)),
                start REAL,                       -- seconds since listening began
                speech_end REAL,
                clip TEXT                         -- file name in the folder of clips
            ) STRICT""",
            """CREATE TABLE fact (
                n INTEGER PRIMARY KEY,
                sitting INTEGER NOT NULL REFERENCES sitting (id),
                heard_n INTEGER REFERENCES heard (n),
                at TEXT NOT NULL,
                kind TEXT NOT NULL,
                body TEXT NOT NULL CHECK (json_valid(body))
            ) STRICT""",
            "CREATE INDEX fact_by_sitting ON fact (sitting, n)",
            "CREATE INDEX heard_by_sitting ON heard (sitting, n)",
            *append_only("sitting", "id"),
            *append_only("heard", "n"),
            *append_only("fact", "n"),
        ),
    ),
)

LATEST = len(MIGRATIONS)


def version_of(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def is_journal(connection: sqlite3.Connection) -> bool:
    """Whether the file is a journal, or still empty."""
    application = int(connection.execute("PRAGMA application_id").fetchone()[0])
    empty = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0] == 0
    return application == APPLICATION_ID or (application == 0 and empty)


def migrate(connection: sqlite3.Connection, at: str, migrations: Sequence[Migration] = MIGRATIONS) -> tuple[str, ...]:
    """Take the steps still missing, each one with its record in one transaction; return what they were.

    `connection` must be in autocommit mode (isolation_level None). A step that fails leaves the file as it was.
    """
    done = []
    for version, migration in enumerate(migrations, start=1):
        if version <= version_of(connection):
            continue
        connection.execute("BEGIN IMMEDIATE")
        try:
            for statement in migration.statements:
                connection.execute(statement)
            connection.execute(RECORD)
            connection.execute("INSERT INTO migration VALUES (?, ?, ?)", (version, at, migration.what))
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {version}")
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise
        done.append(migration.what)
    return tuple(done)
