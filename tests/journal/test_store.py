"""The journal keeps what it was given, in order, for ever."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

from handsfree.journal.clips import read_clip
from handsfree.journal.reader import JournalReader
from handsfree.journal.store import Circumstances, Journal
from handsfree.nouns import Context, Plan, PlanSet, Quantity, RemarkKept, Took, Went, Withdrew
from tests.journal.made import RATE, Clock, heard, took


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "pass.journal"


@pytest.fixture
def journal(path: Path) -> Iterator[Journal]:
    with Journal.open(path, "upright in the hall", now=Clock()) as journal:
        yield journal


def test_what_was_appended_reads_back_in_order(journal: Journal, path: Path) -> None:
    plan = journal.append_unheard([PlanSet(Plan("every key", (1, 2, 3)))])
    first = journal.append(heard("a zero fifty two"), [took(1, "52"), Went(2)])
    second = journal.append(heard("disregard"), [Withdrew(first[0].n)])
    assert [k.n for k in (*plan, *first, *second)] == [1, 2, 3, 4]
    assert tuple(journal.facts()) == (*plan, *first, *second)
    with JournalReader.read(path) as reader:
        assert tuple(reader.facts()) == (*plan, *first, *second), "also while the writer has it open"


def test_a_fact_knows_when_and_from_which_words_it_came(journal: Journal) -> None:
    journal.append(heard("[unk]"), [])
    (kept,) = journal.append(heard("c four fifty two", seconds=0.5), [took(40, "52")])
    assert (kept.heard_n, kept.heard_text, kept.clip) == (2, "c four fifty two", "000002.flac")
    assert kept.at == "2031-05-06T09:04:00.000+00:00"


def test_half_grams_and_no_return_are_exact(journal: Journal) -> None:
    no_return = Took(1, Quantity.UP, None, took(1, "1").standing, 0.9)
    journal.append(heard("x"), [took(1, "52.50"), no_return])
    half, none = (k.fact for k in journal.facts())
    assert isinstance(half, Took)
    assert str(half.value) == "52.50"
    assert none == no_return


def test_the_clip_is_the_sound_that_was_heard(journal: Journal) -> None:
    said = heard("c four fifty two", seconds=0.5)
    (kept,) = journal.append(said, [took(40, "52")])
    assert kept.clip is not None
    assert said.utterance is not None
    assert read_clip(journal.clips_folder / kept.clip) == (said.utterance.pcm, RATE)


def test_nothing_is_recorded_while_standing_by(journal: Journal) -> None:
    journal.append(heard("[unk]", seconds=0.5, context=Context.STANDING_BY), [])
    (line,) = journal.heard_lines()
    assert line.clip is None
    assert not journal.clips_folder.exists()


def test_clips_can_be_refused(path: Path) -> None:
    with Journal.open(path, keep_clips=False) as journal:
        (kept,) = journal.append(heard("c four fifty two", seconds=0.5), [took(40, "52")])
        assert kept.clip is None
        assert not journal.clips_folder.exists()


def test_all_that_was_heard_can_be_judged_again(journal: Journal) -> None:
    lines = [heard("[unk]", seconds=0.25), heard("c four fifty two", seconds=0.5), heard("affirm")]
    for said in lines:
        journal.append(said, [])
    back = tuple(journal.heard_lines())
    assert [(b.heard.alternatives, b.heard.context, b.heard.via) for b in back] == [
        (s.alternatives, s.context, s.via) for s in lines
    ]
    assert [(b.start, b.speech_end) for b in back] == [(1.25, 1.5), (1.25, 1.75), (None, None)]


def test_the_last_sitting_is_resumed(path: Path) -> None:
    with Journal.open(
        path, "first", now=Clock(), circumstances=Circumstances("1", "m", {"weight step": "1"})
    ) as journal:
        journal.append(heard("x"), [took(1, "50")])
        opened = journal.sitting
    with Journal.open(path, now=Clock()) as journal:
        assert journal.sitting == opened
        (again,) = journal.append(heard("y"), [took(2, "51")])
        assert again.n == 2
        assert len(list(journal.facts())) == 2


def test_each_instrument_has_its_own_sittings(path: Path) -> None:
    for name, key in (("first", 1), ("second", 2), ("first", 3)):
        with Journal.open(path, name) as journal:
            journal.append(heard("x"), [took(key, "50")])
    with Journal.open(path, "first", new_sitting=True) as journal:
        assert not list(journal.facts())
    with JournalReader.read(path) as reader:
        assert [(s.id, s.instrument) for s in reader.sittings()] == [(1, "first"), (2, "second"), (3, "first")]
        assert [k.n for k in reader.facts(1)] == [1, 3]
        assert [k.n for k in reader.facts(2)] == [2]
        assert not list(reader.facts()), "the last sitting is still empty"


def test_what_was_heard_is_the_open_sitting_s_though_another_one_is_later(path: Path) -> None:
    for name in ("grand", "upright"):
        with Journal.open(path, name) as journal:
            journal.append(heard(f"at the {name}"), [took(1, "50")])
    with Journal.open(path, "grand") as journal:
        assert [line.heard.text for line in journal.heard_lines()] == ["at the grand"]
        assert [kept.heard_text for kept in journal.facts()] == ["at the grand"]


def test_a_new_sitting_keeps_the_instrument(path: Path) -> None:
    with Journal.open(path, "first"):
        pass
    with Journal.open(path, new_sitting=True) as journal:
        assert (journal.sitting.id, journal.sitting.instrument) == (2, "first")


def test_several_threads_may_append_at_once(journal: Journal) -> None:
    """The person types a remark's words while something is being said: SQLite knows one transaction a connection."""
    troubles: list[Exception] = []

    def say(first: int) -> None:
        try:
            for key in range(first, first + 20):
                journal.append(heard(f"key {key}"), [took(key, "50"), took(key, "25", Quantity.UP)])
        except Exception as trouble:
            troubles.append(trouble)

    threads = [threading.Thread(target=say, args=(first,)) for first in (1, 21, 41, 61)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert troubles == []
    facts = list(journal.facts())
    assert [kept.n for kept in facts] == list(range(1, 161))
    assert all(one.heard_n == other.heard_n for one, other in zip(facts[::2], facts[1::2], strict=True))


def test_a_remark_is_recorded_though_no_other_sound_is(path: Path) -> None:
    with Journal.open(path, keep_clips=False) as journal:
        (kept,) = journal.append(heard("[unk]", seconds=0.5, context=Context.REMARK), [RemarkKept("hammers", None)])
        assert kept.clip == "000001.flac"
        assert (journal.clips_folder / kept.clip).is_file()


def test_a_failed_append_leaves_nothing_and_takes_no_number(journal: Journal) -> None:
    journal.append(heard("x"), [took(1, "50")])
    with pytest.raises(KeyError):
        journal.append(heard("y"), [took(2, "51"), "no fact"])  # type: ignore[list-item]
    (kept,) = journal.append(heard("z"), [took(3, "52")])
    assert (kept.n, kept.heard_n) == (2, 2)
    assert [line.heard.text for line in journal.heard_lines()] == ["x", "z"]


@pytest.mark.parametrize("table", ["fact", "heard", "sitting"])
@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE {t} SET {n} = {n}",
        "UPDATE OR IGNORE {t} SET {n} = 900",
        "UPDATE OR REPLACE {t} SET {n} = 900",
        "DELETE FROM {t}",
        "INSERT INTO {t} SELECT * FROM {t} WHERE {n} = 1",
        "INSERT OR REPLACE INTO {t} SELECT * FROM {t} WHERE {n} = 1",
        "INSERT OR IGNORE INTO {t} SELECT * FROM {t} WHERE {n} = 1",
        "REPLACE INTO {t} SELECT * FROM {t} WHERE {n} = 1",
        "INSERT INTO {t} SELECT * FROM {t} WHERE {n} = 1 ON CONFLICT ({n}) DO UPDATE SET {n} = 900",
        "CREATE TEMP TABLE c AS SELECT * FROM {t}; UPDATE c SET {n} = -{n}; INSERT INTO {t} SELECT * FROM c",
        "CREATE TEMP TABLE c AS SELECT * FROM {t}; UPDATE c SET {n} = {n} + 90; INSERT INTO {t} SELECT * FROM c",
    ],
)
def test_no_program_can_change_what_is_written(path: Path, table: str, statement: str) -> None:
    with Journal.open(path, "first") as journal:
        journal.append(heard("x"), [took(1, "50")])
        journal.append(heard("y"), [took(2, "51")])
    before = dump(path)
    connection = sqlite3.connect(path)
    number = "id" if table == "sitting" else "n"
    *first, last = statement.format(t=table, n=number).split(";")
    for preparation in first:
        connection.execute(preparation)
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        connection.execute(last)
    connection.rollback()
    connection.close()
    assert dump(path) == before


