"""What each sentence of the walkthrough would mean here: the part, finding and grade that were not said come from the
open question, the last finding, or the part where the walkthrough is. No sentence is judged yet.

The ears' grammar does not know where the walkthrough is; here each meaning's share is set right by how likely it is
at this place. What is likely can only win among what was heard.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from handsfree.nouns import (
    Circumstance,
    Doubt,
    Finding,
    FindingAsked,
    FindingCorrected,
    Item,
    Noted,
    PartNamed,
    Puzzle,
    RemarkSaid,
    Said,
    Walk,
    asks_kind,
    number_noted,
)


@dataclass(frozen=True, slots=True)
class Trade:
    """What the trade knows, from words/parts.py."""

    route: Callable[[str], tuple[str, ...]]
    """Kind of piano ("" = not known) -> its parts, in the order of a walk round it."""
    contradictory: Callable[[str, int | None], bool]
    """Whether a finding and a grade cannot both be meant."""
    belongs: Callable[[str, str], bool] = lambda part, kind: True
    """Whether a kind of piano ("" = not known) can have a part."""
    ordinary: Callable[[str, str, str], bool] = lambda part, finding, place: True
    """Whether a part can have a finding at a place, as far as its tables go; others may be said all the same."""


TALK = 0.1
"""How likely talk or silence is beside a finding, and what the ears take it for, where asking is weighed against
saying nothing: in a walkthrough most is meant for the tool. To be taken without a question a finding must be sure
without it (with it, of 800 sentences by test voices 13 more were right at once, and 5 more wrong). In 12.5 minutes of
development talk nothing came of it (at 0.05 one question); of 1,120 sentences by development voices in noise 6 % were
not taken, 8 % without it."""
ON_THE_WHOLE = frozenset({"", "not looked at", "good", "light wear", "worn", "failing", "unsafe"})
"""Findings that are a grade by another name (those that imply one, in words/parts.py), and a grade alone."""
MOST_WORDS = 6
"""Words of other talk up to which that holds; who says more tells a story."""
ODD = 0.05
"""How likely, beside what the ears take it for, is a finding that its part cannot have, or not there ..."""
NO_ROOM = 0.05
"""... a temperature said with its unit that no room with a piano has ("seventeen degrees Fahrenheit") ..."""
ROOM = (5, 35)
"""Degrees Celsius."""
GRADE_OF_NOTHING = 0.1
"""... a grade alone where nothing waits for one ..."""
OF_NO_PART = 0.05
"""... a finding without a part where the walkthrough is at none ..."""
OTHER_KIND = 0.1
"""... a part that this kind of piano does not have ..."""
NO_ANSWER, OTHER_PART = 0.2, 0.4
"""... talk or silence beside a command, and another part, where one was named and nothing said of it yet ..."""
WAITED_FOR = 0.1
"""... talk or silence beside a finding of that part (at 0.2, of 655 such sentences by development voices 10 more were
asked about; no other stood wrongly, and nothing of 77 stretches of talk) ..."""
AT_HAND, ASKED_FOR = 3.0, 10.0
"""... the part at hand by its name, in free order and where the tool has asked for it ..."""
SAID_AGAIN = 3.0
"""... what was just asked about, or what else it may have been: both were heard before, if not surely."""


@dataclass(frozen=True, slots=True)
class Meant:
    """One sentence with what it comes to here."""

    said: Said
    share: float
    """Of the recogniser, 0..1, equal meanings added."""
    finding: Finding | None = None
    """Complete, for sentences that give one."""
    replaces: int | None = None
    """Number of the item whose place it takes."""
    beside_talk: float = 1.0
    """The share with talk taken for as likely as a command is: what must be sure where nothing is asked."""
    corrects: bool = False
    refusal: str = ""
    """Why nothing can come of it; "" = something can."""


def weigh_walk(said: Sequence[tuple[Said, float]], walk: Walk, trade: Trade) -> tuple[Meant, ...]:
    """The meanings, best heard first; never empty when `said` is not."""
    merged: dict[object, Meant] = {}
    for sentence, share in said:
        meant = _meant(sentence, walk, trade)
        meant = replace(meant, share=share * _heard_before(meant, walk) * _likely_here(meant, walk, trade))
        same = _identity(meant)
        merged[same] = replace(merged[same], share=merged[same].share + meant.share) if same in merged else meant
    nothing = merged.get(Puzzle)
    talk = nothing.share if nothing is not None else 0.0
    meant_for_us = sum(m.share for m in merged.values()) - talk
    merged = {
        same: replace(m, beside_talk=m.share / (meant_for_us + talk * _usual_talk(m, walk) or 1.0))
        for same, m in merged.items()
    }
    if nothing is not None:
        long = sum(share for one, share in said if isinstance(one, Puzzle) and len(one.text.split()) > MOST_WORDS)
        rare = _likely_talk(merged.values(), walk)
        merged[Puzzle] = replace(nothing, share=long + (nothing.share - long) * rare)
    total = sum(m.share for m in merged.values()) or 1.0
    return tuple(sorted((replace(m, share=m.share / total) for m in merged.values()), key=lambda m: -m.share))


def _usual_talk(beside: Meant, walk: Walk) -> float:
    """How likely talk or silence is beside what would be done at once."""
    if not waits(walk):
        return 1.0
    return WAITED_FOR if isinstance(beside.said, Finding) and not beside.said.part else NO_ANSWER


def _likely_talk(heard: Iterable[Meant], walk: Walk) -> float:
    """How likely talk or silence is beside what else was heard. A finding is asked about rather than lost; a command
    does what it says at once, so it must be heard as well as ever."""
    findings, commands = 0.0, 0.0
    for one in heard:
        if one.finding is not None:
            findings += one.share
        elif not isinstance(one.said, Puzzle):
            commands += one.share
    if findings > commands and not walk.standing_by:
        return TALK
    return NO_ANSWER if waits(walk) else 1.0


def waits(walk: Walk) -> bool:
    """Whether a part was named or asked for, and nothing said of it yet."""
    return walk.part != "" and not (walk.standing_by or walk.of(walk.part))


def _heard_before(meant: Meant, walk: Walk) -> float:
    if walk.asking is None or meant.finding is None:
        return 1.0
    return SAID_AGAIN if meant.finding in (walk.asking.asked.finding, walk.asking.asked.otherwise) else 1.0


def _likely_here(meant: Meant, walk: Walk, trade: Trade) -> float:
    """How much likelier, or less, a meaning is at this place than the ears' grammar takes it for."""
    if isinstance(meant.said, PartNamed) and meant.finding is None:
        return _likely_part(meant.said.part, walk, trade)
    if isinstance(meant.said, Noted):
        return NO_ROOM if _of_no_room(meant.said) else 1.0
    if isinstance(meant.said, Finding) and not (meant.said.part or walk.part or asks_kind(walk)):
        return OF_NO_PART
    said = meant.said.finding if isinstance(meant.said, FindingCorrected) else meant.said
    if meant.finding is None or not isinstance(said, Finding):
        return 1.0
    if said.part:
        at_hand = (ASKED_FOR if walk.led else AT_HAND) if said.part == walk.part else 1.0
        can_be = 1.0 if trade.ordinary(said.part, said.finding, "") else ODD
        return at_hand * can_be * _likely_part(said.part, walk, trade)
    likely = 1.0 if trade.ordinary(meant.finding.part, said.finding, said.place) else ODD
    graded = walk.asking is not None or meant.corrects or meant.replaces is not None
    return likely if said.finding or said.place or graded else likely * GRADE_OF_NOTHING


