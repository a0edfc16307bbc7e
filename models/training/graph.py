"""The recogniser's graph: which sounds make which word, as the finite-state files that Vosk loads.

    python models/training/graph.py models/keybed-en        (an am/final.mdl is there; under a second)

writes `graph/` of a Vosk model folder from lexicon.tsv:
    HCLr.fst                    transition ids of the acoustic model -> words (H, C and L of the usual HCLG)
    Gr.fst                      a plain word loop; the real grammars are compiled at run time (ears/strict_grammar.py)
    words.txt                   word -> label of HCLr.fst's output side
    disambig_tid.int            input labels of HCLr.fst that stand for no sound
    phones/word_boundary.int    which phones begin and end words

Phones are context independent, so C is the identity; H is one arc per phone plus a self-loop. Words that sound alike,
or that begin other words, end in a disambiguation label so that the lexicon can be determinised. Self-loops are added
last, behind the arc that enters a phone (Kaldi's "reorder"). Vosk composes HCLr with Gr while it decodes and needs
the output side as OpenFst's `olabel_lookahead` type, which relabels the words: words.txt holds the new labels.

Needs OpenFst's command line tools with plug-ins (Debian: libfst-tools libfst22-plugins-base). The recipe follows
the Kaldi documentation of decoding graph creation; 1/2 per frame for staying or leaving, equal on all paths, is left
out.
"""

from __future__ import annotations

import math
import os
import subprocess
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from lexicon import LEXICON, BadLexicon, Lexicon, read_lexicon
from phones import (
    GARBAGE_PRONUNCIATION,
    PHONE_IDS,
    PHONE_NAMES,
    SILENCE,
    TRANSITION_COUNT,
    forward_transition,
    loop_transition,
    with_positions,
    word_boundary_kind,
)

UNKNOWN = "[unk]"
SILENCE_CHANCE = 0.5
"""Of a pause before the first word and after every word."""
AFTER_SILENCE = TRANSITION_COUNT + 1
"""Disambiguation label behind a pause."""
PLUGIN_FOLDER = "/usr/lib/x86_64-linux-gnu/fst/22"
"""Where Debian puts the arc and file types that the tools load when asked for `olabel_lookahead`."""


Sound = tuple[str, tuple[str, ...], float]
"""Word, its position-dependent phones, the cost of saying it so."""


@dataclass(frozen=True, slots=True)
class FstArc:
    source: int
    target: int
    into: int
    """Input label: a transition id, a disambiguation label, 0 = epsilon."""
    out: int
    """Output label: a word, 0 = epsilon."""
    cost: float = 0.0


# ---------------------------------------------------------------- lexicon -> arcs (pure)


def labelled(words: Iterable[str]) -> dict[str, int]:
    """Words -> labels from 1, [unk] last."""
    labels = {word: index for index, word in enumerate(sorted(set(words)), 1)}
    labels[UNKNOWN] = len(labels) + 1
    return labels


def sounds(lexicon: Lexicon) -> list[Sound]:
    """Every pronunciation, [unk] among them."""
    said = [
        (word, with_positions(spoken.phones), -math.log(spoken.weight))
        for word, pronunciations in sorted(lexicon.items())
        for spoken in pronunciations
    ]
    return [*said, (UNKNOWN, with_positions(GARBAGE_PRONUNCIATION), 0.0)]


def disambiguated(said: Sequence[Sound]) -> list[tuple[str, tuple[int, ...], float]]:
    """Phones as forward transitions, and a last label where another word sounds the same or goes on from there."""
    times = Counter(phones for _, phones, _ in said)
    beginnings = {phones[:length] for _, phones, _ in said for length in range(1, len(phones))}
    used: Counter[tuple[str, ...]] = Counter()
    result = []
    for word, phones, cost in said:
        labels = [forward_transition(PHONE_IDS[phone]) for phone in phones]
        if times[phones] > 1 or phones in beginnings:
            used[phones] += 1
            labels.append(AFTER_SILENCE + used[phones])
        result.append((word, tuple(labels), cost))
    return result


