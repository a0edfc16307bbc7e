"""Follows an automaton along the words heard so far: is this a sentence, and how likely does it go on?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import exp, log

from handsfree.nouns import Automaton, Completeness


class Follower:
    """Answers about partial sentences of one deterministic automaton (see determinising.py), in microseconds."""

    def __init__(self, automaton: Automaton) -> None:
        self._start = automaton.start
        self._ending = {state: exp(-cost) for state, cost in automaton.finals.items()}
        self._steps: dict[int, dict[str, int]] = defaultdict(dict)
        self._costs: dict[tuple[int, str], float] = {}
        for arc in automaton.arcs:
            self._steps[arc.source][arc.word] = arc.target
            self._costs[arc.source, arc.word] = arc.cost

    def _after(self, words: Sequence[str]) -> int | None:
        """Where the words lead to; None: they begin no sentence."""
        state: int | None = self._start
        for word in words:
            state = self._steps[state].get(word) if state in self._steps else None
        return state

    def log_chance(self, words: Sequence[str]) -> float | None:
        """Natural logarithm of how likely just this is said; None: it is no sentence."""
        state, found = self._start, 0.0
        for word in words:
            if word not in self._steps.get(state, {}):
                return None
            found -= self._costs[state, word]
            state = self._steps[state][word]
        return found + log(self._ending[state]) if state in self._ending else None

    def completeness(self, words: Sequence[str]) -> Completeness:
        """CLOSED only where no word at all can follow."""
        state = self._after(words)
        if state is None or not words:
            return Completeness.NOTHING
        if state not in self._ending:
            return Completeness.BEGUN
        return Completeness.EXTENDABLE if state in self._steps else Completeness.CLOSED

    def chance_of_more(self, words: Sequence[str]) -> float:
        """Probability that more words follow, 0..1; 1 for what is no sentence yet, 0 for no beginning of one."""
        state = self._after(words)
        return 0.0 if state is None else 1 - self._ending.get(state, 0.0)
