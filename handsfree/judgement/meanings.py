"""What each sentence would mean here: bare numbers get their quantity, "same" and "correction" their values, from the
place and from the open question. No sentence is judged yet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from handsfree.judgement.counting import verdict
from handsfree.judgement.expectation import predict
from handsfree.judgement.last import just_read, last_group, latest, source_of_same
from handsfree.judgement.limits import Limits
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

Value = Decimal | None
"""Grams; None: no return."""
LEFT_OUT = 3
"""A count that goes on after a pause that closed it begins at most so far above where it was."""
CLEARLY = 9.0
"""So many times likelier than the other quantity must one be for a bare corrected number to mean it."""

GOES_ON = 0.3
"""Chance, beside that of an answer, that a number said after a question about the down is the up."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Values for one key, quantities resolved."""

    key: int
    values: tuple[tuple[Quantity, Value], ...]
    corrects: bool = False
    """They take the place of what is wrong, however far from it."""
    note_was_wrong: bool = False
    """The last reading was really this key's."""
    out_of_rhythm: bool = False
    """A count that its order or rhythm does not bear out."""
    unclear_key: bool = False
    """The note that was said before it may have been another."""
    scattered: bool = field(default=False, compare=False)
    """Its words may not all be the technician's."""
    bare: bool = field(default=False, compare=False)
    """It was one number without a name: its quantity is a conclusion."""
    borne_out: float = field(default=1.0, compare=False)
    """Probability that order and rhythm bear it out, of a count."""
    timing: float | None = field(default=None, compare=False)
    """How likely its numbers come when they did, as a natural logarithm, of a count whose times are known."""
    beat: float | None = field(default=None, compare=False)
    """Seconds between two counts, of a count that its rhythm bears out."""

    @property
    def quantities(self) -> frozenset[Quantity]:
        return frozenset(q for q, _ in self.values)

    def get(self, quantity: Quantity) -> tuple[Value] | None:
        """The value in a tuple (so that "no return" differs from "not said")."""
        return next(((v,) for q, v in self.values if q is quantity), None)

    def only(self, quantities: frozenset[Quantity]) -> Wanted:
        return replace(self, values=tuple((q, v) for q, v in self.values if q in quantities))


@dataclass(frozen=True, slots=True)
class Meaning:
    """One sentence with what it comes to here."""

    said: Said
    wanted: Wanted | None = None
    """The values, for sentences that give some."""
    otherwise: Wanted | None = None
    """The other thing it may mean."""
    refusal: str = ""
    """Why nothing can come of it, as spoken; "" = something can."""


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
            return _counted(said, sheet, limits)
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
        return _swings(said, key, amounts, corrects, limits)
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


def _swings(said: Said, key: int, amounts: Sequence[Amount], corrects: bool, limits: Limits) -> Meaning:
    if limits.taking is not Pass.SWINGS:
        return Meaning(said, refusal="swings are not counted in this pass")
    if len(amounts) != 1 or amounts[0].value is None:
        return Meaning(said, refusal="say it again")
    # "one" alone is mostly a count that something cut short; those few hammers that swing once are asked about
    alone = not corrects and amounts[0].value == 1
    values = ((Quantity.SWINGS, amounts[0].value),)
    unclear = isinstance(said, Reading) and said.unclear
    return Meaning(said, Wanted(key, values, corrects, out_of_rhythm=alone, unclear_key=unclear))


def _counted(said: Counted, sheet: Sheet, limits: Limits) -> Meaning:
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
