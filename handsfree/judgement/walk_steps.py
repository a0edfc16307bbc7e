"""What the walkthrough does with a sentence that was surely heard: steps to take, to ask, to go on, to put right."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from handsfree.judgement.walk_meanings import Meant, Trade, last_item
from handsfree.judgement.walk_questions import ask_again, close, put_off, went
from handsfree.nouns import (
    Circumstance,
    Doubt,
    Earcon,
    Fact,
    Finding,
    FindingAsked,
    FindingTook,
    Led,
    Noted,
    Outcome,
    PartNamed,
    RemarkAwaited,
    RemarkKept,
    RemarkSaid,
    Said,
    Speech,
    Standing,
    Turn,
    Walk,
    WentTo,
)

LAST_PART = "that was the last part"
WHICH_KIND = "grand or upright?"

Stands = Literal[Standing.TAKEN, Standing.CONFIRMED, Standing.CORRECTED]


def refused(why: str, said: Said, *, silent: bool = False) -> Turn:
    """`silent`: a sound alone, for what may not have been meant for the tool."""
    return Turn(
        Outcome.IGNORED,
        speech=Speech.READ_BACK if silent else Speech.REPLY,
        earcon=Earcon.REFUSED,
        said=said,
        why=why,
    )


def followed(said: Said, facts: tuple[Fact, ...] = (), finding: Finding | None = None, why: str = "") -> Turn:
    """The turn of a command that was followed; `why`: what to say beside it."""
    asks = any(isinstance(f, FindingAsked) for f in facts)
    return Turn(
        Outcome.TAKEN,
        facts,
        speech=Speech.QUESTION if asks else Speech.REPLY,
        earcon=Earcon.QUESTION if asks else Earcon.ACCEPTED,
        said=said,
        finding=finding,
        why=why,
    )


# ---------------------------------------------------------------- findings


def doubt(meant: Meant, walk: Walk, trade: Trade) -> Doubt | None:
    """Why a finding is asked about, however well it was heard; None: there is no reason."""
    assert meant.finding is not None
    finding, asking = meant.finding, walk.asking
    if asking and not meant.corrects and finding == asking.asked.finding:
        return None  # said again, it is meant
    unseen = finding.grade == 0 and not (finding.place or meant.corrects) and walk.looked_at(finding.part)
    if unseen or trade.contradictory(finding.finding, finding.grade):
        return Doubt.CONTRADICTS
    if not trade.belongs(finding.part, _kind(walk)) and not walk.of(finding.part):
        return Doubt.OTHER_KIND
    older = next((i.finding for i in walk.stands if i.n == meant.replaces), None)
    if older is None or meant.corrects or older.grade in (None, 0, finding.grade):
        return None
    return Doubt.GRADED_BEFORE


def take(meant: Meant, walk: Walk) -> Turn:
    """It stands from now on. The same once more changes nothing."""
    assert meant.finding is not None
    finding, asking = meant.finding, walk.asking
    answers = asking is not None and finding == asking.asked.finding
    if not answers and any(i.finding == finding for i in walk.stands):
        facts = (*close(walk, meant), *went(finding.part, walk))
        return replace(followed(meant.said, facts, finding), speech=Speech.READ_BACK)
    standing = _standing(meant, answers)
    took = FindingTook(finding, standing, meant.share, meant.replaces)
    settled = close(walk, meant, yes=answers)
    return Turn(
        Outcome(standing.value),
        (took, *settled, *went(finding.part, walk)),
        speech=Speech.READ_BACK,
        earcon=Earcon.ACCEPTED,
        said=meant.said,
        finding=finding,
    )


def _standing(meant: Meant, answers: bool) -> Stands:
    if meant.corrects:
        return Standing.CORRECTED
    return Standing.CONFIRMED if answers else Standing.TAKEN


# ---------------------------------------------------------------- remarks


def remark_begun(said: Said) -> Turn:
    """No word from the tool: the ears must stay open."""
    return replace(followed(said, (RemarkAwaited(),)), speech=Speech.READ_BACK)


def remark(said: RemarkSaid, walk: Walk) -> Turn:
    """It belongs to what is asked about, else to the last finding, as long as the walkthrough is at its part."""
    item, asking = last_item(walk), walk.asking
    n = item.n if item is not None and item.finding.part == walk.part else None
    if asking is not None and asking.asked.finding.part == walk.part:
        n = asking.n
    kept = RemarkKept(walk.part, n, said.text)
    return replace(followed(said, (kept,), Finding(walk.part)), speech=Speech.READ_BACK)


# ---------------------------------------------------------------- the way round


def name_part(said: PartNamed, walk: Walk) -> Turn:
    if walk.asking and walk.asking.asked.finding.part == said.part:
        return ask_again(said, walk)
    return followed(said, (*put_off(walk), *went(said.part, walk)), Finding(said.part))


def lead(on: bool, said: Said, walk: Walk, trade: Trade) -> Turn:
    """Which kind it is is asked first, once: said again, or "next", it goes on without an answer."""
    if not on:
        return followed(said, (Led(False),), why="on your own")
    if not (_kind(walk) or walk.led):
        return followed(said, (Led(True), *put_off(walk), *went("", walk)), why=WHICH_KIND)
    return _to_next(said, walk, (Led(True), *put_off(walk)), "", trade)


def kind_noted(kept: Noted, walk: Walk, trade: Trade) -> Turn:
    """Where it leads, the part that is asked about again; on to the next one where this kind has no such part."""
    if not walk.led or walk.asking:
        return followed(kept, (kept,))
    noted = replace(walk, noted={**walk.noted, kept.what: kept.value})
    if walk.part and trade.belongs(walk.part, kept.value):
        return followed(kept, (kept,), None if walk.of(walk.part) else Finding(walk.part))
    return _to_next(kept, noted, (kept,), walk.part, trade)


def move(way: str, said: Said, walk: Walk, trade: Trade) -> Turn:
    """One part on, past those that something stands of, or one back; said in free order, it begins to lead."""
    facts = (*put_off(walk), *(() if walk.led else (Led(True),)))
    if way != "back":
        return _to_next(said, walk, facts, walk.part, trade)
    parts = _parts(walk, trade)
    at = parts.index(walk.part) if walk.part in parts else 0
    if at == 0:
        return refused("this is the first part", said)
    return followed(said, (*facts, WentTo(parts[at - 1])), Finding(parts[at - 1]))


def _to_next(said: Said, walk: Walk, facts: tuple[Fact, ...], after: str, trade: Trade) -> Turn:
    everywhere, here = trade.route(""), _parts(walk, trade)
    ahead = everywhere[everywhere.index(after) + 1 :] if after in everywhere else everywhere
    part = next((p for p in ahead if p in here and not walk.of(p)), None)
    if part is not None:
        return followed(said, (*facts, *went(part, walk)), Finding(part))
    waiting = next((q for q in walk.questions), None)
    if waiting is not None:
        facts = (*facts, waiting.asked)
    return followed(said, (*facts, Led(False)), why=f"{LAST_PART}; {missing(walk, trade)}")


def missing(walk: Walk, trade: Trade) -> str:
    """ "three parts not looked at"."""
    count = sum(not walk.looked_at(p) for p in _parts(walk, trade))
    return "every part was looked at" if not count else f"{count} part{'s' * (count > 1)} not looked at"


def _parts(walk: Walk, trade: Trade) -> tuple[str, ...]:
    return trade.route(_kind(walk))


def _kind(walk: Walk) -> str:
    """ "grand", "upright", or "" = not known."""
    return walk.noted.get(Circumstance.KIND, "")
