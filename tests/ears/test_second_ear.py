"""The second ear: which of the alternatives was said; where it has no opinion; broken files."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import numpy as np
import pytest
from spliced_speech import random_reading, skip_without_speech, speakers, spoken

from handsfree.ears.alternatives import RawAlternative, as_alternatives
from handsfree.ears.blocks import RATE
from handsfree.ears.model_folder import SECOND_EAR, find_model, find_second_ear, read_manifest, verify
from handsfree.ears.second_ear import LEXICON, LONGEST, WEIGHTS, SecondEar
from handsfree.ears.strict_grammar import read_words
from handsfree.errors import NoModel

OTHER_LETTERS = "abcdefg"


@pytest.fixture(scope="module")
def ear() -> SecondEar:
    return SecondEar(find_second_ear())


def test_people_s_readings_are_told_from_those_with_another_letter(ear: SecondEar) -> None:
    """AN4 people; training heard most of them: this shows that the path works, not how well strangers are heard."""
    skip_without_speech()
    rng = random.Random(8)
    right = 0
    readings = [(speaker, random_reading(speaker, rng)) for speaker in speakers()[::4]]
    for speaker, text in readings:
        pcm = spoken(speaker, text, rng).astype("<i2").tobytes()
        letter, rest = text.split(" ", 1)
        texts = [text, *(f"{other} {rest}" for other in OTHER_LETTERS if other != letter)]
        scores = ear.scores(pcm, texts)
        assert scores is not None
        right += scores.index(max(scores)) == 0
    assert right >= 0.9 * len(readings), (right, len(readings))


def test_it_knows_every_word_of_the_recogniser(ear: SecondEar) -> None:
    words = read_words(find_model() / "graph" / "words.txt").keys() - {"<eps>"}
    sound = np.random.default_rng(0).integers(-99, 99, RATE).astype("<i2").tobytes()
    assert [word for word in words if ear.scores(sound, [word]) is None] == []


@pytest.mark.parametrize(
    ("seconds", "texts"),
    [(1.0, []), (1.0, ["c four", "not-a-word"]), (0.05, ["c four"]), (LONGEST + 0.1, ["c four"])],
    ids=["nothing to score", "a word it does not know", "too short", "too long"],
)
def test_it_may_have_no_opinion(ear: SecondEar, seconds: float, texts: list[str]) -> None:
    assert ear.scores(bytes(2 * int(seconds * RATE)), texts) is None


def test_digital_silence_is_no_trouble(ear: SecondEar) -> None:
    scores = ear.scores(bytes(2 * RATE), ["", "c four"])
    assert scores is not None
    assert np.isfinite(scores).all()


def test_without_an_opinion_the_first_ear_stands_alone() -> None:
    found = [RawAlternative("b two", 10.0, ()), RawAlternative("d two", 9.0, ())]
    assert as_alternatives(found, lambda texts: None) == as_alternatives(found)


def test_both_ears_are_weighed_together() -> None:
    found = [RawAlternative("b two", 10.0, ()), RawAlternative("d two", 9.0, ())]
    best = as_alternatives(found, lambda texts: [0.0 if text == "b two" else 8.0 for text in texts])[0]
    assert best.text == "d two"
    assert best.share > 0.9


def test_the_folder_is_whole() -> None:
    manifest = verify(find_second_ear())
    assert set(manifest.files) == {WEIGHTS, LEXICON}


@pytest.mark.parametrize("name", [WEIGHTS, LEXICON])
def test_an_altered_file_is_named(tmp_path: Path, name: str) -> None:
    folder = shutil.copytree(find_second_ear(), tmp_path / "ear")
    with (folder / name).open("ab") as file:
        file.write(b"x")
    with pytest.raises(NoModel, match=name):
        verify(folder)


@pytest.mark.parametrize("broken", [b"", b"no archive"], ids=["empty", "something else"])
def test_weights_that_are_none_are_an_error(tmp_path: Path, broken: bytes) -> None:
    folder = shutil.copytree(find_second_ear(), tmp_path / "ear")
    (folder / WEIGHTS).write_bytes(broken)
    with pytest.raises(NoModel, match="cannot be read"):
        SecondEar(folder)


def test_a_missing_one_says_what_to_do(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    assert read_manifest(find_second_ear()).name == "second-ear"
    monkeypatch.setattr("handsfree.ears.model_folder.SECOND_EAR", tuple(tmp_path / p.name for p in SECOND_EAR))
    with pytest.raises(NoModel, match="second ear") as error:
        find_second_ear()
    assert "Install" in error.value.do
