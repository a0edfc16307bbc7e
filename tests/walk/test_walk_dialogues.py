"""Dialogues of the walkthrough as files, like those of tests/dialogues.

    you: hammers grooved three      one thing said; alternatives with shares: `a .6 | b .4`
    type: remark ...                the same from the keyboard
    it: taken: Hammers, ...         outcome, then the whole spoken line
    at: hammers                     the part where the walkthrough is
    restart                         the process ends and a new one opens the journal; `it:` then is its greeting
    ---
    hammers,grooved,,3,taken        part, finding, place, grade, standing: what stands and is unsettled, oldest first
    remark: hammers: ...            remarks that stand; (sound) for a spoken one
    noted: humidity=48              circumstances

Instruments and findings are invented. After each dialogue the facts alone must fold to the same walkthrough,
also after they went through JSON, and the sheet of the keys must be empty.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from handsfree.journal.facts_json import fact_from_json, fact_to_json
from handsfree.journal.memory import MemoryJournal
from handsfree.journal.walk import walk_fold
from handsfree.judgement.walk_meanings import ON_THE_WHOLE
from handsfree.nouns import Alternative, Heard, Pass, Standing, Turn, Walk
from handsfree.session import Session
from handsfree.words.parts import FOUND
from tests.dialogues.test_dialogues import alternatives, play

FILES = sorted((Path(__file__).parent / "dialogues").glob("*.txt"))


@dataclass
class Stage:
    journal: MemoryJournal = field(default_factory=MemoryJournal)
    turn: Turn | None = None

    def __post_init__(self) -> None:
        self.session = Session(self.journal)
        self.session.set_pass(Pass.WALKTHROUGH)

    def do(self, word: str, rest: str) -> None:
        match word:
            case "you":
                said = alternatives(rest) if rest else (Alternative("", 1.0),)
                self.turn = self.session.hear(Heard(said, self.session.context))
            case "type":
                self.turn = self.session.typed(rest)
            case "restart":
                self.session = Session(self.journal)
                self.turn = self.session.greeting()
            case "it":
                assert self.turn is not None
                assert f"{self.turn.outcome.value}: {self.turn.line}".strip() == rest
                self.turn = None
            case "at":
                assert self.session.walk.part == rest
            case _:
                raise AssertionError(f"no such line: {word}: {rest}")


def table(walk: Walk) -> list[str]:
    rows = [
        f"{i.finding.part},{i.finding.finding},{i.finding.place},"
        f"{'-' if i.finding.grade is None else i.finding.grade},{i.standing.value}"
        for i in walk.items
        if i.stands or i.standing is Standing.UNSETTLED
    ]
    rows += [f"remark: {r.part}: {r.text or '(sound)'}" for r in walk.remarks if not r.withdrawn]
    return rows + [f"noted: {what.value}={value}" for what, value in walk.noted.items() if what.value != "kind"]


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_dialogue(path: Path) -> None:
    stage = Stage()
    rows = play(path, stage.do, lambda: stage.turn is not None)
    assert table(stage.session.walk) == rows, path.name
    assert walk_fold(stage.journal.facts()) == stage.session.walk
    through_json = (replace(k, fact=fact_from_json(*fact_to_json(k.fact))) for k in stage.journal.facts())
    assert walk_fold(through_json) == stage.session.walk
    assert not stage.session.sheet.entries


def test_there_are_dialogues() -> None:
    assert len(FILES) >= 14


def test_what_a_part_is_on_the_whole_is_what_implies_a_grade() -> None:
    assert {"", *(name for name, found in FOUND.items() if found.implied is not None)} == ON_THE_WHOLE
