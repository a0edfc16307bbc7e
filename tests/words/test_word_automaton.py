"""The automaton says the same sentences as the grammar, with probabilities that add up, and stays small."""

from __future__ import annotations

from collections import defaultdict
from math import exp, inf
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handsfree.nouns import Arc, Automaton, Completeness, Context, Puzzle
from handsfree.words.following import Follower
from handsfree.words.grammar import automaton, sample, understand, vocabulary
from tests.words.choosing import as_likely, evenly

CONTEXTS = [Context.TOUCH, Context.ANSWER, Context.STANDING_BY, Context.SWINGS, Context.SWINGS_ANSWER]
AUTOMATA = [automaton(c) for c in CONTEXTS]


def arcs_out(machine: Automaton) -> dict[int, list[Arc]]:
    out: dict[int, list[Arc]] = defaultdict(list)
    for arc in machine.arcs:
        out[arc.source].append(arc)
    return out


def cost(machine: Automaton, text: str) -> float:
    """-ln of the probability of this text; inf: it cannot be said."""
    state, total = machine.start, 0.0
    steps = {(arc.source, arc.word): arc for arc in machine.arcs}
    for word in text.split():
        if (state, word) not in steps:
            return inf
        state, total = steps[state, word].target, total + steps[state, word].cost
    return total + machine.finals.get(state, inf)


@pytest.mark.parametrize("machine", AUTOMATA)
def test_it_is_acyclic_and_every_state_is_of_use(machine: Automaton) -> None:
    out, state_of = arcs_out(machine), {}

    def visit(state: int) -> None:
        assert state_of.get(state) != "open", "a cycle"
        if state in state_of:
            return
        state_of[state] = "open"
        assert out[state] or state in machine.finals, "a dead end"
        for arc in out[state]:
            visit(arc.target)
        state_of[state] = "done"

    visit(machine.start)
    assert set(state_of) >= {arc.source for arc in machine.arcs}, "a state that cannot be reached"


@pytest.mark.parametrize("machine", AUTOMATA)
def test_what_leaves_a_state_is_a_probability_distribution(machine: Automaton) -> None:
    assert all(arc.cost >= 0 and arc.word == arc.word.lower() for arc in machine.arcs)
    for state, arcs in arcs_out(machine).items():
        leaving = sum(exp(-a.cost) for a in arcs) + exp(-machine.finals.get(state, inf))
        assert leaving == pytest.approx(1, abs=2e-4), state


@pytest.mark.parametrize(("machine", "most"), zip(AUTOMATA, [6000, 6000, 3, 13_500, 13_500], strict=True))
def test_it_is_deterministic_and_small(machine: Automaton, most: int) -> None:
    assert len(machine.arcs) <= most
    assert all(arc.word for arc in machine.arcs)
    assert len({(arc.source, arc.word) for arc in machine.arcs}) == len(machine.arcs)


@pytest.mark.parametrize(("context", "machine"), zip(CONTEXTS, AUTOMATA, strict=True))
@settings(max_examples=200, deadline=None)
@given(chance=st.integers(0, 2**32).map(Random))
def test_it_says_what_the_grammar_says(context: Context, machine: Automaton, chance) -> None:  # type: ignore[no-untyped-def]
    text, _ = sample(context, evenly(chance))
    assert cost(machine, text) < inf
    assert cost(machine, f"{text} {text}") == inf or context is not Context.STANDING_BY


@pytest.mark.parametrize(("context", "machine"), zip(CONTEXTS, AUTOMATA, strict=True))
@settings(max_examples=200, deadline=None)
@given(chance=st.integers(0, 2**32).map(Random))
def test_it_says_nothing_else(context: Context, machine: Automaton, chance) -> None:  # type: ignore[no-untyped-def]
    """A walk along any arcs to the end is a sentence, or one of the ambiguous texts, or silence."""
    out, state, words = arcs_out(machine), machine.start, []
    while state not in machine.finals or (out[state] and chance.random() < 0.8):
        arc = chance.choice(out[state])
        state, words = arc.target, [*words, arc.word]
    said = understand(" ".join(words), context)
    assert not isinstance(said, Puzzle) or said.why == "silence" or said.why.startswith("could be "), words
    assert set(words) <= vocabulary(context)


@pytest.mark.parametrize("machine", AUTOMATA)
def test_silence_is_always_possible(machine: Automaton) -> None:
    # Without it a knock would have to become a word (MODEL, lesson 1).
    assert cost(machine, "") < 4


def test_likely_things_cost_less() -> None:
    touch = automaton(Context.TOUCH)
    in_order = [
        ("fifty two twenty eight", "five two two eight"),
        ("fifty two", "five two"),
        ("fifty two", "ninety"),
        ("fifty two twenty eight", "twenty eight fifty two"),
        ("c four fifty two", "charlie four fifty two"),
        ("c four", "b sharp three"),
        ("d seven", "d eight"),
        ("fifty two", "fifty two and a half"),
        ("five", "fife"),
    ]
    for likely, less in in_order:
        assert cost(touch, likely) < cost(touch, less) < inf, (likely, less)


def test_note_letters_are_alike() -> None:
    touch = automaton(Context.TOUCH)
    costs = [cost(touch, f"{letter} four fifty two") for letter in "abcdefg"]
    assert max(costs) - min(costs) < 0.05


@pytest.mark.parametrize("text", ["two hundred and one", "three hundred", "fifty two fifty two fifty two"])
def test_nothing_above_200_and_no_third_number(text: str) -> None:
    assert cost(automaton(Context.TOUCH), text) == inf


def test_standing_by_hears_only_go_ahead() -> None:
    machine = automaton(Context.STANDING_BY)
    assert cost(machine, "go ahead") < 0.1
    assert vocabulary(Context.STANDING_BY) == {"go", "ahead"}


def test_an_open_question_makes_yes_and_no_likely() -> None:
    touch, answer = automaton(Context.TOUCH), automaton(Context.ANSWER)
    for text in ("yes", "affirm", "no", "negative"):
        assert cost(touch, text) == inf
        assert cost(answer, text) < 3
    assert cost(touch, "fifty two") < cost(answer, "fifty two") < inf


def test_chances_of_whole_sentences_add_up() -> None:
    """A thousand likely sentences of the grammar: their share below some cost is what the automaton says it is."""
    touch, choose = automaton(Context.TOUCH), as_likely(seed=7)
    texts = [sample(Context.TOUCH, choose)[0] for _ in range(1000)]
    often = texts.count("disregard") / len(texts)
    assert often == pytest.approx(exp(-cost(touch, "disregard")) / 0.95, abs=0.015)


def test_the_follower_agrees_with_the_arcs() -> None:
    machine = automaton(Context.TOUCH)
    follower = Follower(machine)
    assert follower.completeness(["c", "four", "fifty", "two"]) is Completeness.EXTENDABLE
    assert follower.completeness(["c", "fifty"]) is Completeness.NOTHING
