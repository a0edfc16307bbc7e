"""Values that are taken, and values that are asked about: the facts and the turn they make."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from handsfree.judgement.expectation import expects
from handsfree.judgement.last import just_read, last_group, withdrawn
from handsfree.judgement.limits import HEARD_WELL, Limits
from handsfree.judgement.pass_order import complete, moves_on_to
from handsfree.judgement.plausible import concern, impossible, rest
from handsfree.judgement.wanted import Meaning, Value, Wanted
from handsfree.nouns import (
    Amount,
    Asked,
    Counted,
    Doubt,
    Earcon,
    Fact,
    OpenQuestion,
    Outcome,
    Pass,
    Proposal,
    PutOff,
    Quantity,
    Question,
    Reading,
    Said,
    Settled,
    Sheet,
    Speech,
    Standing,
    Took,
    Turn,
    Went,
)

Came = Literal[Standing.TAKEN, Standing.CONFIRMED, Standing.CORRECTED]
NOTHING: frozenset[Quantity] = frozenset()
LAST_KEY = "that was the last key"
ALL_SETTLED = "all settled"


@dataclass(frozen=True, slots=True)
class Sure:
    """A meaning that is acted on, and how far it is sure."""

    meaning: Meaning
    wanted: Wanted
    sureness: float
    share: float
    """Of the recogniser, 0..1."""
    unsure: frozenset[Quantity] = NOTHING
    """Values of it that were not heard surely enough."""
    otherwise: Wanted | None = None
    """What the unsure ones may have been instead."""


def refuse(why: str, said: Said | None = None, key: int | None = None, amounts: tuple[Amount, ...] = ()) -> Turn:
    """Nothing comes of it, and the person must hear so; `why` is spoken."""
    return Turn(
        Outcome.IGNORED, speech=Speech.REPLY, earcon=Earcon.REFUSED, key=key, amounts=amounts, said=said, why=why
    )


def beyond(limits: Limits) -> str:
    if limits.taking is Pass.SWINGS:
        return f"no hammer swings that often: up to {limits.most_swings}"
    return f"beyond what can be: more than 0 g, up to {limits.heaviest} g"


def amounts_of(wanted: Wanted) -> tuple[Amount, ...]:
    return tuple(Amount(q, v) for q, v in wanted.values)


def take(sure: Sure, sheet: Sheet, limits: Limits) -> Turn:
    """Take what is sure and plausible, ask about the rest; about all of it at a key that nobody expected, where it
    was not heard well either."""
    wanted = sure.wanted
    if impossible(wanted, limits):
        return refuse(beyond(limits), sure.meaning.said, wanted.key, amounts_of(wanted))
    found = concern(wanted, sheet, limits)
    doubtful = sure.unsure | (found.about if found else NOTHING)
    which_key = _for_the_next_key(sure, sheet, limits)
    if which_key:
        doubtful = wanted.quantities
    came: Came = Standing.CORRECTED if wanted.corrects else Standing.TAKEN
    if doubtful and wanted.key != sheet.place and sure.share < HEARD_WELL:
        doubtful = wanted.quantities
    good = rest(wanted, doubtful, sheet, limits)
    doubtful = wanted.quantities - good.quantities
    facts = [*_moved_note(wanted, sheet), *tooks(good, dict.fromkeys(good.quantities, came), sure.sureness, sheet)]
    if doubtful:
        why = Doubt.UNSURE if sure.unsure else found.why if found else Doubt.NO_PLACE if which_key else Doubt.UNSURE
        otherwise = _swapped(wanted) if why is Doubt.UP_ABOVE_DOWN else sure.otherwise
        facts += settle_others(wanted, sheet)
        return ask(wanted.only(doubtful), why, sure, sheet, tuple(facts), otherwise, goes=not wanted.scattered)
    facts += settle_others(wanted, sheet)
    outcome = Outcome.CORRECTED if wanted.corrects else Outcome.TAKEN
    turn = finish(outcome, wanted, tuple(facts), sure.meaning.said, sheet, limits)
    return replace(turn, speech=Speech.REPLY) if _must_be_heard(sure, turn, sheet, limits) else turn


def _must_be_heard(sure: Sure, turn: Turn, sheet: Sheet, limits: Limits) -> bool:
    """A note that nothing led to and that was not heard quite surely is told aloud: a wrong one is noticed so."""
    surprising = limits.taking is Pass.TOUCH and not sure.wanted.corrects and not expects(sure.wanted.key, sheet)
    return surprising and sure.sureness < limits.tell_note and turn.speech is Speech.READ_BACK


def _for_the_next_key(sure: Sure, sheet: Sheet, limits: Limits) -> bool:
    """Values without a note, where the key just read is complete and the pass did not move on: without a plan, or
    past its end. They may be meant for another key, whose name was not heard."""
    said, key = sure.meaning.said, sure.wanted.key
    bare = isinstance(said, Reading | Counted) and said.key is None and not sure.wanted.corrects
    return bare and complete(key, sheet, limits) and just_read(key, sheet)


def ask(
    wanted: Wanted,
    why: Doubt,
    sure: Sure,
    sheet: Sheet,
    facts: tuple[Fact, ...] = (),
    otherwise: Wanted | None = None,
    goes: bool = True,
    closes: tuple[Fact, ...] = (),
) -> Turn:
    """A question about `wanted`; `goes`: its key is sure, so the pass is there now. `closes`: what it follows up is
    closed after it is asked, so that it keeps what that one was."""
    question = Question(
        proposals=_proposals(wanted, sure.sureness),
        why=why,
        line="",
        otherwise=_proposals(otherwise, sure.sureness) if otherwise else (),
    )
    went = (Went(wanted.key),) if goes and sheet.place != wanted.key and not wanted.corrects else ()
    return Turn(
        Outcome.ASKED,
        (*facts, *went, Asked(question), *closes),
        speech=Speech.QUESTION,
        earcon=Earcon.QUESTION,
        key=wanted.key,
        amounts=tuple(Amount(p.quantity, p.value) for p in question.proposals),
        said=sure.meaning.said,
        why=why.value,
    )


def tooks(
    wanted: Wanted, came: Mapping[Quantity, Came], sureness: float | Mapping[Quantity, float], sheet: Sheet
) -> list[Fact]:
    """One Took a value; each names the one that it takes over from."""
    facts: list[Fact] = []
    for quantity, value in wanted.values:
        stands = sheet.standing.get((wanted.key, quantity))
        sure = sureness if isinstance(sureness, float) else sureness[quantity]
        beat = wanted.beat if quantity is Quantity.SWINGS else None
        facts.append(Took(wanted.key, quantity, value, came[quantity], sure, stands.n if stands else None, beat))
    return facts


def settle_others(wanted: Wanted, sheet: Sheet, but: OpenQuestion | None = None) -> list[Fact]:
    """Open questions about the same places are answered by a new value for them."""
    return [
        Settled(q.n, "other value")
        for q in sheet.questions
        if q is not but and any(p.key == wanted.key and p.quantity in wanted.quantities for p in q.question.proposals)
    ]


def finish(
    outcome: Outcome, wanted: Wanted, facts: tuple[Fact, ...], said: Said, sheet: Sheet, limits: Limits
) -> Turn:
    """The turn of values that were taken, with where the pass goes on."""
    moves, why = advance(wanted, facts, sheet, limits)
    asks = any(isinstance(f, Asked) for f in moves)
    return Turn(
        outcome,
        (*facts, *moves),
        speech=Speech.QUESTION if asks else Speech.REPLY if why else Speech.READ_BACK,
        earcon=Earcon.QUESTION if asks else Earcon.ACCEPTED,
        key=wanted.key,
        amounts=amounts_of(wanted),
        said=said,
        why=why,
    )


def advance(wanted: Wanted, facts: tuple[Fact, ...], sheet: Sheet, limits: Limits) -> tuple[tuple[Fact, ...], str]:
    """Where the pass is after `facts`, and what the person should hear of it."""
    asking = sheet.asking
    if asking is not None and asking.came_back and asking.question.proposals[0].key == wanted.key:
        return next_to_settle(sheet, facts, ALL_SETTLED)
    if wanted.corrects and not wanted.note_was_wrong and asking is None and wanted.key != sheet.place:
        return (), ""
    taken = frozenset(f.quantity for f in facts if isinstance(f, Took) and f.key == wanted.key)
    whole = complete(wanted.key, sheet, limits, taken)
    target = moves_on_to(wanted.key, sheet, limits) if whole and sheet.plan.keys else wanted.key
    if target is not None:
        return ((Went(target),) if target != sheet.place else ()), ""
    stays: tuple[Fact, ...] = (Went(wanted.key),) if wanted.key != sheet.place else ()
    more, why = next_to_settle(sheet, facts, "")
    return (*stays, *more), why or LAST_KEY


def going_on(turn: Turn, then: int, sheet: Sheet) -> Turn:
    """The next note ended a count that was taken: the pass is there now. A question comes first."""
    if turn.outcome in (Outcome.ASKED, Outcome.IGNORED) or any(isinstance(f, Asked) for f in turn.facts):
        return turn
    stays = tuple(f for f in turn.facts if not isinstance(f, Went))
    return replace(turn, facts=(*stays, *((Went(then),) if then != sheet.place else ())), why="")


def next_to_settle(sheet: Sheet, facts: tuple[Fact, ...], otherwise: str) -> tuple[tuple[Fact, ...], str]:
    """The oldest question that was put off, asked again; `otherwise` where there is none."""
    settled = {f.n for f in facts if isinstance(f, Settled)}
    waiting = [q for q in sheet.questions if q.put_off and q.n not in settled]
    return ((Asked(waiting[0].question),), "") if waiting else ((), otherwise)


def _moved_note(wanted: Wanted, sheet: Sheet) -> Sequence[Fact]:
    """The last reading was another key's: it is withdrawn there."""
    if not wanted.note_was_wrong:
        return []
    if sheet.asking:
        return [Settled(sheet.asking.n, "other value")]
    return withdrawn(last_group(sheet))


