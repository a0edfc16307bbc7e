"""The fold of the facts: what stands, what is asked, where the pass is.

Pure and total: any row of facts folds to a sheet, one fact at a time, so the sheet after a crash is the sheet before
it. Nothing here decides; an entry is never dropped, only its `standing` changes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from handsfree.nouns import (
    Asked,
    Entry,
    Kept,
    OpenQuestion,
    PassSet,
    PlanSet,
    PutOff,
    Question,
    Settled,
    Sheet,
    Standing,
    StoodBy,
    Took,
    Went,
    WentAhead,
    Withdrew,
)


def fold(facts: Iterable[Kept]) -> Sheet:
    """The sheet after all of `facts`, in order."""
    sheet = Sheet()
    for kept in facts:
        sheet = apply(sheet, kept)
    return sheet


def apply(sheet: Sheet, kept: Kept) -> Sheet:
    """The sheet after one more fact."""
    match kept.fact:
        case Took():
            sheet = _took(sheet, kept, kept.fact)
        case Withdrew(n):
            sheet = _withdrew(sheet, n)
        case Asked(question):
            sheet = _asked(sheet, kept, question)
        case Settled(n):
            sheet = _settled(sheet, n)
        case PutOff(n):
            waiting = tuple(replace(q, put_off=True) if q.n == n else q for q in sheet.questions)
            sheet = replace(sheet, questions=waiting)
        case PlanSet(plan):
            sheet = replace(sheet, plan=plan)
        case PassSet(doing):
            sheet = replace(sheet, doing=doing)
        case Went(key):
            sheet = replace(sheet, place=key)
        case StoodBy():
            sheet = replace(sheet, standing_by=True)
        case WentAhead():
            sheet = replace(sheet, standing_by=False)
    return replace(sheet, last_n=kept.n)


def _took(sheet: Sheet, kept: Kept, took: Took) -> Sheet:
    """What it replaces stops standing; a value that a question proposed keeps the words in which it was said."""
    said = _proposed(sheet, took)
    entry = Entry(
        n=kept.n,
        key=took.key,
        quantity=took.quantity,
        value=took.value,
        standing=took.standing,
        sureness=took.sureness,
        heard_text=said.heard_text if said else kept.heard_text,
        at=said.at if said else kept.at,
        clip=said.clip if said else kept.clip,
        heard_n=said.heard_n if said else kept.heard_n,
        came_as=took.standing,
        replaces=took.replaces,
        beat=took.beat,
    )
    place = (took.key, took.quantity)
    older = sheet.standing.get(place)
    gone = {took.replaces, older.n if older else None}
    entries = [
        replace(e, standing=Standing.WITHDRAWN) if e.n in gone and e.standing is not Standing.UNSETTLED else e
        for e in sheet.entries
        if e is not said
    ]
    standing = {p: e for p, e in sheet.standing.items() if e.n not in gone}
    return replace(sheet, entries=(*entries, entry), standing={**standing, place: entry})


def _proposed(sheet: Sheet, took: Took) -> Entry | None:
    """The unsettled entry that `took` makes stand: same place, same value, of a question that is still open."""
    if took.standing is not Standing.CONFIRMED:
        return None
    matching = (
        e
        for e in sheet.entries
        if e.standing is Standing.UNSETTLED and (e.key, e.quantity, e.value) == (took.key, took.quantity, took.value)
    )
    return next(matching, None)


def _withdrew(sheet: Sheet, n: int) -> Sheet:
    """The entry no longer stands; where it was a second measurement, the first one stands again."""
    gone = next((e for e in sheet.entries if e.n == n and e.standing is not Standing.UNSETTLED), None)
    if gone is None:
        return sheet
    place = (gone.key, gone.quantity)
    entries = {e.n: e for e in sheet.entries}
    changed = {n: replace(gone, standing=Standing.WITHDRAWN)}
    standing = dict(sheet.standing)
    if place in standing and standing[place].n == n:
        del standing[place]
        earlier = sheet.measured_before(gone)
        if earlier is not None and earlier.n in entries:
            changed[earlier.n] = replace(earlier, standing=earlier.came_as)
            standing[place] = changed[earlier.n]
    settled = tuple(changed.get(e.n, e) if e.standing is not Standing.UNSETTLED else e for e in sheet.entries)
    return replace(sheet, entries=settled, standing=standing)


def _asked(sheet: Sheet, kept: Kept, question: Question) -> Sheet:
    """The newest question is the one under way, all others wait; one that is open already is asked again under the
    new number."""
    before = next((q for q in sheet.questions if q.question.proposals == question.proposals), None)
    under_way = sheet.asking
    follows_up = under_way is not None and under_way.question.proposals[0].key == question.proposals[0].key
    opened = OpenQuestion(
        n=kept.n,
        question=question,
        put_off=False,
        came_back=under_way is not None and follows_up and under_way.came_back,
    )
    if before is None:
        entries = (*sheet.entries, *_unsettled(sheet, kept, question))
    else:
        came_back = before.put_off or before.came_back
        opened = replace(opened, times=1 if before.put_off else before.times + 1, came_back=came_back)
        entries = tuple(
            replace(e, n=kept.n) if e.n == before.n and e.standing is Standing.UNSETTLED else e for e in sheet.entries
        )
    waiting = tuple(replace(q, put_off=True) for q in sheet.questions if q is not before)
    return replace(sheet, entries=entries, questions=(*waiting, opened))


def _unsettled(sheet: Sheet, kept: Kept, question: Question) -> tuple[Entry, ...]:
    """Entries for what a question proposes. What an open question proposed before, or had as its second guess, keeps
    the words in which it was said."""
    first = next((q.n for q in sheet.questions if q.question.otherwise == question.proposals), None)
    waiting = [e for e in sheet.entries if e.standing is Standing.UNSETTLED]
    guess = next((e for e in waiting if e.n == first), None)
    entries = []
    for p in question.proposals:
        again = (e for e in waiting if (e.key, e.quantity, e.value) == (p.key, p.quantity, p.value))
        source: Kept | Entry = guess or next(again, None) or kept
        entries.append(
            Entry(
                n=kept.n,
                key=p.key,
                quantity=p.quantity,
                value=p.value,
                standing=Standing.UNSETTLED,
                sureness=p.sureness,
                heard_text=source.heard_text,
                at=source.at,
                clip=source.clip,
                heard_n=source.heard_n,
                came_as=Standing.UNSETTLED,
                beat=p.beat,
            )
        )
    return tuple(entries)


def _settled(sheet: Sheet, n: int) -> Sheet:
    """The question is closed; what it proposed and no Took before this took is withdrawn."""
    entries = tuple(
        replace(e, standing=Standing.WITHDRAWN) if e.n == n and e.standing is Standing.UNSETTLED else e
        for e in sheet.entries
    )
    return replace(sheet, entries=entries, questions=tuple(q for q in sheet.questions if q.n != n))
