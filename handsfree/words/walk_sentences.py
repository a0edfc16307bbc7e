"""The sentences of the walkthrough: part, finding, where, grade, and what steers it.

Everything comes from the tables of parts.py. What has no part ("cracked three", "two") is about the part where the
walkthrough is. Free text (remarks, the place, the history of the humidity) is typed, or kept as sound.

What is said in several places is one expression, cached: the automaton is made of it only once.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from handsfree import nouns
from handsfree.nouns import OTHER_TALK, Context, Finding, FindingCorrected, OffKeyboard, RemarkSaid, Said
from handsfree.reckoning.compass import note_name
from handsfree.words import parts
from handsfree.words.circumstances import climate, free_note, kind
from handsfree.words.expressions import (
    EMPTY,
    Act,
    Alt,
    Expression,
    Numeral,
    Word,
    meaning,
    perhaps,
    phrase,
    seq,
)
from handsfree.words.notes import any_note
from handsfree.words.procedure import any_pass, go_ahead, new_sitting_sentence, no, yes
from handsfree.words.sentence import Sentence
from handsfree.words.spoken import digit_of

WITH_PLACE, WITH_GRADE, GRADED_TWICE = 0.3, 0.6, 0.08
"""Chances of a place, of a grade, and of a grade after a word that means one ("good one")."""
OTHER_NAME = 0.15
"""How likely each other name of a part or finding is beside the usual one. "Groove", "grooves" and "grooved" sound so
much alike that more would fill the recogniser's alternatives."""
PLACE_BY_NOTE = 0.2
CONTRADICTION = 0.05
"""How likely a grade that does not go with the finding is beside one that does."""
GRADE_BY_NAME = 0.1
"""How often a grade is said by its name after a finding ("cracked, unsafe") instead of its number."""
GRADE_OF_A_PART, GRADE_ALONE = 0.02, 0.1
"""Chances that a grade is all that is said: after the part ("hammers two"), and without one."""

FINDING_FIRST = 0.1
"""How often a finding that is not said after its part is said before it ("cracked soundboard"). No place stands
between them: "good treble cheek" is good at that cheek."""

Where = str | OffKeyboard
Seen = tuple[str, str, Where, int | None]
"""Finding, the part where it is said after it, where, grade."""


def walk_sentences(context: Context) -> tuple[tuple[float, Sentence], ...]:
    """The sentences of a context with their chances, which add up to 1."""
    if context is Context.REMARK:
        # the strict grammar takes other talk everywhere; here nothing else is wanted
        return ((1.0, Sentence("*remark*", "Kept as sound until you pause.", (), meaning(RemarkSaid(), EMPTY), 1.0)),)
    groups = [(0.5, _steering()), (0.5, _answers())]
    if context is Context.WALKTHROUGH:
        groups = [(1.0, (*_steering(), _answer_to_nothing()))]
    return tuple(
        (share * s.weight / sum(other.weight for other in group), s) for share, group in groups for s in group
    )


