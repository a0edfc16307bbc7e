"""Disregard: what was read last no longer stands, and the pass is back where it was read."""

from __future__ import annotations

from handsfree.judgement.last import last_group, withdrawn
from handsfree.judgement.taking import refuse
from handsfree.nouns import (
    Amount,
    Disregard,
    Earcon,
    Outcome,
    Sheet,
    Speech,
    Turn,
    Went,
)


def disregard(said: Disregard, sheet: Sheet) -> Turn:
    """Withdraws all values of the last reading; they stay in the journal."""
    group = last_group(sheet)
    if not group:
        return refuse("there is nothing to disregard", said)
    key = group[-1].key
    facts = withdrawn(group)
    back = (Went(key),) if key != sheet.place else ()
    return Turn(
        Outcome.WITHDRAWN,
        (*facts, *back),
        speech=Speech.REPLY,
        earcon=Earcon.WITHDRAWN,
        key=key,
        amounts=tuple(Amount(e.quantity, e.value) for e in group),
        said=said,
    )
