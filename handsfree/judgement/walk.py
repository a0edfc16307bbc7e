"""judge_walk(): what one thing said in the walkthrough comes to. Pure.

A finding is taken when it was heard surely, for this place (see walk_meanings.py); asked about when it was not, or
when finding and grade contradict each other or what was said before. Talk is never a finding.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from handsfree.judgement import walk_answers as answers
from handsfree.judgement import walk_questions as questions
from handsfree.judgement import walk_steps as steps
from handsfree.judgement.limits import ASKED_AT_MOST, HEARD_WELL, Limits
from handsfree.judgement.walk_meanings import MOST_WORDS, Meant, Trade, last_item, waits, weigh_walk
from handsfree.nouns import (
    OTHER_TALK,
    Answer,
    Circumstance,
    Disregard,
    Doubt,
    Fact,
    Finding,
    FindingAsked,
    GoAhead,
    LeadMe,
    Move,
    NewSitting,
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
    humidities_noted,
    in_fahrenheit,
    number_noted,
)
from handsfree.reckoning.climate import climate_sentences, history_sentences
from handsfree.reckoning.hammers import HOW, hammers_of, ratio_of

HARMLESS = (PartNamed, Move, LeadMe, ReadPart, SayAgain, RemarkBegun)
"""Commands that lose nothing when they were misheard: heard well is enough."""
WORTH_ASKING = 0.35
"""Share of the recogniser below which nothing was heard well enough to ask about."""
PERHAPS_A_REMARK = 0.1
"""Share from which on talk may have been a remark whose first word was not heard surely: it was said for nothing, and
that must be told. In 12.5 minutes of development talk none came to 0.01."""
SURELY = 0.98
"""Share from which on a correction of another part's finding than the one at hand is done without a question."""
NOT_KEPT = "the remark was not kept, say it again"
TEMPERATURE = (Decimal(-10), Decimal(45))
"""Degrees Celsius that a room with a piano can have; a wide query limit of our own."""


def judge_walk(said: Sequence[tuple[Said, float]], walk: Walk, limits: Limits, trade: Trade) -> Turn:
    """What becomes of one thing said; `said` as for `judge`. Lines are left empty: words are not chosen here."""
    if limits.unheard and walk.asking is not None:
        free = questions.waiting(walk)
        return questions.asked_after(judge_walk(said, free, replace(limits, unheard=False), trade), walk)
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
            Doubt.UNSURE.value, best.said, silent=True
        )  # fmt: skip
    if best.refusal:
        return steps.refused(best.refusal, best.said)
    if best.finding is not None:
        return _finding(best, weighed[1:], walk, limits, trade)
    if best.share < _needed(best.said, limits):
        return questions.ask_again(best.said, walk) if walk.asking else steps.refused("say it again", best.said)
    return _command(best.said, walk, limits, trade)


def _needed(said: Said, limits: Limits) -> float:
    """The share from which on it is done at once: what goes into the report, or out of it, must be as sure as a
    finding."""
    if isinstance(said, Noted | Disregard | NewSitting):
        return limits.take_finding
    return HEARD_WELL if isinstance(said, HARMLESS) else limits.take


def _finding(best: Meant, others: Sequence[Meant], walk: Walk, limits: Limits, trade: Trade) -> Turn:
    assert best.finding is not None
    known = [item.finding for item in walk.stands] + ([walk.asking.asked.finding] if walk.asking else [])
    if limits.cut and best.finding not in known:
        return questions.ask(best, Doubt.CUT, walk)  # of "soundboard cracked three" only the three may be left
    needed = max(limits.take_finding, SURELY) if _corrects_elsewhere(best, walk) else limits.take_finding
    if min(best.share, best.beside_talk) < needed:
        return questions.ask_unsure((best, *others), walk, limits.take_finding)
    why = steps.doubt(best, walk, trade)
    return questions.ask(best, why, walk) if why else steps.take(best, walk)