def _of_no_room(said: Noted) -> bool:
    """Only with its unit: without one the number alone may have been meant in the other."""
    if said.what is not Circumstance.TEMPERATURE or "°" not in said.value:
        return False
    celsius = number_noted({said.what: said.value}, said.what)
    return celsius is not None and not ROOM[0] <= celsius <= ROOM[1]


def _likely_part(part: str, walk: Walk, trade: Trade) -> float:
    """The same of a part that is named, alone or with what is found of it."""
    likely = OTHER_PART if waits(walk) and part != walk.part else 1.0
    return likely if trade.belongs(part, walk.noted.get(Circumstance.KIND, "")) else likely * OTHER_KIND


def _identity(meant: Meant) -> object:
    if meant.finding is not None:
        return meant.finding
    return type(meant.said) if isinstance(meant.said, Puzzle | RemarkSaid) else meant.said


def _meant(said: Said, walk: Walk, trade: Trade) -> Meant:
    match said:
        case Finding():
            return _finding(said, walk, trade)
        case FindingCorrected(finding):
            return _corrected(said, finding, walk, trade)
        case PartNamed():
            return _part_named(said, walk)
        case _:
            return Meant(said, 0.0)


def last_item(walk: Walk) -> Item | None:
    """What stands and was said last."""
    return max(walk.stands, key=lambda i: i.n, default=None)


def _finding(said: Finding, walk: Walk, trade: Trade) -> Meant:
    asking, last = walk.asking, last_item(walk)
    if asking and asking.asked.about == "part" and not said.part:
        return Meant(said, 0.0, refusal="which part?")
    if asking and _answers(said := _as_a_grade(said, asking.asked), asking.asked):
        answered = _filled(said, asking.asked, trade)
        return Meant(said, 0.0, answered, _replaced(asking.asked, answered, walk))
    part = said.part or walk.part
    if not part:
        return Meant(said, 0.0, refusal="which part?")
    if not (said.part or said.finding) and last and last.finding.part == part and last.finding.grade is None:
        return Meant(said, 0.0, replace(last.finding, grade=said.grade), last.n)
    whole = _with_its_grade(replace(said, part=part), walk)
    return Meant(said, 0.0, whole, same_place(whole, walk))


