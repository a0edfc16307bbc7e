"""What grammars are made of: words, sequences, weighted choices, and what each of them means.

One expression serves four uses: `parses` reads a sentence, `compiling` makes the recogniser's automaton of it,
`sample` and `every` say sentences with their meaning. Expressions are finite: nothing repeats without end.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import assert_never

Values = tuple[object, ...]
"""What the parts of an expression mean, left to right; a word alone means nothing."""

# eq=False: an expression is known by identity, so that caches need not compare whole trees.


@dataclass(frozen=True, slots=True, eq=False)
class Word:
    text: str


DECIMALS = 2
"""Of a typed number."""


@dataclass(frozen=True, slots=True, eq=False)
class Numeral:
    """A number typed in digits; never spoken, so no automaton and no sample holds it."""

    most: int
    whole: bool
    """True: no decimals; else at most hundredths, as they can be said: no set of weights tells finer ones apart."""


@dataclass(frozen=True, slots=True, eq=False)
class Seq:
    parts: tuple[Expression, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Alt:
    branches: tuple[tuple[float, Expression], ...]
    """Weight (any scale; 0 = understood, but never expected by ear) and what may be said."""

    @property
    def weight(self) -> float:
        """What the branches' weights add up to."""
        return sum(weight for weight, _ in self.branches)


@dataclass(frozen=True, slots=True, eq=False)
class Act:
    """Gives an expression its meaning: `make` takes what the parts mean, in order."""

    inner: Expression
    make: Callable[..., object]


Expression = Word | Numeral | Seq | Alt | Act

EMPTY = Seq(())


def seq(*parts: Expression) -> Seq:
    return Seq(parts)


def phrase(text: str) -> Expression:
    words = tuple(Word(w) for w in text.split())
    return words[0] if len(words) == 1 else Seq(words)


def meaning(value: object, inner: Expression | str) -> Act:
    """`inner` (an expression, or words) stands for `value`, whatever it is made of."""
    return Act(phrase(inner) if isinstance(inner, str) else inner, lambda *_: value)


def perhaps(chance: float, inner: Expression, otherwise: Expression = EMPTY) -> Alt:
    return Alt(((chance, inner), (1 - chance, otherwise)))


def either(*choices: Alt) -> Alt:
    """Choices joined, each as likely as its branches' weights add up to."""
    return Alt(tuple((choice.weight, choice) for choice in choices))


def one_of(*texts: str) -> Alt:
    """Ways to say the same, the first the usual one."""
    return Alt(tuple((1.0 if i == 0 else 0.1, phrase(t)) for i, t in enumerate(texts)))


# ---------------------------------------------------------------- reading


@dataclass(frozen=True, slots=True)
class Opening:
    """What an expression can begin with."""

    words: frozenset[str]
    numeral: bool
    empty: bool
    """It can also be nothing at all."""


@cache
def opening(node: Expression) -> Opening:
    match node:
        case Word(text):
            return Opening(frozenset({text}), False, False)
        case Numeral():
            return Opening(frozenset(), True, False)
        case Act(inner):
            return opening(inner)
        case Alt(branches):
            parts = [opening(branch) for _, branch in branches]
            words = frozenset[str]().union(*(p.words for p in parts))
            return Opening(words, any(p.numeral for p in parts), any(p.empty for p in parts))
        case Seq(members):
            words, numeral = frozenset[str](), False
            for part in map(opening, members):
                words, numeral = words | part.words, numeral or part.numeral
                if not part.empty:
                    return Opening(words, numeral, False)
            return Opening(words, numeral, True)
        case _:
            assert_never(node)


def _may_start(node: Expression, words: Sequence[str], at: int) -> bool:
    first = opening(node)
    if first.empty:
        return True
    return at < len(words) and (words[at] in first.words or (first.numeral and words[at][0].isdecimal()))


def parses(node: Expression, words: Sequence[str], at: int = 0) -> Iterator[tuple[int, Values]]:
    """Every way to read `node` from word `at` on: where the reading ends, and what it means."""
    match node:
        case Word(text):
            if at < len(words) and words[at] == text:
                yield at + 1, ()
        case Numeral():
            if at < len(words) and (value := _numeral(node, words[at])) is not None:
                yield at + 1, (value,)
        case Seq(members):
            yield from _parses_in_turn(members, words, at)
        case Alt(branches):
            for _, branch in branches:
                if _may_start(branch, words, at):
                    yield from parses(branch, words, at)
        case Act(inner, make):
            for end, values in parses(inner, words, at):
                yield end, (make(*values),)
        case _:
            assert_never(node)


def _parses_in_turn(parts: tuple[Expression, ...], words: Sequence[str], at: int) -> Iterator[tuple[int, Values]]:
    if not parts:
        yield at, ()
        return
    for middle, values in parses(parts[0], words, at):
        for end, more in _parses_in_turn(parts[1:], words, middle):
            yield end, values + more


def _numeral(node: Numeral, word: str) -> Decimal | int | None:
    whole, point, places = word.partition(".")
    if not all(part.isascii() and part.isdecimal() for part in ((whole, places) if point else (whole,))):
        return None
    value = Decimal(word)
    if value > node.most or (node.whole and point) or len(places) > DECIMALS:
        return None
    return int(value) if node.whole else value


def meanings(node: Expression, words: Sequence[str]) -> list[object]:
    """What all the words together can mean, without repetition."""
    found: list[object] = []
    for end, (value, *_) in parses(node, words):
        if end == len(words) and value not in found:
            found.append(value)
    return found


# ---------------------------------------------------------------- saying

Choice = Callable[[Sequence[float]], int]
"""Picks a branch, given the branches' weights (some may be 0: never to be picked)."""


def sample(node: Expression, choose: Choice) -> tuple[tuple[str, ...], Values]:
    """One sentence with its meaning; chance, if any, is the caller's."""
    match node:
        case Word(text):
            return (text,), ()
        case Numeral():
            raise ValueError("numerals are not spoken: the choice must leave out branches of weight 0")
        case Alt(branches):
            return sample(branches[choose([w for w, _ in branches])][1], choose)
        case Act(inner, make):
            words, values = sample(inner, choose)
            return words, (make(*values),)
        case Seq(members):
            said = [sample(part, choose) for part in members]
            return tuple(w for words, _ in said for w in words), tuple(v for _, vs in said for v in vs)
        case _:
            assert_never(node)


def every(node: Expression) -> Iterator[tuple[tuple[str, ...], Values]]:
    """All sentences with their meaning, as often as they can be derived; only for small expressions."""
    match node:
        case Word(text):
            yield (text,), ()
        case Numeral():
            return
        case Alt(branches):
            for weight, branch in branches:
                if weight:
                    yield from every(branch)
        case Act(inner, make):
            for words, values in every(inner):
                yield words, (make(*values),)
        case Seq(()):
            yield (), ()
        case Seq(members):
            for words, values in every(members[0]):
                for more_words, more in every(Seq(members[1:])):
                    yield words + more_words, values + more
        case _:
            assert_never(node)


@cache
def vocabulary(node: Expression) -> frozenset[str]:
    """All words that can be spoken; each part is looked at once, however often it is shared."""
    match node:
        case Word(text):
            return frozenset({text})
        case Numeral():
            return frozenset()
        case Alt(branches):
            return frozenset[str]().union(*(vocabulary(b) for w, b in branches if w))
        case Act(inner):
            return vocabulary(inner)
        case Seq(members):
            return frozenset[str]().union(*map(vocabulary, members))
        case _:
            assert_never(node)