def lexicon_arcs(lexicon: Lexicon, word_labels: dict[str, int]) -> list[FstArc]:
    """The lexicon as a loop: state 0 starts, state 1 is between words (final), state 2 begins a pause."""
    start, loop, pause, paused = 0, 1, 2, 3
    to_pause, to_loop = -math.log(SILENCE_CHANCE), -math.log(1 - SILENCE_CHANCE)
    arcs = [
        FstArc(start, loop, 0, 0, to_loop),
        FstArc(start, pause, 0, 0, to_pause),
        FstArc(pause, paused, forward_transition(PHONE_IDS[SILENCE]), 0),
        FstArc(paused, loop, AFTER_SILENCE, 0),
    ]
    states = paused + 1
    for word, labels, cost in disambiguated(sounds(lexicon)):
        source = loop
        for place, label in enumerate(labels):
            out, added = (word_labels[word], cost) if place == 0 else (0, 0.0)
            if place == len(labels) - 1:
                arcs += [FstArc(source, loop, label, out, added + to_loop)]
                arcs += [FstArc(source, pause, label, out, added + to_pause)]
            else:
                arcs.append(FstArc(source, states, label, out, added))
                source, states = states, states + 1
    return arcs


def add_self_loops(arcs: Sequence[FstArc], start: int) -> list[FstArc]:
    """Let every phone last: a state entered by a phone gets that phone's self-loop; a state that several phones enter
    is split into one copy a phone, each with an epsilon to the original."""
    entered: dict[int, set[int]] = defaultdict(set)
    entered[start].add(0)
    for arc in arcs:
        entered[arc.target].add(phone_label(arc.into))
    copies: dict[tuple[int, int], int] = {}
    looped: list[FstArc] = []
    states = 1 + max(max(arc.source, arc.target) for arc in arcs)
    for state, labels in sorted(entered.items()):
        for label in sorted(labels):
            copies[state, label] = state
            if label == 0:
                continue
            if len(labels) > 1:
                copies[state, label] = states
                looped.append(FstArc(states, state, 0, 0))
                states += 1
            own = copies[state, label]
            looped.append(FstArc(own, own, LOOP_OF[label], 0))
    moved = [FstArc(a.source, copies[a.target, phone_label(a.into)], a.into, a.out, a.cost) for a in arcs]
    return moved + looped


LOOP_OF = {forward_transition(phone): loop_transition(phone) for phone in PHONE_IDS.values()}


def phone_label(label: int) -> int:
    """The label itself where it is a sound, else 0."""
    return label if 0 < label <= TRANSITION_COUNT else 0


# ---------------------------------------------------------------- OpenFst's tools (shell)


def run_tools(pipeline: str, folder: Path) -> str:
    """Run a pipeline of OpenFst commands in `folder`; any failing step is an error."""
    environment = dict(os.environ, LD_LIBRARY_PATH=PLUGIN_FOLDER)
    command = ["bash", "-c", f"set -o pipefail; {pipeline}"]
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(
            f"OpenFst's tools failed: {done.stderr.strip()}. Needed (Debian): libfst-tools libfst22-plugins-base"
        )
    return done.stdout


def as_text(arcs: Iterable[FstArc], finals: Iterable[tuple[int, float]], start: int) -> str:
    """OpenFst's text form; the first line's source is the start state."""
    ordered = sorted(arcs, key=lambda arc: arc.source != start)
    lines = [f"{a.source}\t{a.target}\t{a.into}\t{a.out}\t{a.cost:.6g}" for a in ordered]
    return "\n".join([*lines, *(f"{state}\t{cost:.6g}" for state, cost in finals)]) + "\n"


