"""The language as tables for people, from the same sentences that the machine listens for."""

from __future__ import annotations

from dataclasses import dataclass

from handsfree.nouns import Context
from handsfree.words.sentence import Sentence
from handsfree.words.sentences import sentences as sentences_of
from handsfree.words.walk_sentences import walk_sentences as walk_sentences_of


@dataclass(frozen=True, slots=True)
class Part:
    """What the sentences are made of."""

    name: str
    ways: str
    examples: tuple[str, ...]


NOTES = (
    Part("*note*", "letter, octave; sharp, flat or natural between them", ("C four", "F sharp four", "B flat three")),
    Part(
        "*note*, spelled", "the surest way where letters sound alike", ("bravo three", "delta flat five", "alfa four")
    ),
    Part("*note*, by number", "1 is the lowest, 88 the highest", ("key forty nine", "key four nine")),
)
NUMBERS = (
    Part("*number*", "grams, up to two hundred", ("fifty two", "one hundred and five", "zero")),
    Part("*number*, digit by digit", "radio digits are taken too", ("five two", "fife two", "one oh five")),
    Part(
        "*number* with a part of a gram",
        "kept exactly as said",
        ("fifty two and a half", "fifty two point five", "fifty two decimal five", "six point oh five", "a half"),
    ),
)
WEIGHTS = (
    Part("*weights*", "one is down, two are down, then up", ("fifty two", "fifty two twenty eight")),
    Part(
        "*weights*, named",
        "in either order; an up below ten needs its name",
        ("down fifty two up twenty six", "up twenty six", "fifty two up eight"),
    ),
    Part("*weights* of a key that lifts nothing", "", ("fifty eight no return", "no return")),
)


def sentences() -> tuple[Sentence, ...]:
    """Every sentence of the touch pass, then the answers to a question, with examples."""
    return tuple(sentence for _, sentence in sentences_of(Context.ANSWER))


def swing_sentences() -> tuple[Sentence, ...]:
    """What the swing pass has of its own, then the answers to its questions."""
    known = {s.say for s in sentences()}
    return tuple(s for _, s in sentences_of(Context.SWINGS_ANSWER) if s.say not in known)


def walk_sentences() -> tuple[Sentence, ...]:
    """Every sentence of the walkthrough, then the answers to its questions."""
    return tuple(s for _, s in walk_sentences_of(Context.WALK_ANSWER))


def table_markdown() -> str:
    """Markdown tables for the README: what can be said, what in the other two passes, and what it is made of."""
    said = [(s.say, s.does, s.examples) for s in sentences()]
    counting = [(s.say, s.does, s.examples) for s in swing_sentences()]
    walking = [(s.say, s.does, s.examples) for s in walk_sentences()]
    made_of = [(p.name, p.ways, p.examples) for p in NOTES + NUMBERS + WEIGHTS]
    return "\n".join(
        (
            _table(("say", "what happens"), said),
            _table(("in the swing pass, instead of weights", "what happens"), counting),
            _table(("in the walkthrough", "what happens"), walking),
            _table(("part", "how"), made_of),
        )
    )


def _table(heads: tuple[str, str], rows: list[tuple[str, str, tuple[str, ...]]]) -> str:
    lines = [f"| {heads[0]} | {heads[1]} | for example |", "| --- | --- | --- |"]
    for first, second, examples in rows:
        quoted = "<br>".join(f"\u201c{example}\u201d" for example in examples)
        lines.append(f"| {first} | {second} | {quoted} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(table_markdown(), end="")
