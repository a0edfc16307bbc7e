"""Down and up without a note while a question is open: an answer to it, or the next key's already? Pure.

Whoever has not listened to the question goes on by the plan. A reading that has a value in common with what was heard
of the key is that one, said again; any other is asked about, with the key's name, and after a no offered for the next
key. Nothing of it lands on a key by itself.
"""

from __future__ import annotations

from handsfree.judgement.limits import Limits
from handsfree.judgement.pass_order import gone_on
from handsfree.judgement.taking import Sure, ask
from handsfree.judgement.wanted import Wanted
from handsfree.nouns import Doubt, OpenQuestion, Reading, Sheet, Turn


def may_be_next(sure: Sure, asking: OpenQuestion, sheet: Sheet, limits: Limits) -> int | None:
    """The key that the reading may be meant for instead: whose turn it would be had the question not been asked.
    None: there is none, or the reading names its key."""
    said = sure.meaning.said
    whole = isinstance(said, Reading) and said.key is None and len(sure.wanted.values) > 1
    following = gone_on(asking, sheet, limits) if whole else None
    return None if following == asking.question.proposals[0].key else following


def in_common(said: Wanted, asking: OpenQuestion, sheet: Sheet) -> bool:
    """Whether it has a value that was heard of the key before."""
    heard = {(p.quantity, p.value) for p in (*asking.question.proposals, *asking.question.otherwise)}
    heard |= {(q, e.value) for (key, q), e in sheet.standing.items() if key == said.key}
    return any(pair in heard for pair in said.values)


def here_or_next(sure: Sure, sheet: Sheet, following: int) -> Turn:
    """Asked; what was asked before waits, as always when something new is asked."""
    wanted = sure.wanted
    stands = any((wanted.key, q) in sheet.standing for q in wanted.quantities)
    why = Doubt.FAR_FROM_BEFORE if stands else Doubt.NO_PLACE
    there = Wanted(following, wanted.values)
    return ask(wanted, why, sure, sheet, (), there, goes=False)
