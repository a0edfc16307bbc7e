"""What the walkthrough says: a turn into one spoken line, the part always first. Pure, like lines.py."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal, InvalidOperation

from handsfree.nouns import (
    Circumstance,
    Doubt,
    Finding,
    FindingAsked,
    FindingTook,
    GoAhead,
    LeadMe,
    Move,
    Noted,
    Outcome,
    PartNamed,
    Pass,
    PassWanted,
    PutOff,
    Puzzle,
    ReadPart,
    RemarkBegun,
    RemarkSaid,
    SayAgain,
    StandBy,
    Turn,
    Walk,
    Withdrew,
    asks_kind,
)
from handsfree.voice.lines import PASS_NAMES
from handsfree.words.spoken import UNITS, number_words

_FIGURE = re.compile(r"\d+(\.\d+)?")
_NOTE = re.compile(r"\b([A-G])(#?)([0-8])\b")
_DEGREES = {"": "", "°C": " Celsius", "°F": " Fahrenheit"}


def walk_voiced(turn: Turn, before: Walk) -> Turn:
    """The same turn with its lines: the question's own, as it is kept, and the one to speak now. `before`: the
    walkthrough that it was judged on."""
    put_off = {fact.n for fact in turn.facts if isinstance(fact, PutOff)}
    covered = any(q.n in put_off and q.asked in turn.facts for q in before.questions)
    whole = covered or isinstance(turn.said, GoAhead | SayAgain | ReadPart | Move | PassWanted)
    facts = tuple(_lined(f, before, whole) if isinstance(f, FindingAsked) else f for f in turn.facts)
    asked = next((f.line for f in facts if isinstance(f, FindingAsked)), "")
    return replace(turn, facts=facts, line=" ".join(filter(None, (_told(turn, before), asked))))


def _lined(asked: FindingAsked, walk: Walk, whole: bool) -> FindingAsked:
    """`whole`: all of it is named, it was not said just now."""
    return replace(asked, line=question_line(replace(asked, about="") if whole else asked, walk))


def question_line(asked: FindingAsked, walk: Walk) -> str:
    """ "Hammers, grooved, three?", with the reason where it does not show; only what is in doubt, where the rest was
    just said: "Grade three?". What comes back later is named whole."""
    if asked.about and not any(q.put_off and q.asked.finding == asked.finding for q in walk.questions):
        return f"{_sentence(_doubtful_words(asked))[:-1]}?"
    line = f"{_sentence(finding_words(asked.finding))[:-1]}?"
    older = next((i.finding for i in walk.stands if i.n == asked.replaces), None)
    if older is not None and older.grade not in (None, asked.finding.grade):
        return f"{line} It was {grade_words(older.grade)}."
    match asked.why:
        case Doubt.CONTRADICTS:
            return f"{line} That is a contradiction."
        case Doubt.CUT:
            return f"{line} The beginning was not heard."
        case Doubt.OTHER_KIND:
            kind = walk.noted.get(Circumstance.KIND, "")
            return f"{line} {'An' if kind == 'upright' else 'A'} {kind} has none."
        case _:
            return line


def _doubtful_words(asked: FindingAsked) -> str:
    finding = asked.finding
    match asked.about:
        case "part":  # the part alone is how the tool asks for it when it leads
            return ", ".join(filter(None, (finding.part, finding.finding or grade_words(finding.grade))))
        case "finding":
            return finding.finding or grade_words(finding.grade)
        case "place":
            return spoken_place(finding.place) or "no place"
        case _:
            return f"grade {grade_words(finding.grade)}".strip()


def finding_words(finding: Finding, *, part: bool = True) -> str:
    """ "hammers, grooved, F sharp five, three"."""
    said = [finding.part if part else "", finding.finding, spoken_place(finding.place), grade_words(finding.grade)]
    if finding.finding == "not looked at":
        said.pop()
    return ", ".join(filter(None, said))


def grade_words(grade: int | None) -> str:
    return "" if grade is None else UNITS[grade]


def spoken_place(place: str) -> str:
    """ "F#5 to C6" -> "F sharp five to C six"."""
    return _NOTE.sub(lambda m: f"{m[1]}{' sharp' if m[2] else ''} {UNITS[int(m[3])]}", place)


def walk_greeting(walk: Walk) -> str:
    """What a walkthrough says when it is opened again."""
    said = [f"Going on at {walk.part}." if walk.part else ""]
    if asks_kind(walk):
        said.append("Grand or upright?")
    if walk.standing_by:
        said.append("Standing by.")
    waiting = sum(q.put_off for q in walk.questions)
    if waiting:
        said.append(f"{number_words(Decimal(waiting)).capitalize()} to settle.")
    if walk.asking and not walk.standing_by:
        said.append(question_line(replace(walk.asking.asked, about=""), walk))
    return " ".join(filter(None, said))


def _told(turn: Turn, before: Walk) -> str:
    """What happened, without the question."""
    match turn.outcome:
        case Outcome.ASKED:
            return ""
        case Outcome.IGNORED:
            heard = turn.earcon is not None and not isinstance(turn.said, Puzzle)
            return _sentence(turn.why) if heard and turn.why != Doubt.UNSURE.value else ""
        case Outcome.WITHDRAWN:
            gone = "remark" if turn.why else finding_words(turn.finding or Finding())
            numbers = (fact.n for fact in turn.facts if isinstance(fact, Withdrew))
            again = next((i for n in numbers if (i := before.graded_before(n)) is not None), None)
            stands = f"; {finding_words(again.finding, part=False)}, stands again" if again else ""
            return _sentence(f"{gone}, withdrawn{stands}")
        case _ if any(isinstance(f, FindingTook) for f in turn.facts):
            return _taken(turn)
        case _:
            return _followed(turn, before)


def _taken(turn: Turn) -> str:
    finding = turn.finding or Finding()
    if turn.outcome is Outcome.CORRECTED:
        return _sentence(f"{finding.part}, correct, {finding_words(finding, part=False)}")
    return _sentence(finding_words(finding))


def _followed(turn: Turn, before: Walk) -> str:
    part = turn.finding.part if turn.finding else ""
    match turn.said:
        case StandBy():
            return "Standing by."
        case GoAhead():
            return _sentence(f"going on at {part}") if part else "Going on."
        case RemarkBegun():
            return ""
        case RemarkSaid():
            return _sentence(f"remark kept, {part}" if part else "remark kept")
        case Noted(Circumstance.KIND, kind):
            return _sentence(kind) + (f" {part.capitalize()}?" if part else f" {_sentence(turn.why)}".rstrip())
        case Noted(what, value):
            return f"{_noted(what, value)} {turn.why}".strip()
        case ReadPart():
            return _row(part, before)
        case LeadMe() | Move() if part:
            return f"{part.capitalize()}?"
        case PartNamed():
            return _sentence(part)
        case PassWanted(wanted):
            here = before.part if wanted is Pass.WALKTHROUGH else ""
            return _sentence(f"{PASS_NAMES[wanted]}, at {here}" if here else PASS_NAMES[wanted])
        case _:
            return _sentence(turn.why or finding_words(turn.finding or Finding()))


def _row(part: str, walk: Walk) -> str:
    said = [finding_words(i.finding, part=False) for i in walk.of(part)]
    return _sentence(f"{part}: {'; '.join(said)}" if said else f"{part}, nothing yet")


def _noted(what: Circumstance, value: str) -> str:
    match what:
        case Circumstance.TEMPERATURE:
            number, _, unit = value.partition(" ")
            value = f"{_number(number)} degrees{_DEGREES[unit]}"
        case Circumstance.HUMIDITY:
            value = f"{_number(value)} per cent"
        case Circumstance.HISTORY:
            value = _FIGURE.sub(lambda found: _number(found[0]), value).replace(" %", " per cent")
    return _sentence(f"{what.value} {value}")


def _number(text: str) -> str:
    try:
        return number_words(Decimal(text))
    except (InvalidOperation, ValueError):
        return text


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('?') else '.'}" if text else ""
