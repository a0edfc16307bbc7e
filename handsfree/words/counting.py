"""Counting aloud: "A four, one two three ... seven".

A count runs from one upward. A number that was not heard, or was said twice, is a slip of the counter or of the ear:
a few are listened for, dearly, and the judgement looks at the rhythm. "again" drops what was counted before it. A
number alone is a total, never a count.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache

from handsfree.nouns import OTHER_TALK, Amount, Counted, GoTo, InOneBreath, OffKeyboard, Quantity, Reading, Said
from handsfree.words.expressions import (
    EMPTY,
    Act,
    Alt,
    Expression,
    Numeral,
    meaning,
    one_of,
    perhaps,
    phrase,
    seq,
)
from handsfree.words.expressions import Word as Spoken
from handsfree.words.notes import Note, note
from handsfree.words.spoken import figures, number_words

LONGEST_COUNT = 30
"""A hammer that swings oftener has no friction left in its flange; nobody counts on."""
HIGHEST_TOTAL = 99

FIRST_MISSED = 0.01
"""Chance that the first number heard is a two: "one" is soft, and the note was just said."""
LATER_START = 0.004
"""... or a later one: the count goes on after a pause that closed it."""
ONE_MISSED, TWO_MISSED, TWICE = 0.015, 0.003, 0.004
"""Chance, at each number, that the next one is not heard, that the next two are not, that it is said once more."""
SLIPS = 2
"""More of them are no count."""
HALF = 0.03
AGAIN = 0.006
"""Chance, at each number, that the count begins again."""
NOTE_FOLLOWS = 0.008
"""Chance that the next note comes before the silence."""
MORE_FOLLOWS = 0.3
"""... and that its count or total is said in the same breath."""
TALK_FOLLOWS, MORE_TALK, MOST_TALK = 0.02, 0.6, 8
"""Chance that other talk, a cough or a knock is heard as such right after a count, that it goes on by one more word,
and how many are listened for ..."""
TALK_AFTER = 3
"""... where so many numbers were counted: people say "one" and "two" in talk."""
KEYS_A_BREATH = 3
"""More are not listened for."""


def likely_count(count: int) -> float:
    """How likely a hammer swings so often, on any scale: about seven, wide. Common practice, no source."""
    return float((1 + ((count - 7) / 4) ** 2 / 4) ** -2.5) + 0.02


def total_chance(value: int) -> float:
    if value > HIGHEST_TOTAL:
        return 0.0
    return likely_count(value) if value <= LONGEST_COUNT else 0.001


Next = int | OffKeyboard | tuple[Said, ...] | None
"""What follows in the same breath: nothing, a note alone, or what is said of further keys."""
Run = tuple[tuple[int, ...], bool, bool, Next]
"""Numbers, half, whether "again" was heard, and what follows."""
_END: Run = ((), False, False, None)


def _said(count: int) -> Expression:
    return phrase(number_words(Decimal(count)))


@cache
def _hearing(count: int) -> float:
    """Chance that a count that has come to `count` goes on."""
    rest = sum(likely_count(c) for c in range(count + 1, LONGEST_COUNT + 1))
    return rest / (rest + likely_count(count))


class _Runs:
    """The numbers of a count as expressions, shared so that each is made once; `restarts`: how often "again" may
    still come."""

    def __init__(self, following: Expression) -> None:
        self._following = following
        """What may end the count, meaning a Next."""
        self._made: dict[tuple[int, int, int, int], Expression] = {}

    def run(self, first: int, length: int, slips: int, restarts: int) -> Expression:
        """`first` and what may follow it; `length`: numbers said so far with it, as far as that matters."""
        name = (first, min(length, TALK_AFTER), slips, restarts)
        if name not in self._made:
            self._made[name] = self._make(*name)
        return self._made[name]

    def _make(self, first: int, length: int, slips: int, restarts: int) -> Expression:
        onward = _hearing(first)
        branches: list[tuple[float, Expression]] = []
        if length > 1:
            branches.append(((1 - onward) * (1 - HALF), self._end(False)))
            branches.append(((1 - onward) * HALF, seq(phrase("and a half"), self._end(True))))
        ways = ((1, 1.0, 0), (2, ONE_MISSED, 1), (3, TWO_MISSED, 2), (0, TWICE, 1))
        for steps, chance, slip in ways:
            if first + steps <= LONGEST_COUNT and slip <= slips:
                branches.append((onward * chance, self.run(first + steps, length + 1, slips - slip, restarts)))
        if length >= TALK_AFTER:
            branches.append((TALK_FOLLOWS, meaning(_END, _talk())))
        if restarts:
            branches.append((AGAIN, self._again(restarts - 1)))
        return Act(seq(_said(first), Alt(tuple(branches))), lambda run: _longer(first, run))

    def _end(self, half: bool) -> Expression:
        return Act(self._following, lambda key: ((), half, False, key))

    def _again(self, restarts: int) -> Expression:
        return Act(seq(Spoken("again"), self.begun(restarts)), lambda run: (run[0], run[1], True, run[3]))

    def begun(self, restarts: int) -> Expression:
        """A count from its beginning, or nothing (it was only to begin again)."""
        return perhaps(0.8, self.counts(restarts), meaning(_END, EMPTY))

    def from_one(self) -> Expression:
        """The count of a further key in the same breath."""
        return self.run(1, 1, 1, 0)

    def counts(self, restarts: int) -> Alt:
        later = range(3, LONGEST_COUNT)
        return Alt(
            (
                (1.0, self.run(1, 1, SLIPS, restarts)),
                (FIRST_MISSED, self.run(2, 1, 1, restarts)),
                *((LATER_START / len(later), self.run(first, 1, 0, 0)) for first in later),
            )
        )


@cache
def _talk() -> Expression:
    """One word of it, or several."""
    talk: Expression = Spoken(OTHER_TALK)
    for _ in range(MOST_TALK - 1):
        talk = seq(Spoken(OTHER_TALK), perhaps(MORE_TALK, talk))
    return talk


def _longer(first: int, run: Run) -> Run:
    numbers, half, again, key = run
    # what was counted before "again" is dropped
    return run if again else ((first, *numbers), half, again, key)


@dataclass(frozen=True, slots=True)
class Counts:
    """What may be said of swings, each an expression."""

    run: Expression
    """A count, meaning a Run; begins with a digit word."""
    again: Expression
    """ "again", alone or before a count: a Run."""
    total: Alt
    """ "seven", "zero", "seized", "six and a half", meaning one Amount."""
    total_in_words: Alt
    """Without what begins with a digit: for the ear, after a key number that a digit would continue."""
    following: Expression
    """What may be said in the same breath, meaning a Next."""


_SWINGS = perhaps(0.1, one_of("swings", "swing"))


def counts() -> Counts:
    total, in_words = _totals()
    # which key follows is for the judgement to say: every note is as likely here
    next_note = note(lambda key: 1 / 88 if 1 <= key <= 88 else 0.0)
    following: Expression = meaning(None, EMPTY)
    for _ in range(KEYS_A_BREATH - 1):
        more = _of_next_key(next_note, _Runs(following).from_one(), total, in_words, following)
        following = Alt(
            (
                (1 - NOTE_FOLLOWS, meaning(None, EMPTY)),
                (NOTE_FOLLOWS * (1 - MORE_FOLLOWS), next_note.any),
                (NOTE_FOLLOWS * MORE_FOLLOWS, more),
            )
        )
    runs = _Runs(following)
    return Counts(runs.counts(2), seq(Spoken("again"), runs.begun(1)), total, in_words, following)


def _of_next_key(named: Note, run: Expression, total: Alt, in_words: Alt, following: Expression) -> Expression:
    """A note and its count or total, and what follows that, meaning what is said of these keys."""
    counting = Act(seq(named.clear, run), lambda key, run: parts_of(counted(key, run)))
    at_once = Act(seq(named.before(total, in_words), following), _total_of)
    return Alt(((0.5, counting), (0.5, at_once)))


def _total_of(key: int | OffKeyboard, amounts: tuple[Amount, ...], following: Next) -> tuple[Said, ...]:
    return parts_of(with_following(key if isinstance(key, OffKeyboard) else Reading(key, amounts), following))


def parts_of(said: Said) -> tuple[Said, ...]:
    return said.parts if isinstance(said, InOneBreath) else (said,)


def with_following(said: Said, following: Next) -> Said:
    """`said`, and what came in the same breath."""
    if following is None:
        return said
    more = following if isinstance(following, tuple) else parts_of(gone_to(following))
    return InOneBreath((said, *more))


def gone_to(key: int | OffKeyboard) -> Said:
    return key if isinstance(key, OffKeyboard) else GoTo(key)


def _totals() -> tuple[Alt, Alt]:
    """All, and those that begin with no digit."""
    whole = figures(total_chance)
    seized = (0.02, meaning(_amount(Decimal(0)), one_of("seized", "stuck")))
    in_words = Alt(
        (
            (1.0, _total(Alt(((whole.tens.weight, whole.tens), (whole.two_figures.weight, whole.two_figures))))),
            seized,
        )
    )
    total = Alt(
        (
            (1.0, _total(Alt(tuple((w.weight, w) for w in (whole.units, whole.tens, whole.two_figures))))),
            seized,
            (0.0, seq(Act(Numeral(200, whole=False), _amount), _SWINGS)),
        )
    )
    return total, in_words


def _total(whole: Alt) -> Expression:
    tail = Alt(((1 - HALF, meaning(False, EMPTY)), (HALF, meaning(True, "and a half"))))
    value = Act(seq(whole, tail), lambda number, half: _amount(Decimal(number) + (Decimal("0.5") if half else 0)))
    return seq(value, _SWINGS)


def _amount(value: Decimal) -> tuple[Amount, ...]:
    return (Amount(Quantity.SWINGS, value),)


def counted(key: int | OffKeyboard | None, run: Run) -> Said:
    numbers, half, again, following = run
    if isinstance(key, OffKeyboard):
        return key
    if isinstance(following, OffKeyboard):
        return following
    if isinstance(following, int):
        return Counted(key, numbers, half, again, then=following)
    return with_following(Counted(key, numbers, half, again), following)


def counted_again(key: int | None, run: Run) -> Said:
    first, *more = parts_of(counted(key, run))
    if not isinstance(first, Counted):
        return first
    anew = replace(first, again=True, after=True)
    return InOneBreath((anew, *more)) if more else anew
