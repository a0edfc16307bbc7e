"""Whatever is said in a walkthrough, in whatever order and however unclear: nothing breaks, nothing is made up."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from handsfree.journal.facts_json import fact_from_json, fact_to_json
from handsfree.journal.memory import MemoryJournal
from handsfree.journal.walk import walk_fold
from handsfree.judgement.walk_meanings import ON_THE_WHOLE
from handsfree.nouns import (
    Alternative,
    Context,
    Finding,
    FindingCorrected,
    Heard,
    PartNamed,
    Pass,
    Said,
    Standing,
)
from handsfree.session import Session
from handsfree.words import parts
from handsfree.words.grammar import sample, understand
from tests.words.choosing import as_likely

SPOKEN = (Context.WALKTHROUGH, Context.WALK_ANSWER)
TALK = ("", "[unk]", "[unk] [unk]", "hammers three four", "yes", "no")


def alternatives(chance: random.Random) -> tuple[Alternative, ...]:
    choose = as_likely(chance.randrange(10**6))
    texts = [sample(chance.choice(SPOKEN), choose)[0] if chance.random() < 0.8 else chance.choice(TALK)
             for _ in range(chance.choice((1, 1, 1, 2, 3)))]  # fmt: skip
    weights = [chance.random() ** 3 + 0.01 for _ in texts]
    ranked = sorted(zip(texts, weights, strict=True), key=lambda pair: -pair[1])
    return tuple(Alternative(text, weight / sum(weights)) for text, weight in ranked)


@pytest.mark.parametrize("seed", range(25))
def test_any_walkthrough(seed: int) -> None:
    chance = random.Random(seed)
    journal = MemoryJournal()
    session = Session(journal)
    session.set_pass(Pass.WALKTHROUGH)
    for _ in range(60):
        context = session.context
        if session.sheet.doing is not Pass.WALKTHROUGH:
            session.set_pass(Pass.WALKTHROUGH)
            continue
        before = session.walk
        turn = session.hear(Heard(alternatives(chance), context))
        assert turn.line == " ".join(turn.line.split())
        if context is Context.STANDING_BY:
            assert session.walk.items == before.items
        # an item never disappears, and whatever stands has a grade that exists
        numbers = {i.n for i in session.walk.items}
        settled = {i.n for i in before.items if i.standing is not Standing.UNSETTLED}
        assert settled <= numbers
        assert all(i.finding.part and i.finding.grade in (None, 0, 1, 2, 3, 4, 5) for i in session.walk.items)
        assert sum(not q.put_off for q in session.walk.questions) <= 1
        asked = {q.n for q in session.walk.questions}
        assert asked == {i.n for i in session.walk.items if i.standing is Standing.UNSETTLED}
    assert walk_fold(journal.facts()) == session.walk
    through = (replace(k, fact=fact_from_json(*fact_to_json(k.fact))) for k in journal.facts())
    assert walk_fold(through) == session.walk
    assert Session(journal).walk == session.walk


@pytest.mark.parametrize("seed", range(25))
def test_what_stands_was_said_in_one_of_the_alternatives(seed: int) -> None:
    """Part, finding, place and grade, each in some utterance; or the part asked for, the grade that is implied."""
    chance = random.Random(1000 + seed)
    journal = MemoryJournal()
    session = Session(journal)
    session.set_pass(Pass.WALKTHROUGH)
    ever: set[object] = set()
    for _ in range(40):
        if session.sheet.doing is not Pass.WALKTHROUGH:
            session.set_pass(Pass.WALKTHROUGH)
            continue
        said = alternatives(chance)
        for one in said:
            ever |= named(understand(one.text, session.context))
        session.hear(Heard(said, session.context))
        ever |= {session.walk.part} if session.walk.led else set()
        for item in session.walk.stands:
            f = item.finding
            implied = {"", None, parts.implied_grade(f.finding)}
            assert {f.part, f.finding, f.place, f.grade} <= ever | implied, (item, said)


def named(said: Said) -> set[object]:
    """All that is named in what was said; an answer to a question holds the finding of it."""
    match said:
        case Finding() | FindingCorrected():
            f = said if isinstance(said, Finding) else said.finding
            return {f.part, f.finding, f.place, f.grade}
        case PartNamed():
            return {said.part}
        case _:
            return set()


def test_what_a_part_is_on_the_whole_is_what_implies_a_grade() -> None:
    assert {"", *(name for name, found in parts.FOUND.items() if found.implied is not None)} == ON_THE_WHOLE