def _corrects_elsewhere(meant: Meant, walk: Walk) -> bool:
    """Whether it would change what was found of another part than the one that was named since, which is easily
    misheard for something said of that one ("corrosion")."""
    corrected = next((i for i in walk.stands if i.n == meant.replaces), None)
    return meant.corrects and walk.asking is None and corrected is not None and corrected.finding.part != walk.part


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
        case Noted(Circumstance.KIND):
            return steps.kind_noted(said, walk, trade)
        case Noted():
            return noted(said, walk, limits)
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
        case NewSitting():
            return steps.followed(said)
        case GoAhead():
            return Turn(Outcome.IGNORED, said=said, why="not standing by")
        case OffKeyboard(name):
            return steps.refused(f"{name} is off the keyboard", said)
        case _:
            return steps.refused("that belongs to another pass", said)


def noted(said: Noted, walk: Walk, limits: Limits) -> Turn:
    """A circumstance; what a climate means for felt and flanges is said at once."""
    kept = _with_unit(said, limits)
    if why := _impossible(kept):
        return steps.refused(why, said)
    return steps.followed(kept, (kept,), why=_climate(kept.what, {**walk.noted, kept.what: kept.value}))


def _with_unit(said: Noted, limits: Limits) -> Noted:
    """A temperature without a unit is in what this technician thinks in."""
    bare = said.what is Circumstance.TEMPERATURE and not said.value.endswith(("C", "F"))
    return Noted(said.what, f"{said.value} °F") if bare and limits.fahrenheit else said


def _impossible(said: Noted) -> str:
    """Why it cannot be, "" = it can."""
    match said.what:
        case Circumstance.TEMPERATURE if not _in_a_room(said.value):
            return _no_temperature(said.value)
        case Circumstance.HUMIDITY | Circumstance.HISTORY:
            wrong = next((h for h in _humidities(said) if not 0 < h <= 100), None)
            return "" if wrong is None else f"{wrong} per cent cannot be"
        case Circumstance.HAMMERS if not hammers_of(said.value):
            return HOW
        case Circumstance.RATIO if ratio_of(said.value) is None:
            return f"{said.value} is no action ratio"
        case _:
            return ""


def _in_a_room(temperature: str) -> bool:
    celsius = number_noted({Circumstance.TEMPERATURE: temperature}, Circumstance.TEMPERATURE)
    return celsius is not None and TEMPERATURE[0] <= celsius <= TEMPERATURE[1]


def _no_temperature(said: str) -> str:
    number, _, unit = said.partition(" ")
    cannot_be = f"{number} degrees {'Fahrenheit' if unit == '°F' else 'Celsius'} cannot be"
    return cannot_be if unit or not _in_a_room(f"{number} °F") else f"{cannot_be}; if Fahrenheit, say so"


def _humidities(said: Noted) -> tuple[Decimal, ...]:
    """Per cent, of a humidity and of "from 30 to 65 %"; what was written freely is nobody's to check."""
    if said.what is Circumstance.HUMIDITY:
        return (Decimal(said.value),)
    return humidities_noted(said.value) or ()


def _climate(what: Circumstance, noted: Mapping[Circumstance, str]) -> str:
    """After a humidity the warning, else the moisture of wood; after a temperature the dew point; after a history of
    the humidity, what its ends did."""
    temperature, humidity = (number_noted(noted, one) for one in (Circumstance.TEMPERATURE, Circumstance.HUMIDITY))
    found = climate_sentences(temperature, humidity, fahrenheit=in_fahrenheit(noted))
    match what:
        case Circumstance.HUMIDITY:
            return found[0] if found else ""
        case Circumstance.TEMPERATURE:
            return next((sentence for sentence in found if sentence.startswith("Dew point")), "")
        case Circumstance.HISTORY if between := humidities_noted(noted[what]):
            return " ".join(history_sentences(between, temperature))
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
    """Talk never becomes a finding, silence asks for nothing. Words of the language that make no sentence were meant
    for the tool, and so were perhaps a few other ones where a finding is waited for: a sound tells that they were not
    taken (of 49 sentences that were lost so, by synthetic development voices, 26 had up to that many words; of 77
    stretches of talk 10)."""
    if puzzle.text and _may_repeat(walk):
        return questions.ask_again(puzzle, walk)
    perhaps_meant = waits(walk) and len(puzzle.text.split()) <= MOST_WORDS
    if not puzzle.text or (OTHER_TALK in puzzle.text and not perhaps_meant):
        return Turn(Outcome.IGNORED, said=puzzle, why=puzzle.why)
    return steps.refused(puzzle.why, puzzle, silent=True)