def _proposals(wanted: Wanted, sureness: float) -> tuple[Proposal, ...]:
    """No weight at all coming up is proposed as what it is: no return."""
    return tuple(
        Proposal(wanted.key, q, None if q is Quantity.UP and v == 0 else v, sureness, wanted.beat)
        for q, v in wanted.values
    )


def _swapped(wanted: Wanted) -> Wanted | None:
    """Down and up the other way round: what up above down nearly always is. A lone up may have been the down."""
    values: dict[Quantity, Value] = dict(wanted.values)
    if len(values) == 2:
        flipped = ((Quantity.DOWN, values[Quantity.UP]), (Quantity.UP, values[Quantity.DOWN]))
        return replace(wanted, values=flipped)
    if wanted.bare and Quantity.UP in values:
        return replace(wanted, values=((Quantity.DOWN, values[Quantity.UP]),))
    return None


def without_question(sheet: Sheet) -> Sheet:
    """The sheet once the question under way is put off."""
    return replace(sheet, questions=tuple(replace(q, put_off=True) for q in sheet.questions))


def putting_off(turn: Turn, sheet: Sheet) -> Turn:
    """Something else came instead of an answer, and something came of it: the question waits."""
    if sheet.asking is None or turn.outcome is Outcome.IGNORED:
        return turn
    return replace(turn, facts=(PutOff(sheet.asking.n), *turn.facts))
