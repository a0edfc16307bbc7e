"""A session whose answers are written down beforehand: what the screen does with a turn, without judging one.

The facts are folded by the real fold, so the sheets are real sheets. All figures here are made up.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from handsfree.errors import DiskTrouble, HandsfreeError
from handsfree.journal.sheet import apply
from handsfree.nouns import (
    Amount,
    Asked,
    Context,
    Doubt,
    Earcon,
    Fact,
    Heard,
    Kept,
    Outcome,
    Proposal,
    Quantity,
    Question,
    Sheet,
    Speech,
    Standing,
    Took,
    Turn,
    Went,
    context_of,
)

AT = "2031-03-14T09:30:00+00:00"
FULL = DiskTrouble("the disk is full: /somewhere/pass.journal", do="Make room and say it again.")


def took(key: int, down: str | None = None, up: str | None = None, **kwargs: object) -> tuple[Took, ...]:
    """One Took a value; up "no return" lifts nothing."""
    made: list[Took] = []
    for quantity, text in ((Quantity.DOWN, down), (Quantity.UP, up)):
        if text is not None:
            value = None if text == "no return" else Decimal(text)
            made.append(Took(key, quantity, value, Standing.TAKEN, 0.97))
    return tuple(made)


def taken(key: int, down: str | None = None, up: str | None = None, go: int | None = None) -> Turn:
    """A reading taken at once; the place moves to `go`, or stays at the key."""
    facts: tuple[Fact, ...] = (*took(key, down, up), Went(go or key))
    amounts = tuple(Amount(f.quantity, f.value) for f in facts if isinstance(f, Took))
    return Turn(Outcome.TAKEN, facts, "", Speech.READ_BACK, Earcon.ACCEPTED, key, amounts)


def asked(key: int, down: str, line: str, why: Doubt = Doubt.RANGE, *before: Fact) -> Turn:
    proposals = (Proposal(key, Quantity.DOWN, Decimal(down), 0.6),)
    facts: tuple[Fact, ...] = (*before, Asked(Question(proposals, why, line)), Went(key))
    amounts = (Amount(Quantity.DOWN, Decimal(down)),)
    return Turn(Outcome.ASKED, facts, line, Speech.QUESTION, Earcon.QUESTION, key, amounts, why=why.value)


def sheet_of(facts: Iterable[Fact]) -> Sheet:
    sheet = Sheet()
    for n, fact in enumerate(facts, start=1):
        sheet = apply(sheet, Kept(n, AT, None, "", None, fact))
    return sheet


class ScriptedSession:
    """Text -> Turn, or an error to raise; text that is not in the script is ignored."""

    def __init__(self, script: Mapping[str, Turn | HandsfreeError], start: Iterable[Fact] = ()) -> None:
        self._script = dict(script)
        self._sheet = sheet_of(start)
        self.said: list[str] = []

    @property
    def sheet(self) -> Sheet:
        return self._sheet

    @property
    def context(self) -> Context:
        return context_of(self._sheet)

    def greeting(self) -> Turn:
        return Turn(Outcome.IGNORED, line="every key, next C one", speech=Speech.REPLY)

    def hear(self, heard: Heard) -> Turn:
        return self._take(heard.text)

    def typed(self, text: str) -> Turn:
        return self._take(text)

    def _take(self, text: str) -> Turn:
        self.said.append(text)
        turn = self._script.get(text, Turn(Outcome.IGNORED, why="no sentence that is known here"))
        if isinstance(turn, HandsfreeError):
            raise turn
        for fact in turn.facts:
            self._sheet = apply(self._sheet, Kept(self._sheet.last_n + 1, AT, 1, text, None, fact))
        return turn
