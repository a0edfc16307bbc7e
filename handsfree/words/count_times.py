"""When each number of a count was said, and counts that were heard in two pieces."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal

from handsfree.nouns import OTHER_TALK, Counted, Reading, Said, Word
from handsfree.words.spoken import RADIO, UNITS, number_words

LATEST_HALF, LONGEST_HALF = 0.5, 0.6
"""Seconds from a number to "and a half", and from its first word to its last, at most. Our own choice."""
MOST_UNSPOKEN = 2
"""Numbers in a row that a count may lack and still go on."""


def timed(
    said: Counted,
    words: Sequence[Word],
    sounds_after: Callable[[float], tuple[float, ...]],
    unclear_before: Callable[[float, float], bool] = lambda at, since: False,
) -> Counted:
    """`said` with the time of each of its numbers, from the words of the alternative that it was understood from;
    unchanged where the words have no times. `sounds_after`: when the sounds after a moment began that may have been
    words; `unclear_before`: whether something sounded before a word, since the end of the one before it."""
    spoken = [[*number_words(Decimal(n)).split()] for n in said.numbers]
    flat = [w for number in spoken for w in number]
    texts = [_plain(w.text) for w in words]
    # the last place where they stand: what was counted before "again" is dropped
    for at in range(len(texts) - len(flat), -1, -1):
        if flat and texts[at : at + len(flat)] == flat:
            times, i = [], at
            for number in spoken:
                times.append(words[i].start)
                i += len(number)
            octave = _goes_on(said, words[i:])
            unheard = sounds_after(words[-1].end)
            if texts[i : i + 1] == [OTHER_TALK]:
                unheard = (words[i].start, *unheard)
                words = words[:i]
            if said.then is None and len(words) > 1 and unclear_before(words[-1].start, words[-2].end):
                unheard = (words[-1].start, *unheard)
            drawn = said.half and _drawn(words[i - 1 :])
            return replace(said, times=tuple(times), unheard=unheard, octave=octave, drawn=drawn)
    return said


def _goes_on(said: Counted, after: Sequence[Word]) -> tuple[int, float] | None:
    """Number and time, where what follows the numbers is a letter and one of the next numbers: "six | d seven"."""
    if said.then is None or len(after) != 2:
        return None
    next_ones = (said.numbers[-1] + 1 + unspoken for unspoken in range(MOST_UNSPOKEN + 1))
    return next(((n, after[1].start) for n in next_ones if number_words(Decimal(n)) == _plain(after[1].text)), None)


def _drawn(tail: Sequence[Word]) -> bool:
    """Whether a last number and "and a half" are farther apart than when they are said."""
    number, *half = tail[:4]
    return half[0].start - number.end > LATEST_HALF or half[-1].start - half[0].start > LONGEST_HALF


def joined(before: Counted, earlier: float, said: Said, words: Sequence[Word]) -> Said:
    """`said` as one count with the one taken just `before`, where it goes on from there in its rhythm: that one was
    closed too early, after a number that was not spoken up. `earlier`: seconds from the start of that utterance to
    the start of this one."""
    more = _as_number(said, words) if isinstance(said, Reading) else said
    if not isinstance(more, Counted) or more.key or more.again or not more.times or len(before.times) < 2:
        return said
    steps = more.numbers[0] - before.numbers[-1]
    times = tuple(t - earlier for t in before.times)
    beat = (times[-1] - times[0]) / max(1, before.numbers[-1] - before.numbers[0])
    if not 0 <= steps <= MOST_UNSPOKEN + 1 or not 0 < more.times[0] - times[-1] <= (steps + 1) * beat:
        return said
    # the same number at the same swing was cut in two
    first = len(before.numbers) if steps else len(before.numbers) - 1
    numbers, both = (*before.numbers[:first], *more.numbers), (*times[:first], *more.times)
    return replace(more, numbers=numbers, times=both, joins=True)


def _as_number(said: Reading, words: Sequence[Word]) -> Counted | None:
    """A bare total as the one number of a count, where it can be one."""
    value = said.amounts[0].value
    if said.key or said.unclear or value is None or value != int(value):
        return None
    if number_words(value) != " ".join(_plain(w.text) for w in words):
        return None
    return Counted(None, (int(value),), times=(words[0].start,))


_RADIO = {radio: UNITS[digit] for digit, radio in RADIO.items()}


def _plain(text: str) -> str:
    return _RADIO.get(text, text)
