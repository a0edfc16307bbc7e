"""What each sentence would mean here: bare numbers get their quantity, "same" and "correction" their values, from the
place and from the open question. No sentence is judged yet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from handsfree.judgement.expectation import predict
from handsfree.judgement.last import just_read, last_group, latest, source_of_same
from handsfree.judgement.limits import Limits
from handsfree.judgement.swings_meant import swings_counted, swings_said
from handsfree.judgement.wanted import Meaning, Wanted
from handsfree.nouns import (
    Amount,
    Correction,
    Counted,
    Doubt,
    Entry,
    OpenQuestion,
    Pass,
    Quantity,
    Reading,
    Said,
    Same,
    Sheet,
    Standing,
)

CLEARLY = 9.0
"""So many times likelier than the other quantity must one be for a bare corrected number to mean it."""

GOES_ON = 0.3
"""Chance, beside that of an answer, that a number said after a question about the down is the up."""


def meaning_of(said: Said, sheet: Sheet, limits: Limits) -> Meaning:
    match said:
        case Reading(key, amounts):
            found = _reading(said, key, amounts, sheet, limits)
            if found.wanted is not None and (said.scattered or _perhaps_cut(said, found.wanted, sheet, limits)):
                return replace(found, wanted=replace(found.wanted, scattered=True))
            return found
        case Same(key):
            return _same(said, key, sheet)
        case Correction(key, amounts):
            return _correction(said, key, amounts, sheet, limits)
        case Counted() if said.numbers:
            return swings_counted(said, sheet, limits)
        case _:
            return Meaning(said)


def _reading(said: Said, key: int | None, amounts: Sequence[Amount], sheet: Sheet, limits: Limits) -> Meaning:
    asking = sheet.asking
    at = key if key is not None else _no_note_said(amounts, sheet, limits)
    if at is None:
        return Meaning(said, refusal=Doubt.NO_PLACE.value)
    if asking and at == asking.question.proposals[0].key:
        return _fill(said, at, amounts, _answers_or_goes_on(asking, sheet, limits), sheet, limits)
    up_missing = (at, Quantity.DOWN) in sheet.standing and (at, Quantity.UP) not in sheet.standing
    bare = Quantity.UP if up_missing and Quantity.UP in limits.wanted else Quantity.DOWN
    return _fill(said, at, amounts, {bare: 1.0}, sheet, limits)


def _perhaps_cut(said: Reading, wanted: Wanted, sheet: Sheet, limits: Limits) -> bool:
    """Whether its beginning may be missing: it begins in the middle of a sound, or its down (where there is no plan
    its note) may have been lost in other talk. A lone up that is waited for may be the rest of what came before."""
    if limits.taking is not Pass.TOUCH:
        return False
    if said.unclear and not (wanted.bare and Quantity.UP in wanted.quantities):
        return True
    return limits.beside_talk and said.key is None and (len(said.amounts) == 1 or not sheet.plan.keys)


def _no_note_said(amounts: Sequence[Amount], sheet: Sheet, limits: Limits) -> int | None:
    """The key of weights without a note: the one that is asked about, or where the pass is. Before the question was
    heard only the up that completes its key is of that key, and a number of swings, which may end the count."""
    if sheet.asking is None:
        return sheet.place
    asked = sheet.asking.question.proposals[0].key
    if not limits.unheard or limits.taking is Pass.SWINGS:
        return asked
    completes = len(amounts) == 1 and _may_go_on(sheet.asking, sheet, limits)
    return asked if completes else limits.gone_on


def _asked_about(asking: OpenQuestion) -> dict[Quantity, float]:
    """What a bare number may answer, and how readily."""
    return dict.fromkeys((p.quantity for p in asking.question.proposals), 1.0)


def _answers_or_goes_on(asking: OpenQuestion, sheet: Sheet, limits: Limits) -> dict[Quantity, float]:
    """The same for a number without any word of answering: while a lone down is asked about, it may be the up that
    was weighed next."""
    bare = _asked_about(asking)
    if _may_go_on(asking, sheet, limits):
        return {Quantity.UP: 1.0} if limits.unheard else {**bare, Quantity.UP: GOES_ON}
    return bare


def _may_go_on(asking: OpenQuestion, sheet: Sheet, limits: Limits) -> bool:
    """Whether a lone down is asked about, and its key's up was not said yet."""
    up = (asking.question.proposals[0].key, Quantity.UP)
    lone = set(_asked_about(asking)) == {Quantity.DOWN}
    return lone and Quantity.UP in limits.wanted and up not in sheet.standing


