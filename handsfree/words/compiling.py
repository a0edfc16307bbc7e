"""Makes a word automaton of an expression, with as many ways to say a text as the expression has.

Built from the end towards the start, and states with the same arcs out of them are one state, so what is said in
several places (the weights, the tail of a number) is held once.
"""

from __future__ import annotations

from math import log
from typing import assert_never

from handsfree.nouns import Arc, Automaton
from handsfree.words.expressions import Act, Alt, Expression, Numeral, Seq, Word

FINAL = 0
PRECISION = 5
"""Decimals kept of a cost: finer differences would only keep equal states apart."""

Out = tuple[str, float, int]
"""Word, cost, state it leads to."""


class _Builder:
    def __init__(self) -> None:
        self.states: list[tuple[Out, ...]] = [()]
        self._numbers: dict[tuple[Out, ...], int] = {}
        self._done: dict[tuple[Expression, int], tuple[Out, ...]] = {}

    def state(self, outs: tuple[Out, ...]) -> int:
        """The state that has exactly these arcs out."""
        if len(outs) == 1 and outs[0][:2] == ("", 0.0):
            return outs[0][2]
        if outs not in self._numbers:
            self._numbers[outs] = len(self.states)
            self.states.append(outs)
        return self._numbers[outs]

    def outs(self, node: Expression, end: int) -> tuple[Out, ...]:
        """The first arcs of `node` when `end` is where it leads to."""
        if (node, end) not in self._done:
            self._done[node, end] = self._made(node, end)
        return self._done[node, end]

    def _made(self, node: Expression, end: int) -> tuple[Out, ...]:
        match node:
            case Word(text):
                return ((text, 0.0, end),)
            case Numeral():
                return ()
            case Act(inner):
                return self.outs(inner, end)
            case Seq(()):
                return (("", 0.0, end),)
            case Seq(parts):
                for part in reversed(parts[1:]):
                    end = self.state(self.outs(part, end))
                return self.outs(parts[0], end)
            case Alt(branches):
                total = sum(weight for weight, _ in branches)
                return tuple(
                    (word, round(cost - log(weight / total), PRECISION), target)
                    for weight, branch in branches
                    if weight > 0
                    for word, cost, target in self.outs(branch, end)
                )
            case _:
                assert_never(node)


def automaton_of(expression: Expression) -> Automaton:
    """Acyclic; the costs out of each state are those of a probability distribution (no cost is above about 30)."""
    builder = _Builder()
    start = builder.state(builder.outs(expression, FINAL))
    arcs = tuple(
        Arc(source, target, word, cost) for source, outs in enumerate(builder.states) for word, cost, target in outs
    )
    return Automaton(start, arcs, {FINAL: 0.0})
