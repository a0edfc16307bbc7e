"""The journal on disk: append, and read back what `JournalReader` reads.

A reading is confirmed to the technician only after `append` has returned, and `append` returns only when what was
heard and what it became are on disk, in one transaction. Killed at any moment, nothing that was confirmed is lost.
"""

from __future__ import annotations

import contextlib
import json
import sqlite3
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from handsfree.errors import DiskTrouble, JournalUnreadable
from handsfree.journal import clips, facts_json, schema
from handsfree.journal.database import closed_on_failure, connected, translated, understood
from handsfree.journal.lock import JournalLock
from handsfree.journal.reader import JournalReader
from handsfree.nouns import Context, Fact, Heard, Kept, RemarkKept, Sitting


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What a new sitting records about itself."""

    app: str = ""
    model: str = ""
    settings: Mapping[str, str] = field(default_factory=dict)


def local_time() -> datetime:
    return datetime.now().astimezone()


class Journal(JournalReader):
    """The one writer of a journal, in one sitting of it."""

    sitting: Sitting
    trouble: str
    """One line for the person, when a clip could not be kept ("" = none); the reading always is."""
    last_at: str
    """When the last thing was kept, RFC 3339; "" when nothing has been yet."""

    def __init__(self, path: Path, connection: sqlite3.Connection, lock: JournalLock) -> None:
        """Use `open`."""
        super().__init__(path, connection)
        self.trouble = ""
        self.last_at = ""
        self._lock = lock
        self._turn = threading.Lock()
        self._now: Callable[[], datetime] = local_time
        self._keep_clips = True

    @classmethod
    def open(
        cls,
        path: Path,
        instrument: str | None = None,
        *,
        now: Callable[[], datetime] = local_time,
        new_sitting: bool = False,
        circumstances: Circumstances = Circumstances(),
        keep_clips: bool = True,
    ) -> Journal:
        """Open or make the journal at `path` and resume its last sitting, or the last one of `instrument`.

        A new sitting is opened where there is none, or with `new_sitting`. `now` must give times with an offset.
        Raises JournalUnreadable, JournalBusy, DiskTrouble.
        """
        if not path.parent.is_dir():
            raise DiskTrouble(f"there is no folder {path.parent}", do="Make it, or name another file with --journal.")
        if path.is_dir():
            raise JournalUnreadable(f"{path} is a folder, not a journal", do="Name a file in it with --journal.")
        lock = JournalLock(path)
        try:
            with translated(path):
                connection = connected(path, "rwc")
                with closed_on_failure(connection):
                    understood(path, connection)
                    connection.execute("PRAGMA journal_mode = WAL")
                    connection.execute("PRAGMA synchronous = FULL")
                    connection.execute("PRAGMA foreign_keys = ON")
                    schema.migrate(connection, _rfc3339(now()))
            journal = cls(path, connection, lock)
            journal._now = now
            journal._keep_clips = keep_clips
            with closed_on_failure(connection):
                journal.sitting = journal._resumed(instrument, new_sitting, circumstances)
                journal._usual = journal.sitting.id
        except BaseException:
            lock.release()
            raise
        return journal

    def __enter__(self) -> Journal:
        return self

    def close(self) -> None:
        super().close()
        self._lock.release()

    def append(self, heard: Heard, facts: Sequence[Fact]) -> tuple[Kept, ...]:
        """Keep what was heard and what it became: both are on disk when this returns.

        Raises DiskTrouble or JournalBusy (another program holds the file) when it cannot be kept; then nothing of it
        is, and the next call may succeed.
        """
        with self._turn, translated(self.path), self._transaction() as at:
            n = self._next("heard")
            clip = self._kept_clip(n, heard, asked_for=any(isinstance(f, RemarkKept) for f in facts))
            utterance = heard.utterance
            self._connection.execute(
                "INSERT INTO heard VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                (
                    n,
                    self.sitting.id,
                    at,
                    heard.context.value,
                    heard.via,
                    facts_json.alternatives_to_json(heard.alternatives),
                    utterance.start if utterance else None,
                    utterance.speech_end if utterance else None,
                    clip,
                ),
            )
            return self._insert(at, facts, n, heard.text, clip)

    def append_unheard(self, facts: Sequence[Fact]) -> tuple[Kept, ...]:
        """Keep facts that nobody said, such as a plan from the command line."""
        with self._turn, translated(self.path), self._transaction() as at:
            return self._insert(at, facts, None, "", None)

    def _insert(
        self, at: str, facts: Sequence[Fact], heard_n: int | None, heard_text: str, clip: str | None
    ) -> tuple[Kept, ...]:
        first = self._next("fact")
        kept = tuple(Kept(n, at, heard_n, heard_text, clip, fact) for n, fact in enumerate(facts, start=first))
        self._connection.executemany(
            "INSERT INTO fact VALUES (?, ?, ?, ?, ?, ?)",
            [(k.n, self.sitting.id, heard_n, at, *facts_json.fact_to_json(k.fact)) for k in kept],
        )
        return kept

    def _kept_clip(self, n: int, heard: Heard, *, asked_for: bool) -> str | None:
        """Write the sound before the line that names it. While standing by, talk is nobody's business; a remark was
        asked to be recorded, and is so even where no other sound is kept."""
        if heard.utterance is None or heard.context is Context.STANDING_BY:
            return None
        if not (self._keep_clips or asked_for):
            return None
        name = f"{n:06d}.flac"
        try:
            clips.write_clip(self.clips_folder, name, heard.utterance)
        except OSError as error:
            reason = error.strerror or str(error)
            self.trouble = f"sound not kept ({reason}), readings are. Free some space on the disk."
            return None
        self.trouble = ""
        return name

    def _resumed(self, instrument: str | None, new: bool, circumstances: Circumstances) -> Sitting:
        wanted = [s for s in self.sittings() if instrument is None or s.instrument == instrument]
        if wanted and not new:
            return wanted[-1]
        with translated(self.path), self._transaction() as at:
            sitting = Sitting(
                self._next("sitting", "id"),
                instrument or (wanted[-1].instrument if wanted else ""),
                at,
                circumstances.app,
                circumstances.model,
                dict(circumstances.settings),
            )
            self._connection.execute(
                "INSERT INTO sitting VALUES (?, ?, ?, ?, ?, ?)",
                (
                    sitting.id,
                    sitting.instrument,
                    sitting.opened_at,
                    sitting.app,
                    sitting.model,
                    json.dumps(dict(sitting.settings)),
                ),
            )
        return sitting

    def _next(self, table: str, number: str = "n") -> int:
        last = self._connection.execute(f"SELECT coalesce(max({number}), 0) FROM {table}").fetchone()[0]
        return int(last) + 1

    @contextlib.contextmanager
    def _transaction(self) -> Iterator[str]:
        """Gives its time, RFC 3339."""
        at = _rfc3339(self._now())
        self._connection.execute("BEGIN IMMEDIATE")
        try:
            yield at
            self._connection.execute("COMMIT")
            self.last_at = at
        except BaseException:
            # a full disk may have rolled it back already
            if self._connection.in_transaction:
                self._connection.execute("ROLLBACK")
            raise


def _rfc3339(moment: datetime) -> str:
    if moment.tzinfo is None:
        raise ValueError("a time without offset")
    return moment.isoformat(timespec="milliseconds")
