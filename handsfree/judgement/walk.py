"""judge_walk(): what one thing said in the walkthrough comes to. Pure.

There is nothing to expect of a finding, so what was heard decides alone: taken when it was heard surely, asked about
when it was not, or when finding and grade contradict each other or what was said before. Talk is never a finding.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from handsfree.judgement import walk_answers as answers
from handsfree.judgement import walk_questions as questions
from handsfree.judgement import walk_steps as steps
from handsfree.judgement.limits import HEARD_WELL, Limits
from handsfree.judgement.walk_meanings import Meant, Trade, last_item, weigh_walk
from handsfree.nouns import (
    Answer,
    Circumstance,
    Disregard,
    Fact,
    Finding,
    FindingAsked,
    GoAhead,
    LeadMe,
    Move,
    Noted,
    OffKeyboard,
    Outcome,
    PartNamed,
    Pass,
    PassSet,
    PassWanted,
    Puzzle,
    ReadPart,
    RemarkAwaited,
    RemarkBegun,
    RemarkSaid,
    Said,
    SayAgain,
    StandBy,
    StoodBy,
    Turn,
    Walk,
    WentAhead,
    number_noted,
)
from handsfree.reckoning.climate import climate_sentences
from handsfree.reckoning.hammers import HOW, hammers_of, ratio_of

OTHER_TALK = "[unk]"
HARMLESS = (PartNamed, Move, LeadMe, ReadPart, SayAgain, RemarkBegun)
"""Commands that lose nothing when they were misheard: heard well is enough."""
WORTH_ASKING = 0.35
"""Share of the recogniser below which nothing was heard well enough to ask about."""
PERHAPS_A_REMARK = 0.1
"""Share from which on talk may have been a remark whose first word was not heard surely: it was said for nothing, and
that must be told. In 12.5 minutes of development talk none came to 0.01."""
NOT_KEPT = "the remark was not kept, say it again"
ASKED_AT_MOST = 2
"""Times that talk has the same question repeated."""
TEMPERATURE = (Decimal(-10), Decimal(45))
"""Degrees Celsius that a room with a piano can have; a wide query limit of our own."""
STRETCH = re.compile(r"from (\d+(?:\.\d+)?) to (\d+(?:\.\d+)?) %")
"""A history of humidity as it is noted when it was said."""


def judge_walk(said: Sequence[tuple[Said, float]], walk: Walk, limits: Limits, trade: Trade) -> Turn:
    """What becomes of one thing said; `said` as for `judge`. Lines are left empty: words are not chosen here."""
    weighed = weigh_walk(said, walk, trade)
    if not weighed:
        return Turn(Outcome.IGNORED, why="nothing was heard")
    best = weighed[0]
    if walk.standing_by:
        return _standing_by(best, walk, limits)
    if isinstance(best.said, Puzzle):
        remarks = [(one, share) for one, share in said if isinstance(one, RemarkSaid)]
        if sum(share for _, share in remarks) >= PERHAPS_A_REMARK:
            return steps.refused(NOT_KEPT, remarks[0][0])
        return _puzzled(best.said, walk)
    if best.share < WORTH_ASKING:
        return questions.ask_again(best.said, walk) if _may_repeat(walk) else steps.refused(
            questions.UNSURE, best.said, silent=True
        )  # fmt: skip
    if best.refusal:
        return steps.refused(best.refusal, best.said)
    if best.finding is not None:
        return _finding(best, weighed[1:], walk, limits, trade)
    if best.share < _needed(best.said, limits):
        return questions.ask_again(best.said, walk) if walk.asking else steps.refused("say it again", best.said)
    return _command(best.said, walk, limits, trade)


def _needed(said: Said, limits: Limits) -> float:
    """The share from which on it is done at once: what goes into the report must be as sure as a finding."""
    if isinstance(said, Noted):
        return limits.take_finding
    return HEARD_WELL if isinstance(said, HARMLESS) else limits.take


def _finding(best: Meant, others: Sequence[Meant], walk: Walk, limits: Limits, trade: Trade) -> Turn:
    if min(best.share, best.beside_talk) < limits.take_finding:
        return questions.ask_unsure((best, *others), walk, limits.take_finding)
    why = steps.doubt(best, walk, trade)
    return questions.ask(best, why, walk) if why else steps.take(best, walk)


def _command(said: Said, walk: Walk, limits: Limits, trade: Trade) -> Turn:
    match said:
        case Answer(yes):
            return answers.answer(yes, said, walk, limits.take_finding)
        case Disregard() if walk.awaiting_remark:
            return steps.followed(said, (RemarkAwaited(False),), why="no remark")
        case Disregard():
            return answers.disregard(said, walk)
        case PartNamed():
            return steps.name_part(said, walk)
        case LeadMe(on):
            return steps.lead(on, said, walk, trade)
        case Move(way):
            return steps.move(way, said, walk, trade)
        case RemarkBegun():
            return steps.remark_begun(said)
        case RemarkSaid():
            return steps.remark(said, walk)
        case Noted():
            return noted(said, walk)
        case SayAgain():
            return _say_again(said, walk)
        case ReadPart(part):
            return _read_back(part, said, walk)
        case StandBy():
            return steps.followed(said, (StoodBy(),))
        case PassWanted(Pass.WALKTHROUGH):
            return questions.ask_again(said, walk) if walk.asking else steps.followed(said)
        case PassWanted(wanted):
            return steps.followed(said, (*questions.put_off(walk), PassSet(wanted)))
        case GoAhead():
            return Turn(Outcome.IGNORED, said=said, why="not standing by")
        case OffKeyboard(name):
            return steps.refused(f"{name} is off the keyboard", said)
        case _:
            return steps.refused("that belongs to another pass", said)


def noted(said: Noted, walk: Walk) -> Turn:
    """A circumstance; what a climate means for felt and flanges is said at once."""
    if said.what is Circumstance.TEMPERATURE and not TEMPERATURE[0] <= Decimal(said.value) <= TEMPERATURE[1]:
        return steps.refused(f"{said.value} degrees Celsius cannot be", said)
    if (impossible := next((h for h in _humidities(said) if not 0 < h <= 100), None)) is not None:
        return steps.refused(f"{impossible} per cent cannot be", said)
    if said.what is Circumstance.HAMMERS and not hammers_of(said.value):
        return steps.refused(HOW, said)
    if said.what is Circumstance.RATIO and ratio_of(said.value) is None:
        return steps.refused(f"{said.value} is no action ratio", said)
    now = {**walk.noted, said.what: said.value}
    return steps.followed(said, (said,), why=_climate(said.what, now))


def _humidities(said: Noted) -> tuple[Decimal, ...]:
    """Per cent, of a humidity and of "from 30 to 65 %"; what was written freely is nobody's to check."""
    if said.what is Circumstance.HUMIDITY:
        return (Decimal(said.value),)
    stretch = STRETCH.fullmatch(said.value) if said.what is Circumstance.HISTORY else None
    return tuple(map(Decimal, stretch.groups())) if stretch else ()