def _steering() -> tuple[Sentence, ...]:
    named = _any_of(parts.PARTS)
    return (
        Sentence("*part* *finding* *where* *grade*", "Takes the finding; where and grade may be left out. Grades, by "
                 "number or name: 0 not looked at, 1 good, 2 light wear, 3 worn, 4 failing, 5 unsafe.",
                 ("hammers grooved three", "case scratch bass cheek one", "dampers good",
                  "treble bridge cracked failing", "string missing F sharp five", "soundboard not looked at"),
                 _with_part(), 0.5),
        Sentence("*finding* *where* *grade*", "The same of the part where the walkthrough is, or of the part that is "
                 "said after the finding.", ("cracked three", "good", "two", "cracked soundboard three"),
                 _without_part(part_after=True), 0.3),
        Sentence("*part*", "Goes to that part.", ("hammer shanks", "wrest plank"),
                 Act(named, nouns.PartNamed), 0.03),
        Sentence("correction *finding*", "The last finding was wrong, this is right; what is not said stays.",
                 ("correction four", "correction hammers grooved two"),
                 seq(Word("correction"), _corrected()), 0.04),
        Sentence("disregard", "Withdraws the last finding or remark.", ("disregard",),
                 meaning(nouns.Disregard(), "disregard"), 0.02),
        Sentence("lead me, stop leading", "Asks which kind of piano it is, then part by part, until told to stop.",
                 ("lead me", "stop leading"),
                 Alt(((0.8, meaning(nouns.LeadMe(True), "lead me")),
                      (0.2, meaning(nouns.LeadMe(False), "stop leading")))), 0.01),
        Sentence("next, back, skip", "On to the next part, or back; a part left without a word was not looked at.",
                 ("next", "back", "skip"), _move(), 0.05),
        Sentence("remark", "What you say next, in the same breath or after it, is kept as sound with the last "
                 "finding, until you pause for two seconds. Typed with its text, it is kept as text.", ("remark",),
                 _remark(), ANNOUNCED + IN_ONE_BREATH),
        Sentence("temperature *number*, humidity *number*", "Notes the room's climate; \"humidity from ... to ...\", "
                 "what the instrument has been through.",
                 ("temperature twenty one", "temperature seventy degrees fahrenheit", "humidity forty five percent",
                  "humidity from thirty to sixty five"),
                 climate(), 0.02),
        Sentence("grand, upright", "Says which it is: parts of the other kind are left out.", ("grand", "upright"),
                 kind(), 0.005),
        Sentence("touch pass, swing pass, walkthrough", "Goes over to the keys; \"walkthrough\" says where it is.",
                 ("touch pass", "swing pass", "walkthrough"), any_pass(), 0.003),
        new_sitting_sentence(),
        Sentence("say again", "Repeats the question or the last finding.", ("say again",),
                 meaning(nouns.SayAgain(), "say again"), 0.01),
        Sentence("read back", "Says what stands of a part.", ("read back", "read back hammers"),
                 seq(phrase("read back"), Alt(((0.7, meaning(nouns.ReadPart(), EMPTY)),
                                               (0.3, Act(named, nouns.ReadPart))))), 0.015),
        Sentence("stand by", "Takes nothing in until \"go ahead\".", ("stand by",),
                 meaning(nouns.StandBy(), "stand by"), 0.01),
        Sentence("go ahead", "Listens again.", ("go ahead",), go_ahead(), 0.0005),
    )  # fmt: skip


def _answers() -> tuple[Sentence, ...]:
    return (
        Sentence("affirm, yes", "The finding as heard is right.", ("affirm", "yes"),
                 meaning(nouns.Answer(True), yes()), 0.6),
        Sentence("negative, no", "The finding as heard is wrong; it is dropped.", ("negative", "no"),
                 meaning(nouns.Answer(False), no()), 0.3),
        Sentence("negative *finding*", "It is wrong, this is right.", ("negative four", "no hammers worn three"),
                 seq(no(), _corrected()), 0.1),
    )  # fmt: skip


def _answer_to_nothing() -> Sentence:
    """A yes too many: were it no sentence, the ear would take it for the nearest one ("yes" for "next")."""
    either = Alt(((0.5, meaning(nouns.Answer(True), yes())), (0.5, meaning(nouns.Answer(False), no()))))
    return Sentence("yes, no", "Nothing: no question is open.", (), either, 0.01)


# ---------------------------------------------------------------- findings


def _said(before: str, part: str, seen: Seen) -> Said:
    """The finding, its grade as said or as the words imply; a note that no piano has is refused."""
    finding, after, place, grade = seen
    if isinstance(place, OffKeyboard):
        return place
    where = ", ".join(filter(None, (before, place)))
    return Finding(part or after, finding, where, parts.implied_grade(finding) if grade is None else grade)


def _with_part() -> Alt:
    """Every part with the findings that it can have; parts with the same findings share them."""
    alike: dict[tuple[str, ...], list[parts.Part]] = defaultdict(list)
    for part in parts.PARTS:
        alike[tuple(sorted(part.families))].append(part)
    before = Alt(tuple((1.0, meaning(place, place)) for place in parts.BEFORE_THE_PART))
    branches: list[tuple[float, Expression]] = []
    for those in alike.values():
        seen = _seen(parts.findings_of(those[0]), GRADE_OF_A_PART)
        named = _any_of(those)
        branches.append((0.9 * len(those), Act(seq(named, seen), lambda part, rest: _said("", part, rest))))
        branches.append((0.1 * len(those), Act(seq(before, named, seen), _said)))
    return Alt(tuple(branches))


