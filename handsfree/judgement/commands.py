"""Sentences without values: where to go, what to say again, when to be still."""

from __future__ import annotations

from handsfree.judgement.answers import ask_again
from handsfree.judgement.last import last_group
from handsfree.judgement.limits import Limits
from handsfree.judgement.pass_order import after, before, start_of
from handsfree.judgement.taking import LAST_KEY, next_to_settle, refuse
from handsfree.judgement.this_pass import pass_facts
from handsfree.nouns import (
    Amount,
    Asked,
    Counted,
    Doubt,
    Earcon,
    Fact,
    GoAhead,
    GoTo,
    Move,
    Outcome,
    Pass,
    PassWanted,
    Plan,
    PlanSet,
    PlanWanted,
    Quantity,
    ReadBack,
    Said,
    SayAgain,
    Sheet,
    Speech,
    StandBy,
    StoodBy,
    Turn,
    Went,
    WentAhead,
)

SAY_PLAN = "Say it with the word plan"


def followed(
    said: Said,
    facts: tuple[Fact, ...] = (),
    *,
    key: int | None = None,
    amounts: tuple[Amount, ...] = (),
    speech: Speech = Speech.READ_BACK,
    why: str = "",
) -> Turn:
    """The turn of a command that was followed."""
    asks = any(isinstance(f, Asked) for f in facts)
    return Turn(
        Outcome.TAKEN,
        facts,
        speech=Speech.QUESTION if asks else Speech.REPLY if why else speech,
        earcon=Earcon.QUESTION if asks else Earcon.ACCEPTED,
        key=key,
        amounts=amounts,
        said=said,
        why=why,
    )


def go_to(said: GoTo, sheet: Sheet) -> Turn:
    return followed(said, (Went(said.key),) if said.key != sheet.place else (), key=said.key)


def move(said: Move, sheet: Sheet, limits: Limits) -> Turn:
    """One step along the plan; past its end come the questions that were put off."""
    if sheet.place is None:
        start = start_of(sheet.plan.keys, sheet, limits)
        return refuse(Doubt.NO_PLACE.value, said) if start is None else followed(said, (Went(start),), key=start)
    back = said.way == "back"
    target = before(sheet.place, sheet) if back else after(sheet.place, sheet)
    if target is not None:
        return followed(said, (Went(target),), key=target)
    if back:
        return refuse("this is the first key", said)
    facts, _ = next_to_settle(sheet, (), "")
    return followed(said, facts, key=sheet.place, why=LAST_KEY)


def plan_facts(plan: Plan, sheet: Sheet, limits: Limits) -> tuple[Fact, ...]:
    """The plan, and its first key that is not done."""
    start = start_of(plan.keys, sheet, limits)
    return (PlanSet(plan), *((Went(start),) if start is not None and start != sheet.place else ()))


def set_plan(said: PlanWanted, sheet: Sheet, limits: Limits) -> Turn:
    """Once a plan is under way or values stand, it is changed by the word "plan" only: keys are also spoken of among
    people."""
    under_way = bool(sheet.plan.keys or sheet.entries)
    if under_way and not said.named and said.plan != sheet.plan:
        return refuse(f"plan: {said.plan.name}? {SAY_PLAN}", said)
    start = start_of(said.plan.keys, sheet, limits)
    return followed(said, plan_facts(said.plan, sheet, limits), key=start, speech=Speech.REPLY)


def say_again(said: SayAgain, sheet: Sheet) -> Turn:
    """The question under way, else the last reading."""
    if sheet.asking:
        return ask_again(sheet.asking, said)
    group = last_group(sheet)
    if not group:
        return refuse("there is nothing to say again", said)
    amounts = tuple(Amount(e.quantity, e.value) for e in group)
    return followed(said, key=group[0].key, amounts=amounts, speech=Speech.REPLY)


def read_back(said: ReadBack, sheet: Sheet) -> Turn:
    """The row of a key (the one where the pass is), and the question under way, else one that waits: that key's, or
    the oldest."""
    key = said.key if said.key is not None else sheet.place
    if key is None:
        return refuse(Doubt.NO_PLACE.value, said)
    row = ((q, sheet.standing.get((key, q))) for q in (Quantity.DOWN, Quantity.UP, Quantity.SWINGS))
    amounts = tuple(Amount(q, e.value) for q, e in row if e is not None)
    waiting = [
        q for q in sheet.questions if q.put_off and (said.key is None or q.question.proposals[0].key == said.key)
    ]
    again = sheet.asking or (waiting[0] if waiting else None)
    facts = (Asked(again.question),) if again else ()
    return followed(said, facts, key=key, amounts=amounts, speech=Speech.REPLY)


def set_pass(said: PassWanted, sheet: Sheet, limits: Limits) -> Turn:
    """What is taken at each key from now on; `sheet` is the whole one, of both passes."""
    facts = pass_facts(said.wanted, sheet, limits)
    went = next((f.key for f in facts if isinstance(f, Went)), sheet.place)
    asks = any(isinstance(f, Asked) for f in facts)
    key = None if said.wanted is Pass.WALKTHROUGH or asks else went
    return followed(said, facts, key=key, speech=Speech.REPLY)


def count_again(said: Counted, sheet: Sheet) -> Turn:
    """A count was broken off; nothing came of it, and nothing that stands is touched."""
    return Turn(Outcome.WITHDRAWN, earcon=Earcon.WITHDRAWN, key=sheet.place, said=said, why="count again")


def stand_by(said: StandBy) -> Turn:
    return followed(said, (StoodBy(),), speech=Speech.REPLY)


def go_ahead(said: GoAhead, sheet: Sheet) -> Turn:
    """Listening again; a question that was open is asked again."""
    if not sheet.standing_by:
        return Turn(Outcome.IGNORED, said=said, why="not standing by")
    again: tuple[Fact, ...] = (Asked(sheet.asking.question),) if sheet.asking else ()
    return followed(said, (WentAhead(), *again), key=sheet.place, speech=Speech.REPLY)
