"""The spoken language: text to meaning, and the same grammar as an automaton for the ear.

Words bind as tightly as they can: where a text can be read in several ways, the reading with the fewest numbers
counts ("fifty eight" is 58, not 50 and 8; "one oh five" is 105). Where two readings have equally many
("fifty two eight": 52 and 8, or 50 and 28) the text is a Puzzle, never a guess.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, lru_cache

from handsfree.nouns import (
    COUNTING,
    OTHER_TALK,
    WALKING,
    Automaton,
    Completeness,
    Context,
    Correction,
    Counted,
    GoTo,
    InOneBreath,
    OffKeyboard,
    Puzzle,
    Reading,
    Said,
)
from handsfree.words import expressions
from handsfree.words.amounts import amounts_words
from handsfree.words.compiling import automaton_of
from handsfree.words.counting import LONGEST_COUNT
from handsfree.words.determinising import deterministic
from handsfree.words.expressions import EMPTY, Alt, Choice, meanings
from handsfree.words.following import Follower
from handsfree.words.sentences import sentences
from handsfree.words.spoken import RADIO, UNITS
from handsfree.words.typed import typed_to_spoken, typing_trouble
from handsfree.words.walk_sentences import free_text, walk_sentences

SILENCE = Puzzle("", "silence")
ANSWERS_OF = {
    Context.TOUCH: Context.ANSWER,
    Context.SWINGS: Context.SWINGS_ANSWER,
    Context.WALKTHROUGH: Context.WALK_ANSWER,
}
DIGIT_WORDS = frozenset({*UNITS, *RADIO.values(), "oh"})
FIRST_HEARD = 3
"""A count may begin here for the ear."""
GOES_ON = 1.0
"""Chance that a total goes on that may be the middle of a count, set high: it would stand for the wrong key."""
SAYS_NOTHING = 0.05
"""Chance that an utterance holds no sentence at all (a knock, a breath)."""


@cache
def _expression(context: Context) -> Alt:
    found = walk_sentences(context) if context in WALKING else sentences(context)
    return Alt(tuple((share, s.expression) for share, s in found))


def understand(text: str, context: Context) -> Said:
    """What a text, spoken or typed, means where `context` is listened for; Puzzle for what is no sentence.

    ValueError for a context that has no sentences yet.
    """
    if context in WALKING and (free := free_text(text, context)):
        return free
    expression = _expression(context)
    words = typed_to_spoken(text).split()
    if not words:
        return SILENCE
    found = _said(meanings(expression, words))
    if OTHER_TALK in words and not found:
        return Puzzle(text, "other talk")
    fewest = min(map(_numbers, found), default=0)
    best = [said for said in found if _numbers(said) == fewest]
    refused = [said for said in best if isinstance(said, OffKeyboard)]
    if refused:
        return max(refused, key=lambda off: len(off.name))
    if len(best) == 1:
        return best[0]
    return Puzzle(text, _ambiguity(best) if best else _no_sentence(words, context))


def _said(values: Iterable[object]) -> list[Said]:
    """Every sentence's expression means one Said; mypy cannot see through the expressions."""
    return [value for value in values if isinstance(value, Said)]


def _numbers(said: Said) -> int:
    if isinstance(said, InOneBreath):
        return sum(map(_numbers, said.parts))
    if isinstance(said, Counted):
        return 1
    return len(said.amounts) if isinstance(said, Reading | Correction) else 0


def _ambiguity(readings: list[Said]) -> str:
    if any(isinstance(said, Counted) for said in readings):
        return "key number and count run together; name the key by its letter"
    numbered = [said for said in readings if isinstance(said, Reading | Correction)]
    numbered.sort(key=lambda said: (said.key or 0, [amount.value or 0 for amount in said.amounts]))
    several_keys = len({said.key for said in numbered}) > 1
    ways = [(f"key {said.key}: " if several_keys else "") + amounts_words(said.amounts) for said in numbered]
    return f"could be {', or '.join(ways)}; say down and up before the numbers"


