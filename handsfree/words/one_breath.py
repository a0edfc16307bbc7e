"""What was heard of several keys in one breath, cut into a piece for each: they are judged one after the other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from handsfree.nouns import Alternative, Heard, InOneBreath, Said, Utterance, Word
from handsfree.words.count_so_far import note_starts
from handsfree.words.typed import typed_to_spoken

HEARD_SO = 0.5
"""Share of the alternatives from which on it is cut: below it, the rest says that nothing was said of another key."""
BEFORE_NOTE = 0.06
"""Seconds before a note's first word that its piece begins at least: word times are rough."""
AFTER_NUMBER = 0.1
"""Seconds after the last number, at most."""


def pieces(heard: Heard, understood: Callable[[str], Said]) -> tuple[Heard, ...]:
    """`heard` by keys, or as it is where it is of one key. In each piece an alternative has what it says of that key,
    "" where it says nothing of one; alternatives that say the same of it are one."""
    cuts = [_cuts(one, understood(one.text)) for one in heard.alternatives]
    several = sum(one.share for one, at in zip(heard.alternatives, cuts, strict=True) if at)
    if several < HEARD_SO:
        return (heard,)
    best, ends = next((one, at) for one, at in zip(heard.alternatives, cuts, strict=True) if at)
    moments = [_moment(best.words[i - 1], best.words[i]) for i in ends if best.words]
    found = []
    for n in range(len(ends) + 1):
        since = moments[n - 1] if n and moments else 0.0
        until = moments[n] if n < len(moments) else None
        parts = [_part(one, at, n, since) for one, at in zip(heard.alternatives, cuts, strict=True)]
        sound = heard.utterance and _sound(heard.utterance, since, until)
        found.append(replace(heard, alternatives=_merged(parts), utterance=sound))
    return tuple(found)


def _moment(last: Word, note: Word) -> float:
    """When the piece of a note begins: what sounds between the last number and it belongs to the note."""
    return min(last.end + AFTER_NUMBER, note.start - BEFORE_NOTE)


def _cuts(one: Alternative, said: Said) -> list[int]:
    """Before which of its words each further key begins."""
    if not isinstance(said, InOneBreath):
        return []
    return [i for i in note_starts(_words(one)) if i][: len(said.parts) - 1]


def _words(one: Alternative) -> list[str]:
    return typed_to_spoken(one.text).split()


def _part(one: Alternative, cuts: Sequence[int], n: int, since: float) -> Alternative:
    said = _words(one)
    ends = [0, *cuts, len(said)]
    if n >= len(ends) - 1:
        return replace(one, text="", words=())
    words = tuple(_earlier(word, since) for word in one.words[ends[n] : ends[n + 1]])
    return replace(one, text=" ".join(said[ends[n] : ends[n + 1]]), words=words)


def _earlier(word: Word, by: float) -> Word:
    return replace(word, start=max(0.0, word.start - by), end=max(0.0, word.end - by))


def _merged(parts: Sequence[Alternative]) -> tuple[Alternative, ...]:
    found: dict[str, Alternative] = {}
    for one in parts:
        first = found.get(one.text)
        found[one.text] = replace(first, share=first.share + one.share) if first else one
    return tuple(sorted(found.values(), key=lambda one: -one.share))


def _sound(whole: Utterance, since: float, until: float | None) -> Utterance:
    first, last = (None if at is None else 2 * round(max(0.0, at) * whole.rate) for at in (since, until))
    speech_end = whole.speech_end if until is None else whole.start + until
    return replace(whole, pcm=whole.pcm[first:last], start=whole.start + since, speech_end=speech_end)
