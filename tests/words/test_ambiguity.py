"""All ambiguous sentences of up to five pieces: the ones that bind tighter, and the ones that are puzzles.

ambiguous.txt lists them with what becomes of them; nothing else may be ambiguous. One word stands for its kind:
fifty for the tens and teens, two for the digits, c for the letters; down and up only make things clearer.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from handsfree.nouns import Context
from handsfree.words.expressions import meanings
from handsfree.words.grammar import _expression, understand
from tests.words.showing import HERE, shown

KINDS = ("fifty", "two", "one oh", "a hundred", "point two", "key", "c")
LONGEST = 5


def ambiguous() -> Iterator[str]:
    """Lines "text => what it is taken for"."""
    for length in range(1, LONGEST + 1):
        for pieces in product(KINDS, repeat=length):
            text = " ".join(pieces)
            found = meanings(_expression(Context.TOUCH), text.split())
            if len(found) > 1:
                yield f"{text} => {shown(understand(text, Context.TOUCH))}"


def test_the_ambiguous_sentences_are_exactly_the_listed_ones() -> None:
    listed = (HERE / "ambiguous.txt").read_text(encoding="utf-8").splitlines()
    assert list(ambiguous()) == [line for line in listed if line and not line.startswith("#")]
