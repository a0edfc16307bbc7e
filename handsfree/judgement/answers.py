"""What becomes of the open question. Silence is never yes; another note leaves it open (see dialogue.py)."""

from __future__ import annotations

from dataclasses import replace

from handsfree.judgement.here_or_next import here_or_next, in_common, may_be_next
from handsfree.judgement.last import together, withdrawn
from handsfree.judgement.limits import ASKED_AT_MOST, Limits
from handsfree.judgement.plausible import concern, far_from_before, impossible, rest, up_above_down
from handsfree.judgement.taking import (
    ALL_SETTLED,
    NOTHING,
    Came,
    Sure,
    amounts_of,
    ask,
    beyond,
    finish,
    next_to_settle,
    refuse,
    settle_others,
    tooks,
)
from handsfree.judgement.wanted import Value, Wanted
from handsfree.nouns import (
    Answer,
    Asked,
    Doubt,
    Earcon,
    Fact,
    OpenQuestion,
    Outcome,
    Quantity,
    Said,
    Settled,
    Sheet,
    Speech,
    Standing,
    Turn,
    Went,
)

SAY_IT_AGAIN = "say it again"


def as_wanted(asking: OpenQuestion) -> Wanted:
    """What the question proposes."""
    proposals = asking.question.proposals
    return Wanted(proposals[0].key, tuple((p.quantity, p.value) for p in proposals), beat=proposals[0].beat)


def answer(said: Answer, asking: OpenQuestion, sheet: Sheet, limits: Limits) -> Turn:
    return _yes(said, asking, sheet, limits) if said.yes else _offer_other(said, asking, sheet)


def _yes(said: Answer, asking: OpenQuestion, sheet: Sheet, limits: Limits) -> Turn:
    """The proposed values stand, as confirmed; what physics forbids does not even so."""
    wanted = as_wanted(asking)
    if up_above_down(wanted, sheet, limits):
        return _offer_other(said, asking, sheet, "up above down cannot be")
    sureness = {p.quantity: p.sureness for p in asking.question.proposals}
    came: dict[Quantity, Came] = dict.fromkeys(wanted.quantities, Standing.CONFIRMED)
    facts = (*tooks(wanted, came, sureness, sheet), Settled(asking.n, "yes"), *settle_others(wanted, sheet, asking))
    return finish(Outcome.CONFIRMED, wanted, facts, said, sheet, limits)


def _offer_other(said: Answer, asking: OpenQuestion, sheet: Sheet, why: str = "") -> Turn:
    """What was proposed is dropped; what else it may have been is asked next, else the right value is waited for.
    `why`: what cannot be, though it was affirmed."""
    settled = Settled(asking.n, "yes" if said.yes else "no")
    question = asking.question
    if question.otherwise:
        other = replace(question, proposals=question.otherwise, otherwise=(), why=Doubt.UNSURE, line="")
        return Turn(
            Outcome.ASKED,
            (Asked(other), settled),
            speech=Speech.QUESTION,
            earcon=Earcon.QUESTION,
            key=other.proposals[0].key,
            amounts=amounts_of(as_wanted(replace(asking, question=other))),
            said=said,
            why=why or other.why.value,
        )
    key = question.proposals[0].key
    returns = asking.came_back and question.why is not Doubt.UNSURE and key != sheet.place
    return Turn(
        Outcome.WITHDRAWN,
        (settled, Went(key)) if returns else (settled,),
        speech=Speech.REPLY,
        earcon=Earcon.WITHDRAWN,
        key=key,
        said=said,
        why=f"{why}, say both again" if why else SAY_IT_AGAIN,
    )


def right_value(sure: Sure, asking: OpenQuestion, sheet: Sheet, limits: Limits) -> Turn:
    """A value instead of yes or no: it stands for what was asked about; a value said again is confirmed by that."""
    said, proposed = sure.meaning.said, as_wanted(asking)
    ordered = _joined(proposed, sure.wanted)
    beat = sure.wanted.beat if sure.wanted.beat or sure.wanted.values != proposed.values else proposed.beat
    whole = Wanted(proposed.key, ordered, corrects=True, out_of_rhythm=sure.wanted.out_of_rhythm, beat=beat)
    if impossible(whole, limits):
        return refuse(beyond(limits), said, whole.key, amounts_of(sure.wanted))
    following = may_be_next(sure, asking, sheet, limits)
    if following is not None and not in_common(sure.wanted, asking, sheet):
        return here_or_next(sure, sheet, following)
    new = frozenset(q for q, v in sure.wanted.values if proposed.get(q) != (v,))
    doubtful = (sure.unsure & new) | _implausible(whole, new, sheet, limits)
    aside = _contradicted(sure.wanted, proposed, sheet, limits)
    doubtful |= new if aside else NOTHING
    good = rest(whole, doubtful, sheet, limits)
    doubtful = whole.quantities - good.quantities
    came: dict[Quantity, Came] = {q: Standing.CORRECTED if q in new else Standing.CONFIRMED for q in good.quantities}
    known = {p.quantity: p.sureness for p in asking.question.proposals}
    sureness = {q: sure.sureness if q in new else known[q] for q in good.quantities}
    closes = (Settled(asking.n, "other value" if new else "yes"), *settle_others(whole, sheet, asking))
    took = tuple(tooks(good, came, sureness, sheet))
    if doubtful:
        why = Doubt.FAR_FROM_BEFORE if aside else Doubt.UNSURE if sure.unsure & new else _why(whole, sheet, limits)
        otherwise = _beside(proposed, sure.otherwise)
        return ask(whole.only(doubtful), why, sure, sheet, took, otherwise, goes=False, closes=closes)
    outcome = Outcome.CORRECTED if new else Outcome.CONFIRMED
    turn = finish(outcome, whole, (*took, *closes), said, sheet, limits)
    if new and following is not None and turn.speech is Speech.READ_BACK:
        # told aloud: whoever meant the next key hears where it went
        return replace(turn, speech=Speech.REPLY)
    return turn


