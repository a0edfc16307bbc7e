"""What was said of several keys in one breath has one effect: the turns of its parts, put together. Pure."""

from __future__ import annotations

from dataclasses import replace

from handsfree.nouns import Earcon, Outcome, Speech, Turn, Went


def not_moved(turn: Turn) -> Turn:
    """`turn` as it is told of: where the pass would go on after it is not said, another key was named already."""
    stays = (Went(turn.key),) if turn.key is not None else ()
    return replace(turn, facts=(*(f for f in turn.facts if not isinstance(f, Went)), *stays))


def together(first: Turn, then: Turn) -> Turn:
    """Both, one after the other. A question of the first that the second put off is not asked now."""
    facts = (*first.facts, *then.facts)
    if first.outcome is Outcome.ASKED:
        # it waits, or the second part asked it again
        return replace(then, facts=facts)
    line = " ".join(filter(None, (first.line, then.line)))
    if then.outcome is Outcome.IGNORED:
        return replace(
            first,
            facts=facts,
            line=line,
            speech=then.speech if then.line else first.speech,
            earcon=then.earcon or first.earcon,
            why=then.why,
        )
    speech = Speech.REPLY if first.earcon is Earcon.REFUSED and then.speech is Speech.READ_BACK else then.speech
    earcon = first.earcon if first.earcon is Earcon.REFUSED and then.earcon is Earcon.ACCEPTED else then.earcon
    return replace(then, facts=facts, line=line, speech=speech, earcon=earcon)