def _no_sentence(words: list[str], context: Context) -> str:
    if context is Context.STANDING_BY:
        return "standing by"
    answers = ANSWERS_OF.get(context)
    if answers and meanings(_expression(answers), words):
        return "no question is open"
    if trouble := typing_trouble(words):
        return trouble
    return "unfinished" if _follower(context).completeness(words) is Completeness.BEGUN else "not a sentence"


@cache
def automaton(context: Context) -> Automaton:
    """The context's sentences and silence, weighted by what is likely: deterministic, about 5,000 arcs, in 40 ms.

    ValueError for a context that has no sentences yet.
    """
    return deterministic(automaton_of(Alt(((1 - SAYS_NOTHING, _expression(context)), (SAYS_NOTHING, EMPTY)))))


@cache
def _follower(context: Context) -> Follower:
    return Follower(automaton(context))


def completeness(text: str, context: Context) -> Completeness:
    """How complete a partial sentence is; CLOSED only where no word of the language can follow. A run of digits that
    only the next one makes clear ("five four three": 54 and then thirty what?) has just begun, and so has a count
    of which only the note was said."""
    found = _follower(context).completeness(text.lower().split())
    waits = found is Completeness.EXTENDABLE and (_waits_for_digit(text, context) or _awaits_count(text, context))
    return Completeness.BEGUN if waits else found


@lru_cache(maxsize=256)
def _awaits_count(text: str, context: Context) -> bool:
    """A note alone where swings are counted: the hammer is about to fall, and nothing else waits for it."""
    return context in COUNTING and isinstance(understand(text, context), GoTo)


@lru_cache(maxsize=256)
def _waits_for_digit(text: str, context: Context) -> bool:
    """Whether it ends in digits said one by one, is not clear, and would be with one more."""
    words = text.lower().split()
    if not DIGIT_WORDS.issuperset(words[-3:]) or not isinstance(understand(text, context), Puzzle):
        return False
    return not isinstance(understand(f"{text} two", context), Puzzle)


def chance_of_more(text: str, context: Context) -> float:
    """How likely a partial sentence goes on, 0..1: after "c four" almost sure, after two weights small.

    For how long to wait where `completeness` says EXTENDABLE: nearly every sentence that ends in a number is. A total
    that may be the middle of a count waits as long as a beat does.
    """
    if context in COUNTING and _may_be_counting(text, context):
        return GOES_ON
    return _follower(context).chance_of_more(text.lower().split())


def log_chance(text: str, context: Context) -> float | None:
    """Natural logarithm of how likely just this is said; None: it is no sentence."""
    return _follower(context).log_chance(text.lower().split())


@lru_cache(maxsize=256)
def _may_be_counting(text: str, context: Context) -> bool:
    """Whether a total may be the middle of a count: its first numbers were not spoken up, or it was closed too early
    and is asked about now."""
    said = understand(text, context)
    value = said.amounts[0].value if isinstance(said, Reading) and said.amounts else None
    low = FIRST_HEARD if context is Context.SWINGS else LONGEST_COUNT
    return value is not None and value == int(value) and 0 < value <= low and not text.endswith(("swing", "swings"))


@cache
def vocabulary(context: Context | None = None) -> frozenset[str]:
    """All words that the ear must know, in one context or in all that have sentences."""
    contexts = [context] if context else [*ANSWERS_OF.values(), Context.STANDING_BY]
    return frozenset[str]().union(*(expressions.vocabulary(_expression(c)) for c in contexts)) - {OTHER_TALK}


def sample(context: Context, choose: Choice) -> tuple[str, Said]:
    """One spoken sentence with its meaning; `choose` picks branches by their weights."""
    words, values = expressions.sample(_expression(context), choose)
    (said,) = _said(values)
    return " ".join(words), said