def _answers(said: Finding, asked: FindingAsked) -> bool:
    """Whether it is about what is asked about. Where only the part is not sure, it holds another part; where only the
    place or the grade is not, another finding is one more."""
    if asked.about == "part":
        return said.finding == asked.finding.finding
    if said.part not in ("", asked.finding.part):
        return False
    return asked.about not in ("place", "grade") or said.finding in ("", asked.finding.finding)


def _as_a_grade(said: Finding, asked: FindingAsked) -> Finding:
    """Where only the grade is not sure, its name is the grade: "failing" is no finding of its own."""
    named = asked.about == "grade" and said.finding in ON_THE_WHOLE and not (said.part or said.place)
    return replace(said, finding="") if named else said


def _with_its_grade(finding: Finding, walk: Walk) -> Finding:
    """Said once more without a grade, it keeps the one that it has."""
    graded = (i.finding for i in walk.of(finding.part) if _seen(i.finding) == _seen(finding) and i.finding.grade)
    older = next(graded, None)
    return finding if older is None or finding.grade is not None else older


def _filled(said: Finding, asked: FindingAsked, trade: Trade) -> Finding:
    """An answer in the words of a finding: a grade alone is of the finding asked about, and where only one thing of
    it was asked about, what is not said again stays."""
    if not (said.finding or said.part):
        either = asked.why is Doubt.CONTRADICTS
        return _graded(asked.finding, said.grade, trade) if either else replace(asked.finding, grade=said.grade)
    part = said.part or asked.finding.part
    if not asked.about:
        return replace(said, part=part)
    kept = asked.finding.grade if said.grade is None else said.grade
    grade = None if said.grade is None and trade.contradictory(said.finding, kept) else kept
    return Finding(part, said.finding, said.place or asked.finding.place, grade)


def _part_named(said: PartNamed, walk: Walk) -> Meant:
    """A part alone is the answer where only the part was not sure."""
    if walk.asking is None or walk.asking.asked.about != "part":
        return Meant(said, 0.0)
    whole = replace(walk.asking.asked.finding, part=said.part)
    return Meant(said, 0.0, whole, same_place(whole, walk))


def _replaced(asked: FindingAsked, answered: Finding, walk: Walk, *, corrects: bool = False) -> int | None:
    """The item that an answer takes the place of: what the question would have replaced, or what stands of it."""
    same = (answered.part, *_seen(answered)) == (asked.finding.part, *_seen(asked.finding))
    if same and asked.replaces is not None:
        return asked.replaces
    if corrects and asked.about == "grade" and (known := same_place(asked.finding, walk)) is not None:
        return known
    return same_place(answered, walk)


def _graded(finding: Finding, grade: int | None, trade: Trade) -> Finding:
    """The finding with a grade said after it; where the two contradict each other, the grade alone was meant."""
    name = "" if trade.contradictory(finding.finding, grade) else finding.finding
    return replace(finding, finding=name, grade=grade)


def _seen(finding: Finding) -> tuple[str, str]:
    return finding.finding, finding.place


def same_place(finding: Finding, walk: Walk) -> int | None:
    """Number of the item that says the same but for the grade, or that the part was not looked at. A part is good,
    worn, or 4 on the whole, one of them."""
    return max((i.n for i in walk.of(finding.part) if _is_same(i.finding, finding)), default=None)


def _is_same(older: Finding, finding: Finding) -> bool:
    if older.grade == 0 or _seen(older) == _seen(finding):
        return True
    return older.place == finding.place and {older.finding, finding.finding} <= ON_THE_WHOLE


def _corrected(said: Said, right: Finding, walk: Walk, trade: Trade) -> Meant:
    """A correction answers the open question, else it is about the last finding."""
    if walk.asking:
        asked = walk.asking.asked
        finding = _put_right(asked.finding, _as_a_grade(right, asked), trade)
        return Meant(said, 0.0, finding, _replaced(asked, finding, walk, corrects=True), corrects=True)
    last = last_item(walk)
    if last is None:
        return Meant(said, 0.0, refusal="there is nothing to correct")
    return Meant(said, 0.0, _put_right(last.finding, right, trade), last.n, corrects=True)


def _put_right(wrong: Finding, right: Finding, trade: Trade) -> Finding:
    """What was not said stays, as far as it can be true beside what was."""
    part, place = right.part or wrong.part, right.place or wrong.place
    if right.finding:
        grade = wrong.grade if right.grade is None else right.grade
        kept = None if right.grade is None and trade.contradictory(right.finding, grade) else grade
        return Finding(part, right.finding, place, kept)
    if right.grade is None:
        return Finding(part, wrong.finding, place, wrong.grade)
    return _graded(Finding(part, wrong.finding, place), right.grade, trade)
