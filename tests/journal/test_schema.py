"""An older journal is brought up to date, step by step, and a step that fails leaves it as it was."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from handsfree.journal import schema
from handsfree.journal.store import Journal
from tests.journal.made import heard, took

AT = "2031-05-06T09:00:00+00:00"
TOMORROW = (
    *schema.MIGRATIONS,
    schema.Migration("remarks", ("CREATE TABLE remark (n INTEGER PRIMARY KEY, words TEXT NOT NULL) STRICT",)),
    schema.Migration("the weather", ("ALTER TABLE remark ADD COLUMN weather TEXT",)),
)
BROKEN = (*TOMORROW[:-1], schema.Migration("a slip", ("CREATE TABLE half (n INTEGER)", "ALTER TABLE nowhere ADD x")))


@pytest.fixture
def connection(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    """Of a journal of today, with two readings in it."""
    path = tmp_path / "pass.journal"
    with Journal.open(path, "first") as journal:
        journal.append(heard("x"), [took(1, "50"), took(2, "51")])
    connection = sqlite3.connect(path, isolation_level=None)
    yield connection
    connection.close()


def tables(connection: sqlite3.Connection) -> set[str]:
    return {name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}


def test_each_step_is_taken_once_and_recorded(connection: sqlite3.Connection) -> None:
    facts = connection.execute("SELECT * FROM fact").fetchall()
    assert schema.migrate(connection, AT, TOMORROW) == ("remarks", "the weather")
    assert schema.migrate(connection, AT, TOMORROW) == ()
    assert schema.version_of(connection) == 3
    record = connection.execute("SELECT version, what FROM migration ORDER BY version").fetchall()
    assert record == [(1, schema.MIGRATIONS[0].what), (2, "remarks"), (3, "the weather")]
    assert connection.execute("SELECT * FROM fact").fetchall() == facts


def test_a_step_that_fails_leaves_the_one_before(connection: sqlite3.Connection) -> None:
    with pytest.raises(sqlite3.OperationalError, match="nowhere"):
        schema.migrate(connection, AT, BROKEN)
    assert schema.version_of(connection) == 2
    assert connection.execute("SELECT max(version) FROM migration").fetchone() == (2,)
    assert "half" not in tables(connection)
    assert schema.migrate(connection, AT, TOMORROW) == ("the weather",), "mended, it goes on"


def test_an_empty_file_becomes_a_journal(tmp_path: Path) -> None:
    path = tmp_path / "empty.journal"
    path.touch()
    with Journal.open(path) as journal:
        journal.append(heard("x"), [took(1, "50")])
        assert len(list(journal.facts())) == 1


def test_the_newest_step_is_the_version_of_a_fresh_journal(connection: sqlite3.Connection) -> None:
    assert schema.version_of(connection) == schema.LATEST == len(schema.MIGRATIONS)
    assert connection.execute("PRAGMA application_id").fetchone() == (schema.APPLICATION_ID,)
