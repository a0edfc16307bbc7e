"""Makes an automaton say each sentence along one path only, with the sentence's whole probability.

The recogniser then meets no path twice, and the follower sees sums, not the best of several. Standard subset
construction with residual weights, in probabilities; an acyclic automaton always has a deterministic twin, but it can
be large: the grammar keeps it small by never expecting one text in two ways (see amounts.py).
"""

from __future__ import annotations

from collections import defaultdict
from math import exp, log

from handsfree.nouns import Arc, Automaton

PRECISION = 5
"""Decimals kept of costs, and significant digits of shares: finer differences would only keep equal states apart."""

Subset = tuple[tuple[int, float], ...]
"""States of the original that the same words can lead to, with their shares (adding up to 1)."""
Out = tuple[str, float, int]
"""Word, cost, state it leads to."""


class _Twin:
    def __init__(self, automaton: Automaton) -> None:
        self.finals = {state: exp(-cost) for state, cost in automaton.finals.items()}
        self.steps: dict[int, list[tuple[str, float, int]]] = defaultdict(list)
        for arc in automaton.arcs:
            self.steps[arc.source].append((arc.word, exp(-arc.cost), arc.target))
        self._numbers: dict[Subset, int] = {}
        self._same: dict[tuple[tuple[Out, ...], float], int] = {}
        self.states: list[tuple[tuple[Out, ...], float]] = []
        """Arcs out, and the probability of ending there."""

    def state(self, subset: Subset) -> int:
        if subset not in self._numbers:
            self._numbers[subset] = self._made(subset)
        return self._numbers[subset]

    def _made(self, subset: Subset) -> int:
        ending = 0.0
        ways: dict[str, dict[int, float]] = defaultdict(lambda: defaultdict(float))
        todo = list(subset)
        while todo:
            state, share = todo.pop()
            ending += share * self.finals.get(state, 0.0)
            for word, chance, target in self.steps[state]:
                if word:
                    ways[word][target] += share * chance
                else:
                    todo.append((target, share * chance))
        outs = []
        for word in sorted(ways):
            total = sum(ways[word].values())
            shares = sorted((state, float(f"{share / total:.{PRECISION}g}")) for state, share in ways[word].items())
            outs.append((word, max(0.0, round(-log(total), PRECISION)), self.state(tuple(shares))))
        made = (tuple(outs), round(ending, PRECISION))
        if made not in self._same:
            self._same[made] = len(self.states)
            self.states.append(made)
        return self._same[made]


def deterministic(automaton: Automaton) -> Automaton:
    """The same sentences with the same probabilities; no epsilons, no two arcs of a state with the same word."""
    twin = _Twin(automaton)
    start = twin.state(((automaton.start, 1.0),))
    arcs = tuple(
        Arc(source, target, word, cost) for source, (outs, _) in enumerate(twin.states) for word, cost, target in outs
    )
    finals = {state: max(0.0, -log(ending)) for state, (_, ending) in enumerate(twin.states) if ending > 0}
    return Automaton(start, arcs, finals)