def _fill(
    said: Said,
    key: int,
    amounts: Sequence[Amount],
    bare: dict[Quantity, float],
    sheet: Sheet,
    limits: Limits,
    corrects: bool = False,
) -> Meaning:
    """Quantities for the amounts; `bare` is what a single bare number may be, with weights."""
    values = [a.value for a in amounts]
    named = [a.quantity for a in amounts]
    if Quantity.SWINGS in named:
        return swings_said(said, key, amounts, corrects, limits)
    if len(amounts) == 1 and named[0] is None:
        value = values[0]
        if value is None:
            return Meaning(said, Wanted(key, ((Quantity.UP, None),), corrects))
        first, second = _choose(key, value, bare, sheet)
        other = Wanted(key, ((second, value),), corrects, bare=True) if second else None
        return Meaning(said, Wanted(key, ((first, value),), corrects, bare=True), other)
    whole = _named(named)
    if whole is None or any(q is Quantity.DOWN and v is None for q, v in zip(whole, values, strict=True)):
        return Meaning(said, refusal="say it again")
    pairs = sorted(zip(whole, values, strict=True), key=lambda pair: pair[0] is Quantity.UP)
    return Meaning(said, Wanted(key, tuple(pairs), corrects))


def _named(named: Sequence[Quantity | None]) -> list[Quantity] | None:
    """Two bare numbers are down then up; one bare beside a named one is the other. None: makes no sense."""
    left = [q for q in (Quantity.DOWN, Quantity.UP) if q not in named]
    if not named or len(named) > 2 or named.count(None) > len(left):
        return None
    whole = [q if q is not None else left.pop(0) for q in named]
    return whole if len(set(whole)) == len(whole) else None


def _choose(key: int, value: Decimal, bare: dict[Quantity, float], sheet: Sheet) -> tuple[Quantity, Quantity | None]:
    """The likelier quantity, and the other one where that is not clear."""
    if len(bare) == 1:
        return next(iter(bare)), None
    fits = {q: w * predict(key, q, sheet).relative(value) * _possible(key, q, value, sheet) for q, w in bare.items()}
    first, second = sorted(fits, key=lambda q: fits[q], reverse=True)
    return first, None if fits[first] >= CLEARLY * fits[second] else second


def _possible(key: int, quantity: Quantity, value: Decimal, sheet: Sheet) -> float:
    """Next to nothing for a value that would put up above down."""
    other = sheet.standing.get((key, Quantity.DOWN if quantity is Quantity.UP else Quantity.UP))
    if other is None or other.value is None:
        return 1.0
    above = value > other.value if quantity is Quantity.UP else value < other.value
    return 1e-6 if above else 1.0


def _same(said: Said, key: int | None, sheet: Sheet) -> Meaning:
    """The values of the key read last, for the quantities that this key still lacks (all, where it lacks none)."""
    at = key if key is not None else sheet.place
    if at is None or (key is None and sheet.asking):
        return Meaning(said, refusal=Doubt.NO_PLACE.value)
    source = source_of_same(sheet, at)
    if source is None:
        return Meaning(said, refusal="there is no settled key before this one")
    values = {q: e.value for (k, q), e in sheet.standing.items() if k == source}
    lacking = {q: v for q, v in values.items() if (at, q) not in sheet.standing}
    if not lacking and key is None and just_read(at, sheet):
        return Meaning(said, refusal=Doubt.NO_PLACE.value)
    ordered = sorted((lacking or values).items(), key=lambda pair: pair[0] is Quantity.UP)
    return Meaning(said, Wanted(at, tuple(ordered)))


def _correction(said: Said, key: int | None, amounts: Sequence[Amount], sheet: Sheet, limits: Limits) -> Meaning:
    """A correction answers the open question, else it is about the last reading."""
    recent = latest(sheet)
    asking = sheet.asking
    if asking is not None and key in (None, asking.question.proposals[0].key):
        at = asking.question.proposals[0].key
        return _fill(said, at, amounts, _asked_about(asking), sheet, limits, corrects=True)
    if recent is None:
        return Meaning(said, refusal="there is nothing to correct")
    if key is not None and key != recent.key and not any(k == key for k, _ in sheet.standing):
        return _other_note(said, key, amounts, sheet, limits)
    at = key if key is not None else recent.key
    if recent.standing is Standing.WITHDRAWN and key is None and at != sheet.place:
        return Meaning(said, refusal="there is nothing to correct")
    there = {q for k, q in sheet.standing if k == at} | ({recent.quantity} if at == recent.key else set())
    rather = _said_last(recent, sheet) if at == recent.key and recent.standing is not Standing.WITHDRAWN else there
    bare = {q: 1.0 if q in rather else 0.3 for q in sorted(there)} or {Quantity.DOWN: 1.0}
    return _fill(said, at, amounts, bare, sheet, limits, corrects=True)


def _said_last(recent: Entry, sheet: Sheet) -> set[Quantity]:
    """What a bare correction is rather about: the values of the last thing said."""
    return {recent.quantity} | {e.quantity for e in last_group(sheet) if e.heard_n == recent.heard_n}


def _other_note(said: Said, key: int, amounts: Sequence[Amount], sheet: Sheet, limits: Limits) -> Meaning:
    """The note was heard wrongly: the last reading was this key's, with these values."""
    filled = _fill(said, key, amounts, {Quantity.DOWN: 1.0}, sheet, limits, corrects=True)
    return replace(filled, wanted=replace(filled.wanted, note_was_wrong=True)) if filled.wanted else filled
