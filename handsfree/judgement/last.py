"""What was read last: the thing that "correction", "disregard", "same" and "say again" are about; and how it is
withdrawn."""

from __future__ import annotations

from collections.abc import Sequence

from handsfree.nouns import Entry, Fact, Quantity, Sheet, Standing, Withdrew


def latest(sheet: Sheet) -> Entry | None:
    """The newest entry, whatever became of it."""
    return max(sheet.entries, key=lambda e: e.n, default=None)


def last_group(sheet: Sheet) -> tuple[Entry, ...]:
    """The values of the last reading that stands: all that came from one thing said, down before up."""
    newest = max(sheet.standing.values(), key=lambda e: e.n, default=None)
    if newest is None:
        return ()
    return together(sheet, newest.heard_n, newest.n)


def together(sheet: Sheet, heard_n: int | None, n: int) -> tuple[Entry, ...]:
    """The standing values that came from the same thing said as entry `n`."""
    group = [e for e in sheet.standing.values() if e.n == n or (heard_n is not None and e.heard_n == heard_n)]
    return tuple(sorted(group, key=lambda e: (e.key, e.quantity is Quantity.UP)))


def just_read(key: int, sheet: Sheet) -> bool:
    """Whether the last reading that stands is this key's."""
    group = last_group(sheet)
    return bool(group) and group[0].key == key


def source_of_same(sheet: Sheet, key: int) -> int | None:
    """The key read last before `key`; None when there is none, or when it is not settled."""
    others = [e for e in sheet.entries if e.key != key and e.standing is not Standing.WITHDRAWN]
    newest = max(others, key=lambda e: e.n, default=None)
    return None if newest is None or newest.standing is Standing.UNSETTLED else newest.key


def withdrawn(group: Sequence[Entry], sheet: Sheet) -> tuple[Fact, ...]:
    """Facts that make the entries of one key not stand. Where they were second measurements, the first ones stand
    again, but only as far as that is possible beside the rest: up is never above down."""
    facts = [Withdrew(e.n) for e in group]
    left = {q: e for (k, q), e in sheet.standing.items() if group and k == group[0].key}
    gone = {e.quantity: e for e in group}
    while gone:
        back = {q: earlier for q, e in gone.items() if (earlier := sheet.measured_before(e)) is not None}
        left = {q: e for q, e in left.items() if q not in gone} | back
        down, up = left.get(Quantity.DOWN), left.get(Quantity.UP)
        clash = down and up and down.value is not None and up.value is not None and up.value > down.value
        gone = back if clash else {}
        facts += [Withdrew(e.n) for e in gone.values()]
    return tuple(facts)
