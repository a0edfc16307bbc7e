"""What was heard just before, for the sentence that is judged now: a question that was not heard yet, somebody else's
talk. Pure: a state from one sentence to the next.

Of sentences that somebody talks into, little is right (on development speakers, talk beside at 10 dB, 18 of 100
questions proposed what had been said, in a fan's noise 76): they are asked about only where a sound alone has not led
to anything better. A sound also tells, once, that all the talk is not listened to.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from handsfree.judgement.limits import Limits
from handsfree.judgement.taking import refuse
from handsfree.judgement.too_soon import too_soon
from handsfree.nouns import (
    OTHER_TALK,
    Asked,
    Context,
    FindingAsked,
    Heard,
    Outcome,
    Pass,
    Quantity,
    Sheet,
    Speech,
    Took,
    Turn,
    Walk,
)

STILL_TALK = 6.0
"""Seconds after other talk within which there may be more of it."""
LONG_TALK = 6.0
"""Seconds of talk, with nothing taken meanwhile, after which a sound says so."""
IN_THE_WAY = "other talk is in the way, say it again"


@dataclass(frozen=True, slots=True)
class Around:
    asked_at: float | None = None
    """When the question under way was asked, seconds since listening began; None: by keyboard, or not known."""
    talk_at: float | None = None
    """When the last other talk was over."""
    talked: float = 0.0
    """Seconds of other talk since something came of what was said."""
    refused: bool = False
    """The sentence before was not taken because of talk."""

    def limits(self, limits: Limits, heard: Heard, sheet: Sheet) -> Limits:
        """What `heard` is judged by. Weights said in noise or beside talk must be surer to be taken; a count has its
        rhythm to bear it out."""
        limits = replace(limits, unheard=self._unheard(heard, sheet))
        if heard.utterance is None or sheet.doing is not Pass.TOUCH:
            return limits
        return limits.heard_at(heard.utterance.contrast, beside_talk=self._in_talk(heard))

    def walk_limits(self, limits: Limits, heard: Heard, walk: Walk) -> Limits:
        """The same in the walkthrough."""
        unheard = walk.asking is not None and too_soon(heard, self.asked_at)
        return replace(limits, unheard=unheard, cut=heard.utterance is not None and heard.utterance.cut)

    def _unheard(self, heard: Heard, sheet: Sheet) -> bool:
        """Whether a question is open that it cannot have been meant for. One about a single swing was asked when a
        count was cut short: the count itself answers it."""
        if sheet.asking is None:
            return False
        asked = sheet.asking.question.proposals[0]
        cut_short = asked.quantity is Quantity.SWINGS and asked.value == 1
        return not cut_short and too_soon(heard, self.asked_at)

    def turn(self, turn: Turn, heard: Heard, sheet: Sheet) -> Turn:
        """What `turn` comes to: `sheet` is the one that it was judged on."""
        if heard.utterance is None or sheet.doing is Pass.WALKTHROUGH or sheet.standing_by:
            return turn
        if turn.outcome is Outcome.ASKED and self._in_talk(heard) and not self.refused and _alone(turn, sheet):
            return _in_the_way(turn)
        silent = turn.outcome is Outcome.IGNORED and turn.earcon is None
        if silent and _only_talk(heard) and self.talked < LONG_TALK <= self.talked + _seconds(heard):
            return _in_the_way(turn)
        return turn

    def after(self, turn: Turn, heard: Heard, sheet: Sheet) -> Around:
        """The state after `turn`, which came of `heard` on `sheet`."""
        if heard.utterance is None:
            return replace(self, asked_at=None)
        soon = self._unheard(heard, sheet)
        asked = soon or any(isinstance(f, Asked) for f in turn.facts)
        now = replace(self, asked_at=heard.utterance.end) if asked else self
        if _only_talk(heard):
            return replace(now, talk_at=heard.utterance.end, talked=self.talked + _seconds(heard))
        refused = turn.outcome is Outcome.IGNORED and turn.why == IN_THE_WAY
        came = turn.outcome is not Outcome.IGNORED
        return replace(now, talked=0.0 if came else self.talked, refused=refused)

    def after_walk(self, turn: Turn, heard: Heard) -> Around:
        if heard.utterance is None:
            return replace(self, asked_at=None)
        asked = any(isinstance(f, FindingAsked) for f in turn.facts)
        return replace(self, asked_at=heard.utterance.end) if asked else self

    def _in_talk(self, heard: Heard) -> bool:
        sound = heard.utterance
        return sound is not None and self.talk_at is not None and sound.start < self.talk_at + STILL_TALK


def _alone(turn: Turn, sheet: Sheet) -> bool:
    """A question of its own: no other one was open, and nothing was taken."""
    return sheet.asking is None and not any(isinstance(f, Took) for f in turn.facts)


def _in_the_way(turn: Turn) -> Turn:
    """A sound alone: whoever meant it says it again, whoever was only talking is not spoken to."""
    return replace(refuse(IN_THE_WAY, turn.said), speech=Speech.READ_BACK)


def _only_talk(heard: Heard) -> bool:
    return heard.context is not Context.STANDING_BY and set(heard.text.split()) == {OTHER_TALK}


def _seconds(heard: Heard) -> float:
    return heard.utterance.end - heard.utterance.start if heard.utterance else 0.0