def from_text(text: str) -> tuple[list[FstArc], list[tuple[int, float]], int]:
    """(arcs, finals, start) of fstprint's output."""
    arcs: list[FstArc] = []
    finals: list[tuple[int, float]] = []
    rows = [line.split() for line in text.splitlines()]
    for row in rows:
        if len(row) <= 2:
            finals.append((int(row[0]), float(row[1]) if len(row) > 1 else 0.0))
        else:
            cost = float(row[4]) if len(row) > 4 else 0.0
            arcs.append(FstArc(int(row[0]), int(row[1]), int(row[2]), int(row[3]), cost))
    return arcs, finals, int(rows[0][0])


def compile_lexicon(lexicon: Lexicon, work: Path) -> dict[str, int]:
    """Write work/HCLr.fst; returns word -> its label there."""
    labels = labelled(lexicon)
    (work / "L.txt").write_text(as_text(lexicon_arcs(lexicon, labels), [(1, 0.0)], start=0))
    smallest = run_tools(
        "fstcompile L.txt | fstrmepsilon | fstdeterminize | fstencode --encode_labels - map"
        " | fstminimize | fstencode --decode - map | fstprint",
        work,
    )
    arcs, finals, start = from_text(smallest)
    (work / "HCL.txt").write_text(as_text(add_self_loops(arcs, start), finals, start))
    run_tools(
        "fstcompile HCL.txt | fstarcsort --sort_type=olabel"
        " | fstconvert --fst_type=olabel_lookahead --save_relabel_opairs=relabel > HCLr.fst",
        work,
    )
    relabelled = dict(tuple(map(int, line.split())) for line in (work / "relabel").read_text().splitlines())
    lost = [word for word, label in labels.items() if label not in relabelled]
    if lost:
        raise BadLexicon(f"lost while compiling: {', '.join(lost)}")
    return {word: relabelled[label] for word, label in labels.items()}


def compile_word_loop(words: dict[str, int], work: Path) -> None:
    """Write work/Gr.fst: any words in any order, all alike, no [unk]."""
    cost = math.log(len(words))
    arcs = [FstArc(0, 0, label, label, cost) for word, label in sorted(words.items()) if word != UNKNOWN]
    (work / "G.txt").write_text(as_text(arcs, [(0, 0.0)], start=0))
    run_tools("fstcompile G.txt | fstarcsort --sort_type=ilabel | fstconvert --fst_type=const > Gr.fst", work)


def build_graph(lexicon: Lexicon, model_folder: Path) -> dict[str, int]:
    """Write model_folder/graph for this lexicon; returns word -> label. Raises BadLexicon, RuntimeError."""
    graph = model_folder / "graph"
    (graph / "phones").mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        words = compile_lexicon(lexicon, work)
        compile_word_loop(words, work)
        for name in ("HCLr.fst", "Gr.fst"):
            (graph / name).write_bytes((work / name).read_bytes())
    by_label = sorted(words.items(), key=lambda item: item[1])
    (graph / "words.txt").write_text("".join(f"{word} {label}\n" for word, label in [("<eps>", 0), *by_label]))
    last = {labels[-1] for _, labels, _ in disambiguated(sounds(lexicon))}
    silent = [AFTER_SILENCE, *sorted(label for label in last if not phone_label(label))]
    (graph / "disambig_tid.int").write_text("".join(f"{label}\n" for label in silent))
    boundaries = "".join(f"{PHONE_IDS[name]} {word_boundary_kind(name)}\n" for name in PHONE_NAMES)
    (graph / "phones" / "word_boundary.int").write_text(boundaries)
    return words


def main(arguments: Sequence[str]) -> int:
    if len(arguments) != 1:
        print("usage: graph.py MODEL_FOLDER", file=sys.stderr)
        return 2
    try:
        words = build_graph(read_lexicon(LEXICON), Path(arguments[0]))
    except (BadLexicon, RuntimeError, OSError) as problem:
        print(problem, file=sys.stderr)
        return 1
    print(f"{arguments[0]}/graph: {len(words)} words")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
