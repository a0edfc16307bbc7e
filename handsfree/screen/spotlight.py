"""What stands big: the key that is on now, and beside it what was last asked, taken or put right.

Two blocks, because a plan moves on by itself: the left one says where to put the weights, the right one what became
of the last thing said.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from handsfree.nouns import (
    COUNTING,
    Amount,
    Context,
    OpenQuestion,
    Outcome,
    Pass,
    Quantity,
    Settled,
    Sheet,
    Turn,
    Withdrew,
)
from handsfree.reckoning.compass import note_name
from handsfree.screen.numerals import fit
from handsfree.screen.rows import beat, complete, number
from handsfree.screen.styled import Line, Piece, Role, fitted
from handsfree.words.count_so_far import count_so_far

NO_RETURN = "no ret"
"""In big letters; "no" where even that is too wide."""

Values = Mapping[Quantity, Decimal | None]

ROLE_OF_OUTCOME = {
    Outcome.TAKEN: Role.GOOD,
    Outcome.CONFIRMED: Role.GOOD,
    Outcome.CORRECTED: Role.GOOD,
    Outcome.ASKED: Role.ASK,
    Outcome.UNSETTLED: Role.ASK,
    Outcome.WITHDRAWN: Role.BAD,
    Outcome.IGNORED: Role.FAINT,
}


@dataclass(frozen=True, slots=True)
class Spot:
    """One block: a word above, big letters below."""

    word: str
    """The state, as a word: "now", "asking", "taken", "corrected" ..."""
    note: str
    """ "F#4"; "" = no key yet."""
    values: str
    """ "52.5 28", "61?", ""; down before up, a lone up behind "-"."""
    role: Role

    @property
    def big(self) -> str:
        return f"{self.note} {self.values}".strip()


NOT_KEPT = Spot("not kept: say it again", "", "", Role.BAD)
"""In place of what was taken before: from two metres away that would look like an answer."""


def now(sheet: Sheet, wanted: frozenset[Quantity] = frozenset()) -> Spot:
    """Where the weights go: the current key. `wanted`: what makes a key complete; then the plan's end shows."""
    if sheet.standing_by:
        return Spot("standing by", note_name(sheet.place) if sheet.place else "", "", Role.FAINT)
    if sheet.place is None:
        return Spot("name a key", "", "", Role.PLAIN)
    newest = max(sheet.standing.values(), key=lambda entry: entry.n, default=None)
    # a second pass goes on from the key that was read to the next
    stayed = newest is not None and newest.key == sheet.place
    keys = sheet.plan.keys
    if wanted and keys and stayed and not sheet.questions and all(complete(sheet, key, wanted) for key in keys):
        return Spot("plan done", note_name(sheet.place), "", Role.GOOD)
    return Spot("now", note_name(sheet.place), "", Role.STRONG)


def counting(context: Context, partial: str) -> Spot | None:
    """A count under way, as far as it has come; None: nobody counts."""
    if context not in COUNTING:
        return None
    so_far = count_so_far(partial)
    if so_far is None:
        return None
    return Spot("counting", note_name(so_far.key) if so_far.key else "", str(so_far.number), Role.GOOD)


def last(sheet: Sheet, turn: Turn | None) -> Spot:
    """The question that waits, else what became of the last reading; empty before the first."""
    if (asking := sheet.asking) is not None:
        return _asked(asking)
    if turn is None or turn.key is None or turn.outcome is Outcome.IGNORED:
        return _latest(sheet)
    values = _values(_told(sheet, turn))
    if turn.outcome is Outcome.TAKEN and not values:
        return _latest(sheet)  # a plan or a jump: nothing was taken down
    word = _with_beat(turn.outcome.value, sheet, turn.key)
    return Spot(word, note_name(turn.key), values, ROLE_OF_OUTCOME[turn.outcome])


def _with_beat(word: str, sheet: Sheet, key: int) -> str:
    """ "taken, beat 0.62 s", where swings were counted aloud."""
    seconds = beat(sheet.standing.get((key, Quantity.SWINGS))) if sheet.doing is Pass.SWINGS else ""
    return f"{word}, beat {seconds} s" if seconds else word


def _asked(asking: OpenQuestion) -> Spot:
    proposals = asking.question.proposals
    if not proposals:
        return Spot("asking", "", "?", Role.ASK)
    values = _values({p.quantity: p.value for p in proposals})
    return Spot("asking", note_name(proposals[0].key), f"{values}?", Role.ASK)


def _told(sheet: Sheet, turn: Turn) -> Values:
    """What stands of the turn's key; of a withdrawal, what was withdrawn."""
    if turn.outcome in (Outcome.WITHDRAWN, Outcome.UNSETTLED):
        gone = {fact.n for fact in turn.facts if isinstance(fact, Withdrew | Settled)}
        withdrawn = {e.quantity: e.value for e in sheet.entries if e.n in gone and e.key == turn.key}
        return withdrawn or _amounts(turn.amounts)
    return _standing(sheet, turn.key) or _amounts(turn.amounts)


def _standing(sheet: Sheet, key: int | None) -> Values:
    """What stands of a key, of what the pass takes."""
    swings = sheet.doing is Pass.SWINGS
    return {q: e.value for (k, q), e in sheet.standing.items() if k == key and (q is Quantity.SWINGS) is swings}


def _amounts(amounts: tuple[Amount, ...]) -> Values:
    return {a.quantity: a.value for a in amounts if a.quantity is not None}


def _latest(sheet: Sheet) -> Spot:
    """After a start or talk that was not for the tool: the newest entry that stands."""
    swings = sheet.doing is Pass.SWINGS
    taken = (e for (_, q), e in sheet.standing.items() if (q is Quantity.SWINGS) is swings)
    newest = max(taken, key=lambda e: e.n, default=None)
    if newest is None:
        return Spot("", "", "", Role.FAINT)
    word = _with_beat(newest.standing.value, sheet, newest.key)
    return Spot(word, note_name(newest.key), _values(_standing(sheet, newest.key)), Role.GOOD)


def _values(values: Values) -> str:
    """Down and up of a key, or its swings where the pass counts swings."""
    down, up = (_one(values, q) for q in (Quantity.DOWN, Quantity.UP))
    if down or up:
        return f"{down or '-'} {up}".strip()
    return _one(values, Quantity.SWINGS)


def _one(values: Values, quantity: Quantity) -> str:
    if quantity not in values:
        return ""
    value = values[quantity]
    return NO_RETURN if value is None else number(value)


def spot_lines(spot: Spot, columns: int, rows: int) -> list[Line]:
    """The word's line, then the big letters, as large as fits under it."""
    word = (Piece(spot.word.upper(), spot.role),)
    if not spot.big:
        return [fitted(word, columns)]
    big = fit(spot.big, columns, max(rows - 1, 1))
    if big.size == "plain":
        big = fit(spot.big.replace(NO_RETURN, "no"), columns, max(rows - 1, 1))
    return [fitted(word, columns), *((Piece(text, spot.role),) for text in big.lines)]
