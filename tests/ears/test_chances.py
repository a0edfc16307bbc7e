"""The chances that the second ear's scores are weighed with: those of the grammar that the first ear decodes with,
worked out here word by word over the automaton as it is written, silent steps and all."""

from __future__ import annotations

import math

import pytest

from handsfree.ears.strict_grammar import UNKNOWN_COSTS, silently_reached, with_other_talk
from handsfree.hearing import chance_in
from handsfree.nouns import COUNTING, OTHER_TALK, Arc, Context
from handsfree.words.grammar import automaton

SAID = ("", "seven", "a four one two three four", "one two three d five", f"one two three {OTHER_TALK}")


def least_cost(text: str, context: Context) -> float:
    wanted = with_other_talk(automaton(context), UNKNOWN_COSTS)
    outs: dict[int, list[Arc]] = {}
    for arc in wanted.arcs:
        outs.setdefault(arc.source, []).append(arc)
    reached = {wanted.start: 0.0}
    for word in [*text.split(), None]:
        silent: dict[int, float] = {}
        for state, cost in reached.items():
            for end, more in silently_reached(state, outs).items():
                silent[end] = min(cost + more, silent.get(end, math.inf))
        if word is None:
            return min((c + wanted.finals[s] for s, c in silent.items() if s in wanted.finals), default=math.inf)
        reached = {}
        for state, cost in silent.items():
            for arc in outs.get(state, ()):
                if arc.word == word:
                    reached[arc.target] = min(cost + arc.cost, reached.get(arc.target, math.inf))
    raise AssertionError


@pytest.mark.parametrize("context", sorted(COUNTING, key=lambda context: context.name))
@pytest.mark.parametrize("text", [*SAID, *(" ".join([OTHER_TALK] * n) for n in (1, 3, 5)), "one seven two"])
def test_a_sentence_silence_and_other_talk_have_the_chance_that_the_ear_gives_them(
    text: str, context: Context
) -> None:
    chance = chance_in(context)
    assert chance is not None
    assert chance(text) == pytest.approx(-least_cost(text, context), abs=1e-4)


def test_elsewhere_the_recognisers_score_stands_alone() -> None:
    assert chance_in(Context.TOUCH) is None
