"""What a sentence of the language is, and how a note that no piano has is refused in any of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from handsfree.nouns import OffKeyboard, Said
from handsfree.words.expressions import Expression


@dataclass(frozen=True, slots=True)
class Sentence:
    """One way to say something to the tool, in all its variants."""

    say: str
    """The pattern, for people."""
    does: str
    examples: tuple[str, ...]
    expression: Expression
    """Means exactly one `Said`."""
    weight: float
    """How often it is said, relative to the others of its context."""


def with_key(make: Callable[..., Said]) -> Callable[..., Said]:
    """`make` for what begins with a note: a note that no piano has is refused, whatever follows it."""

    def made(key: int | OffKeyboard, *rest: object) -> Said:
        return key if isinstance(key, OffKeyboard) else make(key, *rest)

    return made
