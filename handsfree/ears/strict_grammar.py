"""A context's word automaton as the grammar file that the recogniser decodes with, made at run time in milliseconds.

Strict: only sentences of the grammar can come out (or nothing at all, or other talk as "[unk]"); Vosk's own word
lists become a bigram that puts words in any order. Costs stay as they are, so expectation enters the search itself.

Epsilons are removed and arcs sorted, which is all that the decoder needs. It is not determinised: sentences that can
be split in two ways ("fifty two") would multiply 250 states to 24,000 and take a second, and the decoder's lattice is
determinised on words anyway. The file is written here rather than by an OpenFst package: Vosk carries OpenFst inside,
and a second copy in the same process (kaldifst 1.8) made loading a model hang and the exit crash.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Iterable, Mapping
from pathlib import Path

from handsfree.errors import NoModel
from handsfree.nouns import OTHER_TALK, Arc, Automaton

UNKNOWN_COSTS = (3.0, 3.0, -8.0, 1.5)
"""Cost of the first, second ... [unk] of an utterance; the last holds for all further ones.

Talk is long, a lone "yes" or "affirm" is short: only what lasts three garbage words is favoured, so that short
sentences are not lost. Chosen with readings of development speakers, lone words of training speakers and synthetic
voices, and talk of the training part: false readings an hour fell from 321 (no [unk]) to 0 with nothing lost, where a
bonus on the first word had lost 16 of 40 lone words. At a last cost of 0 lattices of long talk grow out of hand."""
WALK_UNKNOWN_COSTS = (3.0, 3.0, -6.0, 1.5)
"""The same in the walkthrough, whose language is so large that each of its sentences is dearer: "good" and "dusty
three" lost to [unk] with the other one (5.7 % of 1,000 sentences by synthetic development voices were not taken, with
this one 3.6 %). Of 12.5 minutes of development talk no finding came of either."""
EMPTY_COST = 3.0
"""-ln of the chance of silence, where the automaton does not say."""

MAGIC = 2125659606
"""First number of every OpenFst file."""
FILE_VERSION = 2
EXPANDED, MUTABLE, ACCEPTOR = 1 << 0, 1 << 1, 1 << 16
NO_EPSILONS = 1 << 23 | 1 << 25 | 1 << 27
SORTED = 1 << 28 | 1 << 30
"""Property bits of OpenFst (fst/properties.h): what the file promises, so that nobody has to test it."""


def write_strict_graph(
    automaton: Automaton,
    words: Mapping[str, int],
    path: Path,
    *,
    unknown_costs: tuple[float, ...] | None = UNKNOWN_COSTS,
) -> None:
    """Write Gr.fst for `automaton`, with the labels of the model's words.txt.

    The empty utterance is always accepted. Beside the automaton, one or more [unk] are an utterance of their own, at
    `unknown_costs` (None: no such path). NoModel when the model does not know a word; OSError when it cannot write.
    """
    wanted = without_epsilons(with_other_talk(automaton, unknown_costs))
    missing = sorted({arc.word for arc in wanted.arcs if arc.word not in words})
    if missing:
        raise NoModel(
            f"the model does not know the word{'s' if missing[1:] else ''} {', '.join(map(repr, missing))}",
            do="Use the model that came with handsfree, or rebuild this model's graph with models/training/graph.py.",
        )
    path.write_bytes(as_openfst(wanted, words))


def with_other_talk(automaton: Automaton, unknown_costs: tuple[float, ...] | None) -> Automaton:
    """The same sentences, the empty one, and runs of [unk], from a start state of its own."""
    states = [automaton.start, *automaton.finals, *(max(arc.source, arc.target) for arc in automaton.arcs)]
    start = max(states) + 1
    arcs = [*automaton.arcs, Arc(start, automaton.start, "", 0.0)]
    finals = dict(automaton.finals)
    if not accepts_nothing(automaton):
        finals[start] = EMPTY_COST
    if unknown_costs is not None:
        *ahead, again = unknown_costs
        for number, cost in enumerate(ahead):
            arcs.append(Arc(start + number, start + number + 1, OTHER_TALK, cost))
            finals[start + number + 1] = 0.0
        last = start + len(ahead)
        arcs.append(Arc(last, last, OTHER_TALK, again))
        finals[start] = sum(ahead)  # silence is no more of a sentence than talk is
    return Automaton(start, tuple(arcs), finals)


def accepts_nothing(automaton: Automaton) -> bool:
    """Whether the empty utterance is a sentence already."""
    reached = silently_reached(automaton.start, _by_source(automaton.arcs))
    return any(state in automaton.finals for state in reached)


def without_epsilons(automaton: Automaton) -> Automaton:
    """The same sentences at the same costs, every arc with a word; states numbered from the start, the unreachable
    left out. Among arcs that say the same word to the same end, the cheapest stays."""
    outs = _by_source(automaton.arcs)
    numbers = {automaton.start: 0}
    waiting = [automaton.start]
    arcs: list[Arc] = []
    finals: dict[int, float] = {}
    while waiting:
        state = waiting.pop()
        reached = silently_reached(state, outs)
        if ends := [automaton.finals[end] + cost for end, cost in reached.items() if end in automaton.finals]:
            finals[numbers[state]] = min(ends)
        cheapest: dict[tuple[str, int], float] = {}
        for source, cost in reached.items():
            for arc in outs.get(source, ()):
                if arc.word:
                    said = (arc.word, arc.target)
                    cheapest[said] = min(cost + arc.cost, cheapest.get(said, math.inf))
        for (word, target), cost in cheapest.items():
            if target not in numbers:
                numbers[target] = len(numbers)
                waiting.append(target)
            arcs.append(Arc(numbers[state], numbers[target], word, cost))
    return Automaton(0, tuple(arcs), finals)


def silently_reached(state: int, outs: Mapping[int, list[Arc]]) -> dict[int, float]:
    """States reached from `state` without a word, itself among them -> the least cost of getting there."""
    costs = {state: 0.0}
    waiting = [state]
    while waiting:
        here = waiting.pop()
        for arc in outs.get(here, ()):
            if not arc.word and costs[here] + arc.cost < costs.get(arc.target, math.inf):
                costs[arc.target] = costs[here] + arc.cost
                waiting.append(arc.target)
    return costs


def as_openfst(automaton: Automaton, words: Mapping[str, int]) -> bytes:
    """OpenFst's binary form of an epsilon-free acceptor (type "vector", arcs "standard"), arcs sorted by label.

    Layout: openfst.org, fst/vector-fst.h and fst/fst.cc (FstHeader), little-endian; checked against OpenFst's tools
    in tests/model/test_strict_grammar.py.
    """
    outs = _by_source(automaton.arcs)
    states = 1 + max([automaton.start, *automaton.finals, *(max(arc.source, arc.target) for arc in automaton.arcs)])
    properties = EXPANDED | MUTABLE | ACCEPTOR | NO_EPSILONS | SORTED
    parts = [
        struct.pack("<i", MAGIC),
        _text("vector"),
        _text("standard"),
        struct.pack("<iiQqqq", FILE_VERSION, 0, properties, automaton.start, states, len(automaton.arcs)),
    ]
    for state in range(states):
        arcs = sorted((words[arc.word], arc.target, arc.cost) for arc in outs.get(state, ()))
        parts.append(struct.pack("<fq", automaton.finals.get(state, math.inf), len(arcs)))
        parts += [struct.pack("<iifi", label, label, cost, target) for label, target, cost in arcs]
    return b"".join(parts)


def _text(text: str) -> bytes:
    return struct.pack("<i", len(text)) + text.encode("ascii")


def _by_source(arcs: Iterable[Arc]) -> dict[int, list[Arc]]:
    outs: dict[int, list[Arc]] = {}
    for arc in arcs:
        outs.setdefault(arc.source, []).append(arc)
    return outs


def read_words(path: Path) -> dict[str, int]:
    """words.txt of a model folder: word -> label. NoModel when it is missing or is no such table."""
    try:
        rows = [line.split() for line in path.read_text(encoding="utf-8").splitlines()]
        return {word: int(label) for word, label in rows}
    except (OSError, ValueError) as error:
        raise NoModel(f"cannot read the model's word list {path} ({error})", do="Install handsfree again.") from error
