"""The recogniser's scored guesses to alternatives with shares: pure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Protocol, TypeVar

from handsfree.ears.sureness import evidence, shares
from handsfree.nouns import Alternative, Word

SILENCE = (Alternative("", 1.0),)


@dataclass(frozen=True, slots=True)
class RawAlternative:
    """One guess as the recogniser gives it."""

    text: str
    score: float
    """Natural logarithm of its likelihood, up to a constant that all guesses share."""
    words: tuple[Word, ...]
    """With times; their sureness is not known yet."""


class Scored(Protocol):
    @property
    def text(self) -> str: ...

    @property
    def score(self) -> float: ...


Guess = TypeVar("Guess", bound=Scored)

Again = Callable[[Sequence[str]], Sequence[float] | None]
"""Texts -> how likely each is to somebody who listens a second time; None for no opinion."""


Chance = Callable[[str], float]
"""Text -> natural logarithm of how likely it is to be said."""


def as_alternatives(
    found: Iterable[RawAlternative], again: Again | None = None, chance: Chance | None = None
) -> tuple[Alternative, ...]:
    """Guesses with equal text become one; the shares add up to 1; best first; never empty.

    A word is as sure as the alternatives that have it at its time taken together.
    """
    best = each_once(found)
    if not best:
        return SILENCE
    texts = [one.text for one in best]
    chances = [chance(text) for text in texts] if chance else None
    speaks = evidence([one.score for one in best], again(texts) if again else None, chances)
    shared = sorted(zip(best, shares(speaks), strict=True), key=lambda one: -one[1])
    return tuple(
        Alternative(one.text, share, tuple(replace(w, sureness=_sureness(w, shared)) for w in one.words))
        for one, share in shared
    )


def each_once(found: Iterable[Guess]) -> list[Guess]:
    """Of guesses with equal text the one with the highest score, in the order in which the texts came."""
    best: dict[str, Guess] = {}
    for one in found:
        if one.text not in best or one.score > best[one.text].score:
            best[one.text] = one
    return list(best.values())


def without_begun(alternatives: Sequence[Alternative], after: float) -> tuple[Alternative, ...]:
    """Without last words that begin later than `after` seconds: the silence that closed the utterance was over by
    then, so they belong to the next one, which hears them whole. Alternatives that become equal are one."""
    cut: dict[str, Alternative] = {}
    for one in alternatives:
        words = one.words
        while words and words[-1].start > after:
            words = words[:-1]
        text = one.text if len(words) == len(one.words) else " ".join(word.text for word in words)
        share = one.share + (cut[text].share if text in cut else 0.0)
        first = cut.get(text)
        cut[text] = replace(one, text=text, words=first.words if first else words, share=share)
    return tuple(sorted(cut.values(), key=lambda one: -one.share))


def _sureness(word: Word, shared: Sequence[tuple[RawAlternative, float]]) -> float:
    agreeing = (share for one, share in shared if any(_same(word, other) for other in one.words))
    return min(1.0, sum(agreeing))


def _same(word: Word, other: Word) -> bool:
    """The same word at about the same time."""
    middle = (other.start + other.end) / 2
    return word.text == other.text and word.start <= middle <= word.end
