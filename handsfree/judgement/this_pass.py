"""One pass of the sitting, as the judgement sees it: what belongs to the other pass is out of sight, so that no
correction, undo or question reaches across."""

from __future__ import annotations

from dataclasses import replace

from handsfree.judgement.limits import Limits
from handsfree.judgement.pass_order import done_with, start_of
from handsfree.nouns import Asked, Fact, Pass, PassSet, PutOff, Quantity, Sheet, Went


def in_pass(sheet: Sheet, limits: Limits) -> tuple[Sheet, Limits]:
    """The sheet with the values and questions of the pass under way, and the limits that go with it."""
    counts = sheet.doing is Pass.SWINGS

    def belongs(quantity: Quantity) -> bool:
        return (quantity is Quantity.SWINGS) is counts

    seen = replace(
        sheet,
        entries=tuple(e for e in sheet.entries if belongs(e.quantity)),
        standing={place: e for place, e in sheet.standing.items() if belongs(place[1])},
        questions=tuple(q for q in sheet.questions if belongs(q.question.proposals[0].quantity)),
    )
    return seen, replace(limits, taking=sheet.doing, take=limits.take_count if counts else limits.take)


def pass_facts(wanted: Pass, sheet: Sheet, limits: Limits) -> tuple[Fact, ...]:
    """The other pass begins: a question under way waits, and the plan is at its first key that lacks what is now
    taken; where none does, its questions are what is left to do. `sheet` is the whole one."""
    seen, now = in_pass(replace(sheet, doing=wanted), limits)
    start = None if wanted is Pass.WALKTHROUGH else start_of(seen.plan.keys, seen, now)
    waits = (PutOff(sheet.asking.n),) if sheet.asking else ()
    if start is not None and seen.questions and done_with(start, seen, now):
        return (*waits, PassSet(wanted), Asked(seen.questions[0].question))
    return (*waits, PassSet(wanted), *((Went(start),) if start is not None and start != sheet.place else ()))
