"""Reading a journal back, also while another handsfree writes it."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from handsfree.errors import JournalUnreadable
from handsfree.journal import clips, facts_json, schema
from handsfree.journal.database import RESCUE, closed_on_failure, connected_to_read, translated, understood
from handsfree.nouns import Context, Heard, Kept, Sitting


@dataclass(frozen=True, slots=True)
class HeardLine:
    """One line of what was heard, to be judged again."""

    n: int
    at: str
    heard: Heard
    """Without its sound; see `clip`."""
    start: float | None
    """Seconds since listening began."""
    speech_end: float | None
    clip: str | None


@dataclass(frozen=True, slots=True)
class _FactRow:
    """A fact as it is stored."""

    n: int
    at: str
    heard_n: int | None
    heard: str
    clip: str | None
    kind: str
    body: str


class JournalReader:
    """What the journal says; changes nothing."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self.clips_folder = clips.clips_folder(path)
        self._connection = connection
        self._usual: int | None = None
        """The sitting that is meant when none is named; None: the last one."""

    @classmethod
    def read(cls, path: Path) -> JournalReader:
        """Raises JournalUnreadable when there is none, or none that this version understands."""
        if not path.is_file():
            raise JournalUnreadable(f"there is no journal {path}", do="Check the name given with --journal.")
        with translated(path):
            connection = connected_to_read(path)
            with closed_on_failure(connection):
                version = understood(path, connection)
                if version < schema.LATEST:
                    raise JournalUnreadable(
                        f"{path} is empty or from an older version", do="Open it once with: handsfree --journal FILE."
                    )
        return cls(path, connection)

    def __enter__(self) -> JournalReader:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        self._connection.close()

    def sittings(self) -> tuple[Sitting, ...]:
        """All of them, oldest first."""
        rows = self._rows("SELECT id, instrument, opened_at, app, model, settings FROM sitting ORDER BY id")
        return tuple(Sitting(i, name, at, app, model, json.loads(how)) for i, name, at, app, model, how in rows)

    def facts(self, sitting: int | None = None) -> Iterator[Kept]:
        """The facts of a sitting (None: the open or the last one), oldest first."""
        for row in self._fact_rows(sitting):
            with self._understanding(f"fact {row.n}"):
                fact = facts_json.fact_from_json(row.kind, row.body)
                yield Kept(row.n, row.at, row.heard_n, row.heard, row.clip, fact)

    def fact_lines(self, sitting: int | None = None) -> Iterator[str]:
        """The facts of a sitting (None: the open or the last one) as they are stored, for archives and fingerprints.

        Each is one line of JSON: [number, time, words heard, kind, body], the body as text.
        """
        for row in self._fact_rows(sitting):
            with self._understanding(f"fact {row.n}"):
                line = [row.n, row.at, row.heard, row.kind, row.body]
                yield json.dumps(line, ensure_ascii=False, separators=(",", ":"))

    def archive_lines(self, sitting: Sitting) -> Iterator[str]:
        """A whole sitting for archives, one JSON object a line: itself, what was heard, and the facts."""

        def line(of: str, **content: object) -> str:
            return json.dumps({"line": of, **content}, ensure_ascii=False, separators=(",", ":"))

        yield line("sitting", **asdict(sitting))
        for said in self.heard_lines(sitting.id):
            heard = asdict(said.heard) | {"context": said.heard.context.value}
            heard.pop("utterance")
            place = {"start": said.start, "speech_end": said.speech_end, "clip": said.clip}
            yield line("heard", n=said.n, at=said.at, **heard, **place)
        for row in self._fact_rows(sitting.id):
            yield line("fact", n=row.n, at=row.at, heard_n=row.heard_n, kind=row.kind, body=json.loads(row.body))

    def rescues(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Times at which this journal was made of what was whole of a damaged one, with what was lost then."""
        rows = self._rows("SELECT at, what FROM migration WHERE version < 0 ORDER BY version DESC")
        return tuple((at, tuple(json.loads(lost))) for at, lost in rows)

    def heard_lines(self, sitting: int | None = None) -> Iterator[HeardLine]:
        """All that was heard in a sitting (None: the open or the last one), oldest first, whatever it became."""
        rows = self._rows(
            """SELECT n, at, alternatives, context, via, start, speech_end, clip FROM heard
               WHERE sitting = coalesce(?, (SELECT max(id) FROM sitting)) ORDER BY n""",
            sitting or self._usual,
        )
        for n, at, alternatives, context, via, start, speech_end, clip in rows:
            with self._understanding(f"heard line {n}"):
                heard = Heard(facts_json.alternatives_from_json(alternatives), Context(context), via)
            yield HeardLine(n, at, heard, start, speech_end, clip)

    def _fact_rows(self, sitting: int | None) -> Iterator[_FactRow]:
        rows = self._rows(
            """SELECT fact.n, fact.at, fact.heard_n, heard.alternatives, heard.clip, fact.kind, fact.body
               FROM fact LEFT JOIN heard ON heard.n = fact.heard_n
               WHERE fact.sitting = coalesce(?, (SELECT max(id) FROM sitting)) ORDER BY fact.n""",
            sitting or self._usual,
        )
        for n, at, heard_n, alternatives, clip, kind, body in rows:
            with self._understanding(f"fact {n}"):
                heard = facts_json.alternatives_from_json(alternatives)[0].text if alternatives else ""
            yield _FactRow(n, at, heard_n, heard, clip, kind, body)

    def _rows(self, query: str, *values: object) -> list[tuple[Any, ...]]:
        with translated(self.path):
            return self._connection.execute(query, values).fetchall()

    @contextlib.contextmanager
    def _understanding(self, what: str) -> Iterator[None]:
        try:
            yield
        except ValueError as error:
            raise JournalUnreadable(f"{what} in {self.path} makes no sense", do=RESCUE) from error
