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


def withdrawn(group: Sequence[Entry]) -> tuple[Fact, ...]:
    """Facts that make a reading not stand; where it was a second measurement, the first one stands again."""
    return tuple(Withdrew(e.n) for e in group)
