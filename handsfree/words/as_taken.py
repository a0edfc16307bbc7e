"""The words that a value was taken from. What the sitting expects may have decided for another alternative than the
likeliest by ear ("f four" was heard, A4 is the key of the plan); to show the likeliest would look like a mistake."""

from __future__ import annotations

from collections.abc import Sequence

from handsfree.nouns import Alternative, Context, Correction, Counted, GoTo, ReadBack, Reading, Said, Same
from handsfree.words.grammar import understand


def words_for(alternatives: Sequence[Alternative], context: Context, key: int) -> str:
    """Of the likeliest alternative that names `key` (1..88) or no key; where none does, of the likeliest."""
    for one in alternatives:
        if _key_of(understand(one.text, context)) in (None, key):
            return one.text
    return alternatives[0].text if alternatives else ""


def _key_of(said: Said) -> int | None:
    match said:
        case Reading() | Correction() | Counted() | GoTo() | ReadBack() | Same():
            return said.key
        case _:
            return None