def _without_part(*, part_after: bool = False) -> Act:
    """Of the part at hand; or the finding first and then its part: which can have it, the judgement knows."""
    return Act(_seen(parts.all_findings(), GRADE_ALONE, part_after), lambda seen: _said("", "", seen))


@cache
def _seen(findings: tuple[parts.Found, ...], grade_alone: float, part_after: bool = False) -> Alt:
    """Finding, where, grade; or a grade alone: means a `Seen`. Findings that go with the same grades share them."""
    nothing = meaning("", EMPTY)
    after = perhaps(FINDING_FIRST, _after_a_finding(), nothing) if part_after else nothing
    told: list[tuple[float, Expression]] = []
    for grades, those in _by_grades(findings).items():
        chance = WITH_GRADE if grades[2] else GRADED_TWICE
        found = Alt(tuple((parts.USUAL.get(f.name, 1.0), _called(f.name, f.also)) for f in those))
        grade = _perhaps_graded(chance, range(grades[0], grades[1] + 1))
        told.append((found.weight, Act(seq(found, after, _where(), grade), lambda *seen: seen)))
    alone = Act(_grade_alone(), lambda g: ("", "", "", g))
    return Alt(((1 - grade_alone, Alt(tuple(told))), (grade_alone, alone)))


def _after_a_finding() -> Alt:
    """Any part, but by no name that makes another part's with a finding before it ("soft pedal")."""
    names = {name for part in parts.PARTS for name in (part.name, *part.also)}
    ways = [way for found in parts.all_findings() for way in (found.name, *found.also)]
    ends = {name for name in names if any(f"{way} {name}" in names for way in ways)}
    return _any_of([replace(part, also=tuple(n for n in part.also if n not in ends)) for part in parts.PARTS])


def _by_grades(findings: tuple[parts.Found, ...]) -> dict[tuple[int, int, bool], list[parts.Found]]:
    """The findings by the grades that they can go with, and by whether one is still to be said."""
    alike: dict[tuple[int, int, bool], list[parts.Found]] = defaultdict(list)
    for found in findings:
        alike[found.least, found.most, found.implied is None].append(found)
    return alike


def _corrected() -> Act:
    """A whole finding, or only what was wrong of it: another finding, grade, or place."""
    where = Act(_place(), lambda place: _said("", "", ("", "", place, None)))
    right = Alt(((0.4, _with_part()), (0.5, _without_part()), (0.1, where)))
    return Act(right, lambda said: FindingCorrected(said) if isinstance(said, Finding) else said)


def _any_of(those: Sequence[parts.Part]) -> Alt:
    return Alt(tuple((1.0, _called(part.name, part.also)) for part in those))


def _called(name: str, also: tuple[str, ...]) -> Alt:
    """All that means `name`; words with a hyphen are written without one when typed, others apart or together."""
    ways = [(_chance_of_name(text, name), phrase(text)) for text in (name, *also)]
    ways += [(0.0, phrase(text.replace("-", " "))) for text in (name, *also) if "-" in text]
    ways += [(0.0, phrase(parts.TYPED_OTHERWISE[text])) for text in (name, *also) if text in parts.TYPED_OTHERWISE]
    return Alt(tuple((weight, meaning(name, way)) for weight, way in ways))


def _chance_of_name(text: str, name: str) -> float:
    if not parts.SPELT_OTHERWISE.isdisjoint(text.split()):
        return 0.0
    return 1.0 if text == name else OTHER_NAME


@cache
def _where() -> Alt:
    return perhaps(WITH_PLACE, _place(), meaning("", EMPTY))


@cache
def _place() -> Alt:
    """A region of the part, a note, or a stretch from note to note; means its name, or OffKeyboard."""
    weights = [parts.USUAL_PLACES.get(place, 1.0) for place in parts.PLACES]
    named = tuple(
        (weight / sum(weights), meaning(place, place)) for weight, place in zip(weights, parts.PLACES, strict=True)
    )
    note = any_note()
    one = Act(note, lambda key: key if isinstance(key, OffKeyboard) else note_name(key))
    stretch = Act(seq(note, Word("to"), note), _stretch)
    return Alt((*((share * (1 - PLACE_BY_NOTE), place) for share, place in named),
                (0.7 * PLACE_BY_NOTE, one), (0.3 * PLACE_BY_NOTE, stretch)))  # fmt: skip


