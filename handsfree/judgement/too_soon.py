"""What was said before the question under way can have been heard: it is no answer to that. Pure.

It belongs where the pass would be had nothing been asked; the question, which the next sentence covered, is asked
once more afterwards, then it waits.
"""

from __future__ import annotations

from dataclasses import replace

from handsfree.judgement.answers import ask_again
from handsfree.judgement.taking import putting_off
from handsfree.nouns import (
    Asked,
    Context,
    Heard,
    Outcome,
    PutOff,
    Sheet,
    Turn,
    Went,
)

TO_HEAR = 0.8
"""Seconds from the sentence that is asked about to the first word that can be an answer: the earcon takes a quarter
of a second, and nobody answers within the first half second of the question."""
NO_QUESTION = frozenset({Context.TOUCH, Context.SWINGS, Context.WALKTHROUGH})
"""What was listened for when it began had no answers in it."""


def too_soon(heard: Heard, asked_at: float | None) -> bool:
    """Whether a sentence began too soon to be an answer to the question under way. `asked_at`: seconds since
    listening began when that was asked; None: not known."""
    if heard.via != "voice":
        return False
    if heard.context in NO_QUESTION:
        return True
    if asked_at is None or heard.utterance is None:
        return False
    words = heard.alternatives[0].words
    return heard.utterance.start + (words[0].start if words else 0.0) < asked_at + TO_HEAR


def asked_after(turn: Turn, sheet: Sheet, place: int | None) -> Turn:
    """`turn` came of a sentence that was no answer, judged with the pass at `place`: the question is asked once more;
    had that been done already, or there is something else to ask, it waits."""
    asking = sheet.asking
    if asking is None or turn.outcome is Outcome.IGNORED:
        return turn
    went = any(isinstance(f, Went) for f in turn.facts) or place in (None, sheet.place)
    facts = turn.facts if went or place is None else (Went(place), *turn.facts)
    if asking.came_back or any(isinstance(f, Asked) for f in facts):
        return putting_off(replace(turn, facts=facts), sheet)
    again = ask_again(asking, turn.said)
    return replace(again, facts=(PutOff(asking.n), *facts, *again.facts))
