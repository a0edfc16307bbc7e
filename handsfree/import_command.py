"""`handsfree import`: a tidy table back into a journal, so that readings can move between machines."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from handsfree import sitting_options
from handsfree.errors import BadTable, BadUsage, DiskTrouble

if TYPE_CHECKING:
    from handsfree.journal.memory import Keeps
    from handsfree.nouns import Entry, Fact, Quantity, Standing
    from handsfree.reports.tidy_in import TidyRow

DESCRIPTION = """Read a tidy table, as written by export, into a journal as a new sitting. Values, how they came to
stand, times and words are kept exactly; numbers in the journal are given anew, and sound does not travel. How it was
measured is read from datapackage.json beside the table. A table from before beat_s was a column is taken too."""

FROM_A_TABLE = {"came_from": "a table"}
"""Kept with the sitting, so that a report never passes it off as heard here."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--tidy", metavar="FILE", required=True, help="the table to read")
    sitting_options.add_journal(parser, "the journal to add to (made if there is none)")


def run(args: argparse.Namespace) -> int:
    from handsfree import __version__
    from handsfree.journal.memory import MemoryJournal
    from handsfree.journal.store import Circumstances, Journal
    from handsfree.reports.tidy_in import tidy_rows
    from handsfree.settings import journal_path, read_settings

    settings = read_settings(args.settings)
    try:
        content = Path(args.tidy).read_bytes()
    except OSError as error:
        raise DiskTrouble(f"cannot read {args.tidy} ({error.strerror})", do="Name a table that is there.") from error
    rows = tidy_rows(content, args.tidy)
    if len({row.instrument for row in rows}) > 1:
        raise BadUsage(f"{args.tidy} holds several instruments", do="Import them one at a time.")
    clock = _RowClock(rows[0].at)
    _keep(rows, MemoryJournal(), clock, args.tidy)  # a table that contradicts itself leaves no trace
    with Journal.open(
        journal_path(args.journal, settings),
        rows[0].instrument,
        now=clock,
        new_sitting=True,
        circumstances=Circumstances(f"handsfree {__version__}", "", _method(Path(args.tidy).parent) | FROM_A_TABLE),
    ) as journal:
        _keep(rows, journal, clock, args.tidy)
    return 0


def _method(folder: Path) -> dict[str, str]:
    """How it was measured, where the description beside the table says so; figures need it."""
    from handsfree.reports import datapackage

    try:
        return datapackage.measured_in((folder / "datapackage.json").read_bytes())
    except OSError:
        return {}


class _RowClock:
    """The time at which the row at hand was said."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


def _keep(rows: Sequence[TidyRow], journal: Keeps, clock: _RowClock, name: str) -> None:
    """Append facts that fold to these rows. Raises BadTable where there are none."""
    from handsfree.journal.sheet import fold
    from handsfree.nouns import Alternative, Context, Heard, Withdrew

    numbers: dict[int, int] = {}
    turns = [tuple(group) for _, group in groupby(rows, key=_turn)]
    joined = [(at, turn) for at, turn in enumerate(turns) if len({row.heard_n for row in turn}) > 1]
    waiting: list[tuple[TidyRow, ...]] = []
    for at, said in enumerate(turns):
        facts, named = _facts(said, numbers)
        clock.now = said[-1].at
        kept = journal.append(Heard((Alternative(said[-1].heard, 1.0),), Context.TOUCH), facts)
        numbers |= {n: one.n for n, one in zip(named, kept, strict=True)}
        waiting.append(said)
        to_come = [turn for when, turn in joined if when > at]
        over = [turn for turn in waiting if not any(_values(later) & _values(turn) for later in to_come)]
        waiting = [turn for turn in waiting if turn not in over]
        if settled := [fact for turn in over for fact in _settled(turn, numbers)]:
            journal.append_unheard(settled)
    wanted = {(numbers[row.n], row.quantity): row.standing for row in rows}
    tried: set[int] = set()
    while (entries := fold(journal.facts()).entries) and (gone := _still_there(entries, wanted, tried)):
        journal.append_unheard([Withdrew(gone.n)])  # which may bring back what it took the place of
        tried.add(gone.n)
    if {(e.n, e.quantity): e.standing for e in entries} != wanted:
        raise BadTable(f"{name} contradicts itself", do="Export it again, and import the file as it was written.")


def _still_there(
    entries: Sequence[Entry], wanted: Mapping[tuple[int, Quantity], Standing], tried: set[int]
) -> Entry | None:
    """The newest that was withdrawn in the table and stands here."""
    from handsfree.nouns import Standing

    left = (e for e in reversed(entries) if e.n not in tried)
    return next((e for e in left if wanted.get((e.n, e.quantity)) is Standing.WITHDRAWN is not e.standing), None)


def _turn(row: TidyRow) -> tuple[object, ...]:
    """What was kept together: the values of one question, or those of one thing said."""
    from handsfree.nouns import Standing

    return (row.n,) if row.came_as is Standing.UNSETTLED else (row.heard_n, row.heard, row.at)


def _values(turn: Sequence[TidyRow]) -> set[tuple[object, ...]]:
    """With what they were said in. A question of values said one after the other took the first over from an older
    question, which was open until then."""
    return {(row.key, row.quantity, row.value, row.heard_n) for row in turn}


def _facts(rows: Sequence[TidyRow], numbers: dict[int, int]) -> tuple[list[Fact], list[int]]:
    """What was taken or asked, and the numbers that these facts had in the table."""
    from handsfree.nouns import Asked, Doubt, Proposal, Question, Standing, Took

    facts: list[Fact] = []
    named: list[int] = []
    for n, group in groupby(rows, key=lambda row: row.n):
        same = tuple(group)
        if same[0].came_as is Standing.UNSETTLED:
            proposals = tuple(Proposal(r.key, r.quantity, r.value, r.sureness, r.beat) for r in same)
            facts.append(Asked(Question(proposals, Doubt.UNSURE, "Asked before the table was made.")))
            named.append(n)
            continue
        for r in same:
            replaces = numbers.get(r.replaces) if r.replaces is not None else None
            came_as = r.came_as
            assert came_as is not Standing.UNSETTLED
            assert came_as is not Standing.WITHDRAWN
            facts.append(Took(r.key, r.quantity, r.value, came_as, r.sureness, replaces, r.beat))
            named.append(n)
    return facts, named


def _settled(rows: Sequence[TidyRow], numbers: dict[int, int]) -> Iterator[Fact]:
    """Questions that came to nothing are settled, open ones wait."""
    from handsfree.nouns import PutOff, Settled, Standing

    for n, group in groupby(rows, key=lambda row: row.n):
        first = next(group)
        if first.came_as is Standing.UNSETTLED:
            gone = first.standing is Standing.WITHDRAWN
            yield Settled(numbers[n], "disregarded") if gone else PutOff(numbers[n])
