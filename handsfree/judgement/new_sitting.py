"""A new sitting asked for aloud: twice, since one that was left cannot be gone on with. Pure."""

from __future__ import annotations

from dataclasses import replace

from handsfree.nouns import Earcon, NewSitting, Outcome, Speech, Turn

ONCE_MORE = "A new sitting at this instrument? Say it once more."


def new_sitting(turn: Turn, *, elsewhere: bool, empty: bool, again: bool, unsettled: int = 0) -> Turn:
    """What comes of "new sitting", surely heard in `turn`: only one that is TAKEN begins it.

    `elsewhere`: it cannot be begun here; `empty`: nothing was said in this one yet; `again`: it was asked back just
    before; `unsettled`: questions that would stay without an answer.
    """
    if elsewhere:
        return _refused(turn, "a new sitting is begun on the screen")
    if empty:
        return _refused(turn, "this sitting is still empty")
    if again:
        return replace(turn, line="")
    left = f" {unsettled} to settle will stay unsettled." if unsettled else ""
    return replace(turn, outcome=Outcome.ASKED, line=ONCE_MORE + left, speech=Speech.QUESTION, earcon=Earcon.QUESTION)


def asked_back(turn: Turn, before: bool) -> bool:
    """Whether "new sitting" now would be the second time; `before`: the same before `turn`, which talk leaves as it
    is."""
    if turn.outcome is Outcome.IGNORED and turn.earcon is None:
        return before
    return turn.outcome is Outcome.ASKED and isinstance(turn.said, NewSitting)


def _refused(turn: Turn, why: str) -> Turn:
    line = f"{why[0].upper()}{why[1:]}."
    return Turn(Outcome.IGNORED, line=line, speech=Speech.REPLY, earcon=Earcon.REFUSED, said=turn.said, why=why)
