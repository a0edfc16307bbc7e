"""The fold of a walkthrough's facts: what was found, what is asked, what was remarked.

Pure and total like sheet.py, over the same facts of the same journal; each of the two leaves alone what is the
other's. Nothing is ever dropped, only its `standing` changes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from handsfree.nouns import (
    FindingAsked,
    FindingTook,
    Item,
    Kept,
    Led,
    Noted,
    OpenFinding,
    PutOff,
    Remark,
    RemarkAwaited,
    RemarkKept,
    RemarkPlaced,
    RemarkTyped,
    Settled,
    Standing,
    StoodBy,
    Walk,
    WentAhead,
    WentTo,
    Withdrew,
)


def walk_fold(facts: Iterable[Kept]) -> Walk:
    """The walkthrough after all of `facts`, in order."""
    walk = Walk()
    for kept in facts:
        walk = walk_apply(walk, kept)
    return walk


def walk_apply(walk: Walk, kept: Kept) -> Walk:
    """The walkthrough after one more fact."""
    match kept.fact:
        case FindingTook():
            walk = _took(walk, kept, kept.fact)
        case FindingAsked():
            walk = _asked(walk, kept, kept.fact)
        case Withdrew(n):
            walk = _withdrew(walk, n)
        case Settled(n):
            walk = replace(
                walk,
                questions=tuple(q for q in walk.questions if q.n != n),
                items=_with_standing(walk.items, {n}, Standing.WITHDRAWN, unsettled=True),
            )
        case PutOff(n):
            walk = replace(walk, questions=tuple(replace(q, put_off=True) if q.n == n else q for q in walk.questions))
        case WentTo(part):
            walk = replace(walk, part=part, went=(*walk.went, (kept.at, part)))
        case Led(on):
            walk = replace(walk, led=on)
        case RemarkAwaited(on):
            walk = replace(walk, awaiting_remark=on)
        case RemarkKept(part, item, text):
            remark = Remark(kept.n, part, item, kept.at, kept.clip, text, "keyboard" if text else "")
            walk = replace(walk, remarks=(*walk.remarks, remark), awaiting_remark=False)
        case RemarkTyped(n, text, by):
            walk = replace(walk, remarks=tuple(replace(r, text=text, by=by) if r.n == n else r for r in walk.remarks))
        case RemarkPlaced(n, part, item):
            placed = (replace(r, part=part, item=item) if r.n == n else r for r in walk.remarks)
            walk = replace(walk, remarks=tuple(placed))
        case Noted(what, value):
            walk = replace(walk, noted={**walk.noted, what: value})
        case StoodBy():
            walk = replace(walk, standing_by=True)
        case WentAhead():
            walk = replace(walk, standing_by=False)
    return replace(walk, last_n=kept.n)


def _took(walk: Walk, kept: Kept, took: FindingTook) -> Walk:
    """What it replaces stops standing; what a question proposed keeps the words in which it was said."""
    asked = None
    if took.standing is Standing.CONFIRMED:
        asked = next((i for i in walk.items if i.standing is Standing.UNSETTLED and i.finding == took.finding), None)
    source: Kept | Item = asked or kept
    item = Item(
        kept.n, took.finding, took.standing, took.sureness, source.heard_text, source.at, source.clip, took.replaces,
        came_as=took.standing, heard_n=source.heard_n,
    )  # fmt: skip
    others = tuple(i for i in walk.items if i is not asked)
    gone = {took.replaces} if took.replaces is not None else set()
    walk = _remarks_at(item, walk, gone if asked is None else {*gone, asked.n})
    return replace(walk, items=(*_with_standing(others, gone, Standing.WITHDRAWN), item))


def _remarks_at(item: Item, walk: Walk, before: set[int]) -> Walk:
    """What was remarked of an item stays with what takes its place."""
    n, part = item.n, item.finding.part
    remarks = (replace(r, item=n, part=part) if r.item in before else r for r in walk.remarks)
    return replace(walk, remarks=tuple(remarks))


def _asked(walk: Walk, kept: Kept, asked: FindingAsked) -> Walk:
    """The newest question is the one under way, all others wait; one that is open already is asked again."""
    before = next((q for q in walk.questions if q.asked.finding == asked.finding), None)
    waiting = tuple(replace(q, put_off=True) for q in walk.questions if q is not before)
    if before is None:
        item = Item(
            kept.n, asked.finding, Standing.UNSETTLED, asked.sureness, kept.heard_text, kept.at, kept.clip,
            heard_n=kept.heard_n,
        )  # fmt: skip
        return replace(
            walk, items=(*walk.items, item), questions=(*waiting, OpenFinding(kept.n, asked, put_off=False))
        )
    times = 1 if before.put_off else before.times + 1
    for item in walk.items:
        if item.n == before.n and item.standing is Standing.UNSETTLED:
            again = replace(item, n=kept.n)
            items = tuple(again if i is item else i for i in walk.items)
            walk = replace(_remarks_at(again, walk, {before.n}), items=items)
    return replace(walk, questions=(*waiting, OpenFinding(kept.n, asked, put_off=False, times=times)))


def _withdrew(walk: Walk, n: int) -> Walk:
    items = _with_standing(walk.items, {n}, Standing.WITHDRAWN)
    if (older := walk.graded_before(n)) is not None:
        items = tuple(replace(i, standing=i.came_as) if i.n == older.n else i for i in items)
        walk = _remarks_at(older, walk, {n})
    return replace(
        walk,
        items=items,
        remarks=tuple(replace(r, withdrawn=True) if r.n == n else r for r in walk.remarks),
    )


def _with_standing(
    items: tuple[Item, ...], numbers: set[int], standing: Standing, *, unsettled: bool = False
) -> tuple[Item, ...]:
    """The items of these numbers, as far as they are unsettled (or, by default, are not), with another standing."""
    return tuple(
        replace(i, standing=standing) if i.n in numbers and (i.standing is Standing.UNSETTLED) is unsettled else i
        for i in items
    )
