"""Where the pass goes next: the plan's order, complete keys, the end of the pass."""

from __future__ import annotations

from handsfree.judgement.limits import Limits
from handsfree.nouns import HIGHEST_KEY, LOWEST_KEY, OpenQuestion, Quantity, Sheet


def complete(key: int, sheet: Sheet, limits: Limits, taken: frozenset[Quantity] = frozenset()) -> bool:
    """Whether all that the pass takes of a key stands, counting what is being `taken`."""
    return all(q in taken or (key, q) in sheet.standing for q in limits.wanted)


def done_with(key: int, sheet: Sheet, limits: Limits) -> bool:
    """Complete, or waiting to be settled at the end."""
    return complete(key, sheet, limits) or any(q.question.proposals[0].key == key for q in sheet.questions)


def after(key: int, sheet: Sheet) -> int | None:
    """The plan's next key; without a plan the next one up; None at the end."""
    keys = sheet.plan.keys
    if not keys:
        return key + 1 if key < HIGHEST_KEY else None
    if key in keys:
        i = keys.index(key) + 1
        return keys[i] if i < len(keys) else None
    upward = keys[-1] >= keys[0]
    return next((k for k in keys if (k > key if upward else k < key)), None)


def before(key: int, sheet: Sheet) -> int | None:
    """The plan's key before; without a plan the next one down; None at the beginning."""
    keys = sheet.plan.keys
    if not keys:
        return key - 1 if key > LOWEST_KEY else None
    if key in keys:
        i = keys.index(key)
        return keys[i - 1] if i else None
    upward = keys[-1] >= keys[0]
    return next((k for k in reversed(keys) if (k < key if upward else k > key)), None)


def moves_on_to(key: int, sheet: Sheet, limits: Limits) -> int | None:
    """Where a pass by plan goes when `key` has just become complete (`sheet`: before it did); None: it is over.

    The next key of the plan. Where that is done already (the pass had jumped back), the next one that is not; when
    nothing further on is missing, a key that was measured again is followed by its neighbour (a second pass).
    """
    following = after(key, sheet)
    if following is None or not done_with(following, sheet, limits):
        return following
    ahead = sheet.plan.keys[sheet.plan.keys.index(following) :]
    missing = next((k for k in ahead if not done_with(k, sheet, limits)), None)
    return missing if missing is not None or not complete(key, sheet, limits) else following


def gone_on(asking: OpenQuestion, sheet: Sheet, limits: Limits) -> int | None:
    """The key that whoever has not heard the question is at; None: nothing tells."""
    key = asking.question.proposals[0].key
    if key != sheet.place and asking.came_back and sheet.place is not None:
        return None if complete(sheet.place, sheet, limits) else sheet.place
    if not sheet.plan.keys or key != sheet.place or asking.came_back:
        return None
    said = frozenset(p.quantity for p in asking.question.proposals)
    return moves_on_to(key, sheet, limits) if complete(key, sheet, limits, said) else key


def start_of(keys: tuple[int, ...], sheet: Sheet, limits: Limits) -> int | None:
    """Where a plan begins: its first key that is not done, else its first."""
    return next((k for k in keys if not done_with(k, sheet, limits)), keys[0] if keys else None)
