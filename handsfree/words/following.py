"""Follows an automaton along the words heard so far: is this a sentence, and how likely does it go on?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import exp

from handsfree.nouns import Automaton, Completeness


class Follower:
    """Answers about partial sentences of one automaton; a question costs well under a millisecond."""

    def __init__(self, automaton: Automaton) -> None:
        self._start = automaton.start
        self._finals = {state: exp(-cost) for state, cost in automaton.finals.items()}
        self._silent: dict[int, list[tuple[int, float]]] = defaultdict(list)
        self._spoken: dict[int, dict[str, list[tuple[int, float]]]] = defaultdict(lambda: defaultdict(list))
        for arc in automaton.arcs:
            step = (arc.target, exp(-arc.cost))
            (self._spoken[arc.source][arc.word] if arc.word else self._silent[arc.source]).append(step)

    def _after(self, words: Sequence[str]) -> dict[int, float]:
        """State -> probability that the automaton says these words and is there then."""
        here = self._with_silent_steps({self._start: 1.0})
        for word in words:
            there: dict[int, float] = defaultdict(float)
            for state, chance in here.items():
                for target, step in self._spoken.get(state, {}).get(word, ()):
                    there[target] += chance * step
            here = self._with_silent_steps(there)
        return here

    def _with_silent_steps(self, here: dict[int, float]) -> dict[int, float]:
        reached: dict[int, float] = defaultdict(float)
        todo = list(here.items())
        while todo:
            state, chance = todo.pop()
            reached[state] += chance
            todo += [(target, chance * step) for target, step in self._silent.get(state, ())]
        return reached

    def completeness(self, words: Sequence[str]) -> Completeness:
        """CLOSED only where no word at all can follow."""
        states = self._after(words) if words else {}
        if not states:
            return Completeness.NOTHING
        may_end = any(state in self._finals for state in states)
        may_go_on = any(self._spoken.get(state) for state in states)
        if not may_end:
            return Completeness.BEGUN
        return Completeness.EXTENDABLE if may_go_on else Completeness.CLOSED

    def chance_of_more(self, words: Sequence[str]) -> float:
        """Probability that more words follow, 0..1; 1 for what is no sentence yet, 0 for no beginning of one."""
        states = self._after(words)
        ending = sum(chance * self._finals.get(state, 0.0) for state, chance in states.items())
        # Every state's ways on add up to 1, so the mass that leaves by a word is what has not gone silently.
        going = sum(
            chance * step
            for state, chance in states.items()
            for steps in self._spoken.get(state, {}).values()
            for _, step in steps
        )
        return going / (going + ending) if going + ending else 0.0