def dump(path: Path) -> list[str]:
    connection = sqlite3.connect(path)
    lines = list(connection.iterdump())
    connection.close()
    return lines


def test_the_disk_is_asked_before_the_technician_is_told(journal: Journal) -> None:
    """SQLite's documentation: FULL (2) in WAL mode syncs the log at each commit, so a power cut loses nothing."""
    connection = journal._connection
    assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert connection.execute("PRAGMA synchronous").fetchone() == (2,)


@pytest.mark.parametrize("naming", ["9, NULL", "1, 9"])
def test_no_fact_names_a_sitting_or_words_that_are_not_there(journal: Journal, naming: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        journal._connection.execute(f"INSERT INTO fact VALUES (1, {naming}, '', 'went', '{{\"key\":1}}')")


def test_decimal_is_no_float_anywhere_on_disk(journal: Journal, path: Path) -> None:
    """0.1 has no exact binary form: a REAL on the way would give 0.1000000000000000055 back."""
    journal.append(heard("x"), [took(1, "0.1")])
    body = sqlite3.connect(path).execute("SELECT body, typeof(body) FROM fact").fetchone()
    assert '"value":"0.1"' in body[0]
    (kept,) = journal.facts()
    assert isinstance(kept.fact, Took)
    assert kept.fact.value == Decimal("0.1")
