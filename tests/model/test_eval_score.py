"""Counting errors: small cases worked out by hand (computed here), and a reference implementation where installed."""

import random
import sys
from pathlib import Path

import pytest

pytest.importorskip("numpy")
sys.path.insert(0, str(Path(__file__).parents[2] / "models" / "training"))

import verify_prompts
from eval_score import aligned, calibration, distance, errors
from eval_sets import DIGITS


@pytest.mark.parametrize(
    ("said", "heard", "wrong"),
    [
        ("c four fifty two", "c four fifty two", 0),
        ("c four fifty two", "c four forty two", 1),
        ("c four fifty two", "four fifty two", 1),
        ("c four", "c sharp four and", 2),
        ("", "c four", 2),
        ("b four", "", 2),
    ],
)
def test_least_number_of_changes(said: str, heard: str, wrong: int) -> None:
    assert distance(said.split(), heard.split()) == wrong
    assert errors([[[word]] for word in said.split()], heard.split()) == (wrong, len(said.split()))
    assert sum(one != other for one, other in aligned(said.split(), heard.split())) == wrong


def test_any_wording_that_is_right_counts_as_right() -> None:
    """"oh" for zero, "double five" for five five; the words said are those of the wording that fits."""
    slots = [[["zero"], ["oh"]], [["five", "five"], ["double", "five"]], [["nine"]]]
    assert errors(slots, "oh double five nine".split()) == (0, 4)
    assert errors(slots, "zero five five nine".split()) == (0, 4)
    assert errors(slots, "zero five nine".split()) == (1, 4)


def test_slots_with_one_wording_are_plain_word_errors() -> None:
    rng = random.Random(5)
    for _ in range(200):
        said, heard = (rng.choices(DIGITS[:4], k=rng.randrange(1, 7)) for _ in range(2))
        assert errors([[[word]] for word in said], heard)[0] == distance(said, heard)


def test_calibration_of_an_honest_and_of_a_boastful_listener() -> None:
    honest = [(0.75, True)] * 3 + [(0.75, False)]
    assert calibration(honest)[0] == pytest.approx(0.0)
    assert calibration([(0.95, False)] * 4)[0] == pytest.approx(0.95)


def test_a_prompt_that_was_not_said_is_suspicious_and_other_wordings_are_not():
    assert verify_prompts.difference(["zero", "L", "L"], ["oh", "double", "l"]) == 0
    assert verify_prompts.difference(["A", "L", "I", "N", "A"], ["john", "rohi"]) >= verify_prompts.SUSPICIOUS