def _climate(what: Circumstance, noted: Mapping[Circumstance, str]) -> str:
    """After a humidity the warning, else the moisture of wood; after a temperature the dew point."""
    temperature, humidity = (number_noted(noted, one) for one in (Circumstance.TEMPERATURE, Circumstance.HUMIDITY))
    found = climate_sentences(temperature, humidity)
    match what:
        case Circumstance.HUMIDITY:
            return found[0] if found else ""
        case Circumstance.TEMPERATURE:
            return next((sentence for sentence in found if sentence.startswith("Dew point")), "")
        case _:
            return ""


def _say_again(said: Said, walk: Walk) -> Turn:
    """The question under way, else one that waits, else the last finding."""
    if walk.asking:
        return questions.ask_again(said, walk)
    if walk.questions:
        asked = walk.questions[0].asked
        return questions.asking_turn(said, (asked,), asked.finding, asked.why)
    item = last_item(walk)
    return steps.refused("there is nothing to say again", said) if item is None else steps.followed(
        said, (), item.finding
    )  # fmt: skip


def _read_back(part: str, said: Said, walk: Walk) -> Turn:
    """What stands of a part, and the question that waits for it."""
    at = part or walk.part
    if not at:
        return steps.refused("which part?", said)
    again: tuple[FindingAsked, ...] = tuple(q.asked for q in walk.questions if q.asked.finding.part == at)[:1]
    return steps.followed(ReadPart(at), again, Finding(at))


def _standing_by(best: Meant, walk: Walk, limits: Limits) -> Turn:
    """Nothing is taken in but a clear "go ahead"."""
    if not isinstance(best.said, GoAhead) or best.share < limits.take:
        return Turn(Outcome.IGNORED, said=best.said, why="standing by")
    again: tuple[Fact, ...] = (walk.asking.asked,) if walk.asking else ()
    return steps.followed(best.said, (WentAhead(), *again), Finding(walk.part) if walk.part else None)


def _may_repeat(walk: Walk) -> bool:
    return walk.asking is not None and walk.asking.times < ASKED_AT_MOST


def _puzzled(puzzle: Puzzle, walk: Walk) -> Turn:
    """Talk never becomes a finding, silence asks for nothing; words of the language that make no sentence were meant
    for the tool: a sound tells that they were not taken."""
    if puzzle.text and _may_repeat(walk):
        return questions.ask_again(puzzle, walk)
    if not puzzle.text or OTHER_TALK in puzzle.text:
        return Turn(Outcome.IGNORED, said=puzzle, why=puzzle.why)
    return steps.refused(puzzle.why, puzzle, silent=True)
