"""Dialogues as files: what is said, what the tool answers, and the table that must stand at the end.

    # why this dialogue exists
    plan: naturals                  how the pass is set up; also `weights: down`
    you: c four sixty one           one thing said; alternatives with shares: `you: b four .6 | d four .4`
    count: one .3 two .9 three 1.5  counted aloud, each word with the time at which it begins, in seconds;
                                    alternatives: `count: one .3 two .9 70% | two .9 30%`
    type: c4 52 28                  the same from the keyboard
    pass: swings                    what is taken from now on, as the command line says it
    it: asked: C four, ...?         outcome, then the whole spoken line (nothing after the colon: nothing is said)
    at: D4                          where the pass is now
    restart                         the process ends and a new one opens the journal; `it:` then is its greeting
    ---
    C4,down,61,confirmed            the table: what stands and what is unsettled, by key, down before up

Adding a case needs no Python. Figures are made up; what is asked about follows the query limits (common practice, no
source). After each dialogue the journal's facts alone must fold to the same sheet.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from handsfree.journal.memory import MemoryJournal
from handsfree.journal.sheet import fold
from handsfree.judgement.limits import Limits
from handsfree.nouns import (
    Alternative,
    Context,
    Heard,
    Pass,
    Quantity,
    Sheet,
    Standing,
    Turn,
    Utterance,
    Word,
)
from handsfree.session import Session
from handsfree.words.notes import note_name
from handsfree.words.plans import plan_named

FILES = sorted(Path(__file__).parent.glob("*.txt"))
SHARE = re.compile(r"^(?P<text>.*?)\s*(?P<share>0?\.\d+|1\.0)?$")


@dataclass
class Stage:
    """A session with its journal, as the lines of a dialogue move it."""

    limits: Limits = field(default_factory=Limits)
    journal: MemoryJournal = field(default_factory=MemoryJournal)
    turn: Turn | None = None

    def __post_init__(self) -> None:
        self.session = Session(self.journal, self.limits)

    def do(self, word: str, rest: str) -> None:
        match word:
            case "plan":
                plan = plan_named(rest)
                assert plan is not None, rest
                self.session.set_plan(plan)
            case "weights":
                assert rest in ("down", "down and up")
                self.limits = Limits(weights="down" if rest == "down" else "down and up")
                self.session = Session(self.journal, self.limits)
            case "you":
                self.turn = self.session.hear(Heard(alternatives(rest), self.session.context))
            case "count":
                self.turn = self.session.hear(counted(rest, self.session.context))
            case "pass":
                self.session.set_pass(Pass(rest))
            case "type":
                self.turn = self.session.typed(rest)
            case "restart":
                self.session = Session(self.journal, self.limits)
                self.turn = self.session.greeting()
            case "it":
                assert self.turn is not None
                assert f"{self.turn.outcome.value}: {self.turn.line}".strip() == rest
                self.turn = None
            case "at":
                place = self.session.sheet.place
                assert (note_name(place) if place else "nowhere") == rest
            case _:
                raise AssertionError(f"no such line: {word}: {rest}")


def alternatives(text: str) -> tuple[Alternative, ...]:
    parts = [SHARE.match(part.strip()) for part in text.split("|")]
    found = [(m["text"], float(m["share"] or 1.0)) for m in parts if m]
    assert abs(sum(share for _, share in found) - 1) < 1e-9, f"shares of {text!r} do not add up to 1"
    return tuple(Alternative(text, share) for text, share in found)


LAST_WORD = 0.3
"""Seconds that the last word of a count lasts; the sound ends with it."""


def counted(text: str, context: Context) -> Heard:
    found = []
    for part in text.split("|"):
        tokens = part.split()
        share = float(tokens.pop()[:-1]) / 100 if tokens[-1].endswith("%") else 1.0
        said = zip(tokens[::2], map(float, tokens[1::2]), strict=True)
        words = tuple(Word(word, start, start + LAST_WORD, 1.0) for word, start in said)
        found.append(Alternative(" ".join(w.text for w in words), share, words))
    assert abs(sum(a.share for a in found) - 1) < 1e-9, f"shares of {text!r} do not add up to 1"
    end = max(a.words[-1].end for a in found)
    return Heard(tuple(found), context, utterance=Utterance(b"", 16_000, 0.0, end))


def table(sheet: Sheet) -> list[str]:
    """What stands and what is unsettled, by key, down before up."""
    open_ones = [e for e in sheet.entries if e.standing is Standing.UNSETTLED]
    entries = sorted([*sheet.standing.values(), *open_ones], key=lambda e: (e.key, e.quantity is Quantity.UP, e.n))
    return [f"{note_name(e.key)},{e.quantity.value},{'no return' if e.value is None else e.value},{e.standing.value}"
            for e in entries]  # fmt: skip


def lines_of(path: Path) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
        line = line.partition("#")[0].strip() if line.startswith("#") else line.strip()
        if line:
            yield number, line


def play(path: Path, do: Callable[[str, str], None], waiting: Callable[[], bool]) -> list[str]:
    """Act a dialogue file, line by line; the rows of the table that must stand afterwards.

    `do`: one line, its word and the rest. `waiting`: whether a turn has not been answered by an `it:` line yet.
    """
    rows: list[str] | None = None
    for number, line in lines_of(path):
        if rows is not None:
            rows.append(line)
        elif line == "---":
            rows = []
        else:
            word, _, rest = line.partition(":")
            assert not waiting() or word == "it", f"{path.name}:{number}: an `it:` line is missing"
            try:
                do(word.strip(), rest.strip())
            except AssertionError as error:
                raise AssertionError(f"{path.name}:{number}: {line}\n{error}") from error
    assert not waiting(), f"{path.name}: the last `it:` line is missing"
    assert rows is not None, f"{path.name}: no table"
    return rows


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_dialogue(path: Path) -> None:
    stage = Stage()
    rows = play(path, stage.do, lambda: stage.turn is not None)
    assert table(stage.session.sheet) == rows, path.name
    assert fold(stage.journal.facts()) == stage.session.sheet


def test_there_are_dialogues() -> None:
    assert len(FILES) >= 40
