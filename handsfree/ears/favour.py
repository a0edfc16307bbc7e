"""How far an expectation made each sentence cheaper: what is taken out of the scores again. Pure.

The recogniser searches with the sitting's expectation in its grammar, so that an expected sentence is not lost in
noise. Judgement weighs the expectation by itself; were it in the shares as well, it would count twice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from handsfree.ears.alternatives import RawAlternative
from handsfree.nouns import Automaton

Favour = Callable[[str], float]
"""Text -> nats by which it was favoured."""

GRAPH_SCALE = 0.9
"""Part of the grammar's costs that Vosk 0.3.45 counts in its n-best scores: seen when a single cost is changed
(tests/model/test_expected_grammar.py)."""


def no_favour(text: str) -> float:
    return 0.0


def favour(plain: Automaton, expected: Automaton) -> Favour:
    """By how much `expected` makes a sentence cheaper than `plain`; both deterministic. 0 for what is no sentence of
    both (other talk, silence)."""
    before, after = _Costs(plain), _Costs(expected)

    def favoured(text: str) -> float:
        words = text.split()
        usual, now = before.of(words), after.of(words)
        return 0.0 if not words or usual is None or now is None else usual - now

    return favoured


def impartial(found: RawAlternative, favoured: Favour) -> RawAlternative:
    """The guess with the score that it would have without the expectation."""
    return replace(found, score=found.score - GRAPH_SCALE * favoured(found.text))


class _Costs:
    """What each sentence of a deterministic automaton costs."""

    def __init__(self, automaton: Automaton) -> None:
        self._start = automaton.start
        self._finals: Mapping[int, float] = automaton.finals
        self._steps = {(arc.source, arc.word): (arc.target, arc.cost) for arc in automaton.arcs}

    def of(self, words: list[str]) -> float | None:
        """None: no sentence."""
        state, cost = self._start, 0.0
        for word in words:
            step = self._steps.get((state, word))
            if step is None:
                return None
            state, cost = step[0], cost + step[1]
        return cost + self._finals[state] if state in self._finals else None
