"""What swings mean here, counted aloud or said as a total: of which key they are, and what bears them out. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from handsfree.judgement.counting import verdict
from handsfree.judgement.last import last_group
from handsfree.judgement.limits import Limits
from handsfree.judgement.wanted import Meaning, Wanted
from handsfree.nouns import Amount, Counted, Doubt, Pass, Quantity, Reading, Said, Sheet

LEFT_OUT = 3
"""A count that goes on after a pause that closed it begins at most so far above where it was."""


def swings_said(said: Said, key: int, amounts: Sequence[Amount], corrects: bool, limits: Limits) -> Meaning:
    if limits.taking is not Pass.SWINGS:
        return Meaning(said, refusal="swings are not counted in this pass")
    if len(amounts) != 1 or amounts[0].value is None:
        return Meaning(said, refusal="say it again")
    # "one" alone is mostly a count that something cut short; those few hammers that swing once are asked about
    alone = not corrects and amounts[0].value == 1
    values = ((Quantity.SWINGS, amounts[0].value),)
    unclear = isinstance(said, Reading) and said.unclear
    return Meaning(said, Wanted(key, values, corrects, out_of_rhythm=alone, unclear_key=unclear))


def swings_counted(said: Counted, sheet: Sheet, limits: Limits) -> Meaning:
    """A count of the key named, of the one that is asked about, or of the one where the pass is.

    One that goes on from, or begins anew after, what was just taken may belong to that key: both are offered. One
    that begins at one before the question was heard is the next key's.
    """
    asked = sheet.asking.question.proposals[0].key if sheet.asking else None
    if asked is not None and limits.unheard and said.numbers[0] == 1 and not said.after and not said.joins:
        at = said.key or limits.gone_on
        return Meaning(said, refusal=Doubt.NO_PLACE.value) if at is None else Meaning(said, _as_counted(said, at))
    if said.joins and (group := last_group(sheet)):
        return Meaning(said, _as_counted(said, group[0].key, corrects=True))
    at = said.key or asked or sheet.place
    if at is None:
        return Meaning(said, refusal=Doubt.NO_PLACE.value)
    here = _as_counted(said, at)
    if said.key or asked:
        return Meaning(said, here)
    before = _just_counted(said, sheet)
    if before is None or before == at:
        return Meaning(said, here)
    here = replace(here, out_of_rhythm=True)
    there = replace(here, key=before, corrects=True)
    return Meaning(said, here, there) if said.after else Meaning(said, there, here)


def _as_counted(said: Counted, key: int, corrects: bool = False) -> Wanted:
    found = verdict(said)
    values = ((Quantity.SWINGS, found.total),)
    off = found.likelihood is None and not found.borne_out
    return Wanted(
        key,
        values,
        corrects,
        out_of_rhythm=off,
        unclear_key=said.unclear,
        borne_out=1.0 if off else found.sureness,
        timing=found.likelihood,
        beat=found.beat,
    )


def _just_counted(said: Counted, sheet: Sheet) -> int | None:
    """The key that was counted last, where this count may go on from there or take its place."""
    group = last_group(sheet)
    if not group or group[0].value is None:
        return None
    goes_on = said.numbers[0] > 1 and 0 < said.numbers[0] - group[0].value <= LEFT_OUT
    return group[0].key if said.after or goes_on else None