def _stretch(first: int | OffKeyboard, last: int | OffKeyboard) -> Where:
    for end in (first, last):
        if isinstance(end, OffKeyboard):
            return end
    return " to ".join(note_name(key) for key in (first, last) if isinstance(key, int))


@cache
def _perhaps_graded(chance: float, likely: range) -> Alt:
    return perhaps(chance, _grade(likely), meaning(None, EMPTY))


@cache
def _grade(likely: range) -> Alt:
    """A digit, most likely one of `likely`."""

    def chance(grade: int) -> float:
        return parts.GRADED_SO[grade] * (1.0 if grade in likely else CONTRADICTION)

    digit = _digit_or_grade(digit_of(chance, range(len(parts.GRADES))))
    named = tuple((chance(g), meaning(g, name)) for g, name in enumerate(parts.GRADES))
    return Alt(((1 - GRADE_BY_NAME, digit), (GRADE_BY_NAME, Alt(named))))


@cache
def _grade_alone() -> Alt:
    return _digit_or_grade(digit_of(lambda grade: parts.GRADED_ALONE[grade], range(len(parts.GRADES))))


def _digit_or_grade(digit: Alt) -> Alt:
    return Alt(((0.9, digit), (0.1, seq(Word("grade"), digit)), (0.0, Numeral(parts.UNSAFE, whole=True)),
                (0.0, seq(Word("grade"), Numeral(parts.UNSAFE, whole=True)))))  # fmt: skip


# ---------------------------------------------------------------- steering


def _move() -> Alt:
    return Alt(((0.7, meaning(nouns.Move("next"), "next")), (0.15, meaning(nouns.Move("back"), "back")),
                (0.15, meaning(nouns.Move("skip"), "skip"))))  # fmt: skip


# ---------------------------------------------------------------- remarks

ANNOUNCED, IN_ONE_BREATH = 0.06, 0.2
"""Weights of the word alone and of a remark in one breath, beside 0.5 for a finding with its part. More than its
chance: other talk alone is so cheap for the ear (strict_grammar.WALK_UNKNOWN_COSTS) that it swallowed the word."""
MORE_TALK = 0.22
"""Chance of each further word of other talk in a remark: dear, or talk for nobody would be taken for a remark."""
MOST_TALK_HEARD = 12
"""Words of other talk after "remark" that the ear is given at most."""


def _remark() -> Alt:
    """The word alone, or with other talk in the same breath: of that only the beginning (see `begins_remark`)."""
    talk: Expression = Word(OTHER_TALK)
    for _ in range(MOST_TALK_HEARD - 1):
        talk = seq(Word(OTHER_TALK), perhaps(MORE_TALK, talk))
    return Alt(((ANNOUNCED, meaning(nouns.RemarkBegun(), "remark")),
                (IN_ONE_BREATH, meaning(RemarkSaid(), seq(Word("remark"), talk)))))  # fmt: skip


def begins_remark(text: str, context: Context) -> bool:
    """Whether what was heard so far is a remark in one breath: from then on its words need no decoding."""
    first, *rest = text.split() or [""]
    return context in (Context.WALKTHROUGH, Context.WALK_ANSWER) and first == "remark" and set(rest) == {OTHER_TALK}


_NO_REMARK: dict[str, Said] = {"disregard": nouns.Disregard(), "stand by": nouns.StandBy()}
"""Typed where a remark was announced; by voice everything is the remark."""
_REMARK = re.compile(r"remark[:,]? (?P<text>.+)", re.IGNORECASE)


def free_text(text: str, context: Context) -> Said | None:
    """A remark, or a circumstance in words of one's own, exactly as typed; None for all else.

    By voice every word of a remark is other talk, and its text stays empty: it stands as sound.
    """
    text = " ".join(text.split())
    if context is Context.REMARK:
        typed = _NO_REMARK.get(text.lower())
        return typed or (_remark_of(text) if text else None)
    remark = _REMARK.match(text)
    return _remark_of(remark["text"]) if remark else free_note(text)


def _remark_of(text: str) -> RemarkSaid:
    return RemarkSaid("" if set(text.split()) == {OTHER_TALK} else text)
