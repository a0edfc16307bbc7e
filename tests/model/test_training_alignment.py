"""Forced alignment: the path against all paths written down, edges against sounds made to measure, and real clips."""

import itertools
import sys
from pathlib import Path

import pytest

torch = pytest.importorskip("torch", reason="needs torch (extra [train])")
np = pytest.importorskip("numpy")
REPOSITORY = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(REPOSITORY / "models" / "training"))

import alignment  # noqa: E402
import corpora  # noqa: E402
import hmm  # noqa: E402
from corpora import SpokenWord  # noqa: E402
from phones import PDF_COUNT  # noqa: E402

SPEECH = REPOSITORY.parent / "shared" / "speech"
SAID = {"A": [("EY",)], "B": [("B", "IY")], "zero": [("Z", "IH", "R", "OW"), ("Z", "OW")]}


def every_path(one, frames):
    """(arcs, score without outputs) of each way through the HMM, by trying all sequences of arcs."""
    arcs = range(len(one.initial))
    for path in itertools.product(arcs, repeat=frames):
        weight = one.initial[path[0]] * one.final[path[-1]]
        for before, here in itertools.pairwise(path):
            if before != here:
                into = zip(one.sources[here], one.source_weights[here], strict=True)
                weight *= sum(w for source, w in into if source == before)
        if weight > 0:
            yield path, float(np.log(weight))


@pytest.mark.parametrize("seed", range(4))
def test_the_best_path_is_the_best_of_all_paths(seed):
    one, _ = hmm.labelled_utterance_hmm(hmm.as_slots(["A", "B"]), SAID)
    outputs = np.random.default_rng(seed).normal(0, 2, (5, PDF_COUNT)).astype(np.float32)

    def score(path, weight):
        enters = [t == 0 or path[t - 1] != path[t] for t in range(5)]
        pdfs = [(one.forward_pdfs if enter else one.loop_pdfs)[arc] for arc, enter in zip(path, enters, strict=True)]
        return weight + float(sum(outputs[t, pdf] for t, pdf in enumerate(pdfs)))

    best = max(every_path(one, 5), key=lambda item: score(*item))[0]
    assert tuple(alignment.best_path(outputs, one)) == best


def test_a_transcript_that_is_too_long_has_no_path():
    one, _ = hmm.labelled_utterance_hmm(hmm.as_slots(["B", "B", "B"]), SAID)
    assert alignment.best_path(np.zeros((4, PDF_COUNT), np.float32), one) is None


def test_labels_name_the_word_of_every_arc_and_tell_repetitions_apart():
    _, labels = hmm.labelled_utterance_hmm(hmm.as_slots(["A", "A", "zero"]), SAID)
    assert [word for _, word in labels] == ["A", "A", *["zero"] * 6, "", "", "", ""]
    assert labels[0][0] != labels[1][0]
    assert len({number for number, word in labels if word == "zero"}) == 2  # said in two ways


def test_placed_words_know_their_pauses():
    labels = [(0, "A"), (1, "A"), (-1, "")]
    words = alignment.placed_words(np.array([2, 0, 0, 1, 2, 2]), labels)
    assert words == [alignment.Placed("A", 1, 3, True, False), alignment.Placed("A", 3, 4, False, True)]


def test_edges_move_to_where_the_sound_is():
    rng = np.random.default_rng(1)
    sound = rng.normal(0, 5, 16000)
    sound[4000:8000] += rng.normal(0, 3000, 4000)  # 0.25 to 0.5 s
    [word] = alignment.with_edges([alignment.Placed("A", 10, 14, True, True)], sound.astype(np.int16))
    assert abs(word.start - 0.25) < 0.02
    assert abs(word.end - 0.5) < 0.02


def test_two_words_part_at_the_weakest_moment():
    rng = np.random.default_rng(2)
    sound = rng.normal(0, 5, 16000)
    sound[4000:12000] += rng.normal(0, 3000, 8000)
    sound[7800:8100] *= 0.05  # about 0.497 s
    words = [alignment.Placed("A", 8, 17, True, False), alignment.Placed("B", 17, 24, False, True)]
    first, second = alignment.with_edges(words, sound.astype(np.int16))
    assert first.end == second.start
    assert abs(first.end - 0.497) < 0.012


def test_doubt_names_its_reason():
    rough = SpokenWord("A", 1.0, 1.4)
    assert alignment.doubt(rough, SpokenWord("A", 1.1, 1.45)) == ""
    assert alignment.doubt(rough, SpokenWord("A", 1.35, 1.7)) == "apart"
    assert alignment.doubt(SpokenWord("E", 2.18, 2.23)) == "short"


def test_rough_times_stay_unless_their_words_are_wrong():
    ours = [SpokenWord("A", 0.1, 0.4), SpokenWord("B", 0.4, 0.8)]
    rough = [SpokenWord("A", 0.12, 0.42), SpokenWord("B", 0.42, 0.8)]
    assert [word for word, _ in alignment.chosen(ours, rough)] == rough
    assert [word for word, _ in alignment.chosen(ours, rough[:1])] == ours


def test_the_written_table_fits_the_corpora():
    if not SPEECH.is_dir():
        pytest.skip("needs the human speech in ../shared/speech")
    clips = [clip for clip in corpora.read_all(SPEECH) if clip.corpus in ("an4", "spelled")]
    words = 0
    for clip in clips:
        ways = {word for slot in clip.slots for said in slot for word in said}
        assert {spoken.word for spoken in clip.spoken} <= ways
        assert all(spoken.end - spoken.start >= alignment.SHORT - 1e-9 for spoken in clip.spoken)
        starts = [spoken.start for spoken in clip.spoken]
        assert starts == sorted(starts)
        words += len(clip.spoken)
    assert words > 6000
