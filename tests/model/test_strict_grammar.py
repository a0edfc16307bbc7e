"""Grammars for the recogniser: the sentences and costs that went in come out, as OpenFst itself reads them."""

import math
import shutil
import subprocess
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.ears.strict_grammar import (
    UNKNOWN_COSTS,
    read_words,
    with_other_talk,
    without_epsilons,
    write_strict_graph,
)
from handsfree.errors import NoModel
from handsfree.nouns import OTHER_TALK, Arc, Automaton, Context
from handsfree.words.grammar import automaton as grammar_of

WORDS = {"<eps>": 0, "b": 3, "c": 5, "four": 7, "five": 2, OTHER_TALK: 9}
SPOKEN = ("b", "c", "four", "five")


def sentences(automaton: Automaton, most: int = 4) -> dict[tuple[str, ...], float]:
    """Every sentence of up to `most` words with its least cost, by plain recursion."""
    found: dict[tuple[str, ...], float] = {}

    def walk(state: int, said: tuple[str, ...], cost: float, silent: int) -> None:
        if state in automaton.finals:
            total = cost + automaton.finals[state]
            found[said] = min(total, found.get(said, math.inf))
        for arc in automaton.arcs:
            if arc.source == state and len(said) + bool(arc.word) <= most and (arc.word or silent < 9):
                new = (*said, arc.word) if arc.word else said
                walk(arc.target, new, cost + arc.cost, 0 if arc.word else silent + 1)

    walk(automaton.start, (), 0.0, 0)
    return found


@st.composite
def automata(draw: st.DrawFn) -> Automaton:
    """Small, acyclic, with epsilons, dead ends and several ways to say the same."""
    states = draw(st.integers(2, 5))
    some_arcs = st.lists(
        st.tuples(st.integers(0, states - 2), st.integers(1, 3), st.sampled_from(("", *SPOKEN)), st.integers(0, 40)),
        min_size=1,
        max_size=9,
    )
    arcs = tuple(
        Arc(source, min(states - 1, source + ahead), word, cost / 8)
        for source, ahead, word, cost in draw(some_arcs)
    )
    return Automaton(0, arcs, {states - 1: draw(st.integers(0, 8)) / 8})


@given(automata())
def test_removing_epsilons_keeps_every_sentence_and_its_cost(automaton: Automaton) -> None:
    assert sentences(without_epsilons(automaton)) == pytest.approx(sentences(automaton))
    assert all(arc.word for arc in without_epsilons(automaton).arcs)


@given(automata())
def test_silence_is_always_accepted_and_other_talk_is_a_sentence_of_its_own(automaton: Automaton) -> None:
    found = sentences(with_other_talk(automaton, UNKNOWN_COSTS), most=4)
    assert () in found
    assert found[(OTHER_TALK,) * 4] == pytest.approx(sum(UNKNOWN_COSTS))
    kept = {said: cost for said, cost in found.items() if OTHER_TALK not in said and said}
    assert kept == pytest.approx({said: cost for said, cost in sentences(automaton, 4).items() if said})
    assert not [said for said in found if OTHER_TALK in said and set(said) != {OTHER_TALK}]


def openfst(pipeline: str, folder: Path) -> str:
    if not shutil.which("fstequivalent"):
        pytest.skip("needs OpenFst's command line tools (Debian: libfst-tools)")
    done = subprocess.run(["bash", "-o", "pipefail", "-c", pipeline], cwd=folder, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr or "not equivalent"
    return done.stdout


def text_form(automaton: Automaton) -> str:
    arcs = sorted(automaton.arcs, key=lambda arc: arc.source != automaton.start)
    lines = [f"{a.source} {a.target} {WORDS.get(a.word, 0)} {a.cost}" for a in arcs]
    return "\n".join([*lines, *(f"{state} {cost}" for state, cost in automaton.finals.items())]) + "\n"


READING = Automaton(
    0,
    (
        Arc(0, 1, "b", 0.7), Arc(0, 1, "c", 0.7), Arc(0, 1, "", 2.0), Arc(1, 2, "four", 0.5), Arc(1, 2, "five", 1.0),
        Arc(2, 3, "four", 0.25), Arc(2, 3, "", 4.0), Arc(3, 4, "five", 1.5),
    ),
    {2: 0.5, 4: 0.0},
)  # fmt: skip


def test_openfst_reads_the_same_weighted_language_from_our_file(tmp_path: Path) -> None:
    """Checked against OpenFst's own compiler, epsilon removal, determinisation and equivalence test."""
    write_strict_graph(READING, WORDS, tmp_path / "ours.fst")
    (tmp_path / "theirs.txt").write_text(text_form(with_other_talk(READING, UNKNOWN_COSTS)))
    small = "fstrmepsilon | fstdeterminize | fstminimize"
    openfst(f"fstcompile --acceptor theirs.txt | {small} > theirs.fst", tmp_path)
    openfst(f"cat ours.fst | {small} > small.fst", tmp_path)
    openfst("fstequivalent small.fst theirs.fst", tmp_path)


def test_openfst_finds_every_promise_of_the_header_kept(tmp_path: Path) -> None:
    """`fstinfo` computes the properties itself; the touch grammar has about 250 states and 5,000 arcs."""
    write_strict_graph(grammar_of(Context.TOUCH), read_words(model_words()), tmp_path / "touch.fst")
    info = openfst("fstinfo --test_properties=true touch.fst", tmp_path)
    told = {line[:50].strip(): line[50:].strip() for line in info.splitlines()}
    for promise in ("acceptor", "input label sorted", "output label sorted"):
        assert told[promise] == "y"
    assert told["input/output epsilons"] == "n"
    assert told["# of states"] == told["# of connected states"]


def model_words() -> Path:
    return Path(__file__).parents[2] / "models" / "keybed-en" / "graph" / "words.txt"


def test_a_word_the_model_does_not_know_is_named(tmp_path: Path) -> None:
    wanted = Automaton(0, (Arc(0, 1, "wibble", 0.0), Arc(0, 1, "b", 0.0)), {1: 0.0})
    with pytest.raises(NoModel, match="does not know the word 'wibble'"):
        write_strict_graph(wanted, WORDS, tmp_path / "Gr.fst")
    assert not (tmp_path / "Gr.fst").exists()


def test_a_word_list_that_is_none_is_named(tmp_path: Path) -> None:
    (tmp_path / "words.txt").write_text("four 1 2\n")
    with pytest.raises(NoModel, match=r"words\.txt"):
        read_words(tmp_path / "words.txt")


@pytest.mark.parametrize("context", list(Context))
def test_the_shipped_model_knows_every_word_that_can_be_said(context: Context, tmp_path: Path) -> None:
    try:
        automaton = grammar_of(context)
    except ValueError:
        pytest.skip(f"no sentences for {context} yet")
    write_strict_graph(automaton, read_words(model_words()), tmp_path / "Gr.fst")
