"""A journal that forgets: the same calls as the one on disk, for trying out and for judging old words again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Protocol

from handsfree.nouns import Fact, Heard, Kept

SOME_TIME = "2000-01-01T00:00:00+00:00"
"""A journal in memory has no clock; whoever needs times gives its own."""


class Keeps(Protocol):
    """What a session needs of a journal."""

    def append(self, heard: Heard, facts: Sequence[Fact]) -> tuple[Kept, ...]:
        """Keep both at once; they are safe when this returns."""

    def append_unheard(self, facts: Sequence[Fact]) -> tuple[Kept, ...]:
        """Keep facts that nobody said."""

    def facts(self) -> Iterator[Kept]:
        """All facts of the open sitting, oldest first."""


class MemoryJournal:
    """Nothing is on disk, all is gone with the process."""

    def __init__(self, at: str = SOME_TIME) -> None:
        self.heard: list[Heard] = []
        self._kept: list[Kept] = []
        self._at = at

    def append(self, heard: Heard, facts: Sequence[Fact]) -> tuple[Kept, ...]:
        self.heard.append(heard)
        return self._keep(facts, len(self.heard), heard.text)

    def append_unheard(self, facts: Sequence[Fact]) -> tuple[Kept, ...]:
        return self._keep(facts, None, "")

    def facts(self) -> Iterator[Kept]:
        return iter(tuple(self._kept))

    def _keep(self, facts: Sequence[Fact], heard_n: int | None, text: str) -> tuple[Kept, ...]:
        first = len(self._kept) + 1
        kept = tuple(Kept(n, self._at, heard_n, text, None, fact) for n, fact in enumerate(facts, start=first))
        self._kept.extend(kept)
        return kept
