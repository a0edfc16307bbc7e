"""How a dialogue file is acted: a session without a machine, moved line by line (the lines: test_dialogues.py)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.limits import Limits
from handsfree.nouns import Alternative, Context, Heard, Pass, Quantity, Sheet, Standing, Turn, Utterance, Walk, Word
from handsfree.reckoning.compass import note_name
from handsfree.session import Session
from handsfree.words.plans import plan_named

SHARE = re.compile(r"^(?P<text>.*?)\s*(?P<share>0?\.\d+|1\.0)?$")
LAST_WORD = 0.3
"""Seconds that the last word of a count lasts; the sound ends with it."""
IN_BETWEEN = 10.0
"""Seconds from the beginning of a count to that of the next: nothing is said over a question."""
NOT_ASKED = {
    Context.ANSWER: Context.TOUCH,
    Context.SWINGS_ANSWER: Context.SWINGS,
    Context.WALK_ANSWER: Context.WALKTHROUGH,
}
"""What is still listened for while a question is not heard yet."""


@dataclass
class Stage:
    """A session with its journal, as the lines of a dialogue move it."""

    limits: Limits = field(default_factory=Limits)
    journal: MemoryJournal = field(default_factory=MemoryJournal)
    turn: Turn | None = None
    """What has not been answered by an `it:` line yet."""
    counts: int = 0

    def __post_init__(self) -> None:
        self.session = Session(self.journal, self.limits)

    def play(self, path: Path) -> list[str]:
        """Act a file; the rows of the table that must stand afterwards."""
        rows: list[str] | None = None
        for number, line in lines_of(path):
            if rows is not None:
                rows.append(line)
            elif line == "---":
                rows = []
            else:
                word, _, rest = line.partition(":")
                assert self.turn is None or word == "it", f"{path.name}:{number}: an `it:` line is missing"
                try:
                    self.do(word.strip(), rest.strip())
                except AssertionError as error:
                    raise AssertionError(f"{path.name}:{number}: {line}\n{error}") from error
        assert self.turn is None, f"{path.name}: the last `it:` line is missing"
        assert rows is not None, f"{path.name}: no table"
        return rows

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
            case "pass":
                self.session.set_pass(Pass(rest))
            case "you":
                self.turn = self.session.hear(Heard(alternatives(rest), self.session.context))
            case "count":
                self.counts += 1
                self.turn = self.session.hear(counted(rest, self.session.context, self.counts * IN_BETWEEN))
            case "at once":
                context = self.session.context
                self.turn = self.session.hear(Heard(alternatives(rest), NOT_ASKED.get(context, context)))
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
                assert place_of(self.session) == rest
            case _:
                raise AssertionError(f"no such line: {word}: {rest}")

    def table(self) -> list[str]:
        """What stands and what is unsettled, of the keys and of the parts."""
        return [*keys_table(self.session.sheet), *walk_table(self.session.walk)]


def lines_of(path: Path) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
        if line.strip() and not line.startswith("#"):
            yield number, line.strip()


def alternatives(text: str) -> tuple[Alternative, ...]:
    parts = [SHARE.match(part.strip()) for part in text.split("|")]
    found = [(m["text"], float(m["share"] or 1.0)) for m in parts if m]
    assert abs(sum(share for _, share in found) - 1) < 1e-9, f"shares of {text!r} do not add up to 1"
    return tuple(Alternative(text, share) for text, share in found)


def counted(text: str, context: Context, start: float) -> Heard:
    """`start`: of its sound, seconds since listening began."""
    found = []
    for part in text.split("|"):
        tokens = part.split()
        share = float(tokens.pop()[:-1]) / 100 if tokens[-1].endswith("%") else 1.0
        said = zip(tokens[::2], map(float, tokens[1::2]), strict=True)
        words = tuple(Word(word, start, start + LAST_WORD, 1.0) for word, start in said)
        found.append(Alternative(" ".join(w.text for w in words), share, words))
    assert abs(sum(a.share for a in found) - 1) < 1e-9, f"shares of {text!r} do not add up to 1"
    end = max(a.words[-1].end for a in found)
    return Heard(tuple(found), context, utterance=Utterance(b"", 16_000, start, start + end))


def place_of(session: Session) -> str:
    if session.sheet.doing is Pass.WALKTHROUGH:
        return session.walk.part or "nowhere"
    return note_name(session.sheet.place) if session.sheet.place else "nowhere"


def keys_table(sheet: Sheet) -> list[str]:
    """By key, down before up."""
    open_ones = [e for e in sheet.entries if e.standing is Standing.UNSETTLED]
    entries = sorted([*sheet.standing.values(), *open_ones], key=lambda e: (e.key, e.quantity is Quantity.UP, e.n))
    return [f"{note_name(e.key)},{e.quantity.value},{'no return' if e.value is None else e.value},{e.standing.value}"
            for e in entries]  # fmt: skip


def walk_table(walk: Walk) -> list[str]:
    """Findings oldest first, then remarks that stand, then circumstances."""
    rows = [
        f"{i.finding.part},{i.finding.finding},{i.finding.place},"
        f"{'-' if i.finding.grade is None else i.finding.grade},{i.standing.value}"
        for i in walk.items
        if i.stands or i.standing is Standing.UNSETTLED
    ]
    rows += [f"remark: {r.part}: {r.text or '(sound)'}" for r in walk.remarks if not r.withdrawn]
    return rows + [f"noted: {what.value}={value}" for what, value in walk.noted.items()]