def goes_on(sure: Sure, asking: OpenQuestion, sheet: Sheet, limits: Limits) -> Turn:
    """The other value of the key instead of an answer: no answer. It is taken, and the question asked again; where it
    is not sure or cannot be right beside what is asked about, both are asked about together."""
    proposed = as_wanted(asking)
    whole = Wanted(proposed.key, _joined(proposed, sure.wanted))
    if impossible(sure.wanted, limits):
        return refuse(beyond(limits), sure.meaning.said, whole.key, amounts_of(sure.wanted))
    found = concern(whole, sheet, limits)
    if sure.unsure or (found and found.about & sure.wanted.quantities):
        why = Doubt.UNSURE if sure.unsure or found is None else found.why
        closes = (Settled(asking.n, "other value"), *settle_others(sure.wanted, sheet, asking))
        return ask(whole, why, sure, sheet, (), _beside(proposed, sure.otherwise), goes=False, closes=closes)
    came: dict[Quantity, Came] = dict.fromkeys(sure.wanted.quantities, Standing.TAKEN)
    again = repeat(asking, sure.meaning.said)
    took = tooks(sure.wanted, came, sure.sureness, sheet)
    facts = (*took, *settle_others(sure.wanted, sheet, asking), *again.facts)
    if again.facts:
        return replace(again, facts=facts)
    return Turn(
        Outcome.TAKEN,
        facts,
        earcon=Earcon.ACCEPTED,
        key=whole.key,
        amounts=amounts_of(sure.wanted),
        said=sure.meaning.said,
    )


def _beside(proposed: Wanted, other: Wanted | None) -> Wanted | None:
    """What else was said, with what is asked about where it does not answer that."""
    if other is None or other.key != proposed.key or other.quantities & proposed.quantities:
        return other
    return replace(other, values=_joined(proposed, other))


def _joined(proposed: Wanted, other: Wanted) -> tuple[tuple[Quantity, Value], ...]:
    """Down before up."""
    both = {**dict(proposed.values), **dict(other.values)}
    return tuple(sorted(both.items(), key=lambda pair: pair[0] is Quantity.UP))


def _implausible(whole: Wanted, new: frozenset[Quantity], sheet: Sheet, limits: Limits) -> frozenset[Quantity]:
    """New values that need a question of their own; up above down needs one whatever was said before, and so does a
    count out of rhythm."""
    found = concern(whole, sheet, limits)
    if found is None:
        return NOTHING
    return found.about if found.why in (Doubt.UP_ABOVE_DOWN, Doubt.RHYTHM) else found.about & new


def _contradicted(said: Wanted, proposed: Wanted, sheet: Sheet, limits: Limits) -> bool:
    """A whole reading that is also far from what nobody asked about may be the next key's, said without waiting."""
    beside = said.only(said.quantities - proposed.quantities)
    return far_from_before(beside, sheet, limits) is not None


def _why(whole: Wanted, sheet: Sheet, limits: Limits) -> Doubt:
    found = concern(whole, sheet, limits)
    return found.why if found else Doubt.UNSURE


def repeat(asking: OpenQuestion, said: Said | None) -> Turn:
    """The question again, once; after that it waits without a word."""
    if asking.times >= ASKED_AT_MOST:
        return Turn(Outcome.IGNORED, said=said, why="no answer to the open question")
    return ask_again(asking, said)


def ask_again(asking: OpenQuestion, said: Said | None) -> Turn:
    return Turn(
        Outcome.ASKED,
        (Asked(asking.question),),
        speech=Speech.QUESTION,
        earcon=Earcon.QUESTION,
        key=asking.question.proposals[0].key,
        amounts=amounts_of(as_wanted(asking)),
        said=said,
        why=asking.question.why.value,
    )


def drop(asking: OpenQuestion, said: Said, sheet: Sheet) -> Turn:
    """Disregard: the question, and what was taken of the same sentence."""
    unsettled = next((e for e in sheet.entries if e.n == asking.n), None)
    taken = together(sheet, unsettled.heard_n, -1) if unsettled and unsettled.heard_n is not None else ()
    facts: tuple[Fact, ...] = (Settled(asking.n, "disregarded"), *withdrawn(taken))
    more, why = next_to_settle(sheet, facts, ALL_SETTLED) if asking.came_back else ((), "")
    asks = bool(more)
    return Turn(
        Outcome.WITHDRAWN,
        (*facts, *more),
        speech=Speech.QUESTION if asks else Speech.REPLY,
        earcon=Earcon.QUESTION if asks else Earcon.WITHDRAWN,
        key=asking.question.proposals[0].key,
        said=said,
        why=why,
    )
