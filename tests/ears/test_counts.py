"""People's counts through the whole tool, spliced from their digits (see counted_speech.py); each takes seconds, so
these are few. The full table is printed by measure_counts.py, which is not pass or fail."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from random import Random

import pytest
from count_tables import upper
from count_takes import Take, Trouble, take
from counted_speech import here, people
from measure_counts import Outcomes, hear

from handsfree.hearing import Hearing, hearing
from handsfree.settings import Settings


@pytest.fixture(scope="module")
def ears() -> Iterator[Hearing]:
    if not here():
        pytest.skip("needs the human speech in ../shared/speech, which is not on this machine")
    with hearing(Settings()) as opened:
        yield opened


def some(ears: Hearing, trouble: Trouble, each: int, split: str = "test") -> list[tuple[Take, Outcomes]]:
    """Of speakers that nothing here was tuned on; "dev": of those it was."""
    rng = Random(20)
    who = list(people(split))
    takes = [take(who[i % len(who)], split, trouble, rng) for i in range(each)]
    return [(taken, hear(ears, taken, rng)) for taken in takes]


def test_the_bound_of_a_claim() -> None:
    """Clopper and Pearson, one-sided 95 % (CHECKS 6.6): none wrong of 300."""
    assert upper(0, 300) == pytest.approx(0.009936, abs=1e-6)


def told(found: list[tuple[Take, Outcomes]]) -> str:
    return "\n".join(
        f"{made.verdict}: {taken.speaker} {taken.note} {taken.total}: {[h.text for h in made.heard]} {made.why}"
        for taken, made in found
    )


def test_clean_counts_are_taken_at_once(ears: Hearing) -> None:
    """What no note was said with is mostly taken without a question, and never silently wrong."""
    found = some(ears, Trouble.NONE, 18)
    verdicts = Counter(made.verdict for _, made in found)
    bare = [made.verdict for taken, made in found if not taken.note]
    assert verdicts["wrong"] == 0, told(found)
    assert bare.count("right") >= 0.75 * len(bare), told(found)


def test_each_number_shows_soon_after_its_word(ears: Hearing) -> None:
    """150 ms after the word's end is what is wanted; the middle of all numbers is within it."""
    shown = sorted(s for _, made in some(ears, Trouble.NONE, 9) for s in made.shown)
    assert len(shown) > 20
    assert shown[len(shown) // 2] <= 0.15


@pytest.mark.parametrize("trouble", [Trouble.DROPPED, Trouble.KNOCK])
def test_a_count_with_a_hole_is_filled_or_asked_about(ears: Hearing, trouble: Trouble) -> None:
    found = some(ears, trouble, 10)
    verdicts = Counter(made.verdict for _, made in found)
    assert verdicts["wrong"] == 0, told(found)
    assert verdicts["right"] >= 4, told(found)


def test_a_knock_after_the_last_number_is_none(ears: Hearing) -> None:
    found = some(ears, Trouble.KNOCK_AFTER, 10, "dev")
    verdicts = Counter(made.verdict for _, made in found)
    assert verdicts["wrong"] == 0, told(found)
    assert verdicts["right"] >= 7, told(found)


def test_the_next_note_closes_a_count(ears: Hearing) -> None:
    found = [(taken, made) for taken, made in some(ears, Trouble.NEXT_NOTE, 10, "dev") if taken.then]
    verdicts = Counter(made.verdict for _, made in found)
    assert verdicts["wrong"] == 0, told(found)
    assert verdicts["right"] >= 0.6 * len(found), told(found)
    there = sum(made.went == "there" for _, made in found)
    assert there >= 0.4 * len(found), told(found)


@pytest.mark.parametrize("trouble", [Trouble.DOUBLED, Trouble.SKIPPED])
def test_two_possible_totals_are_never_taken_in_silence(ears: Hearing, trouble: Trouble) -> None:
    found = some(ears, trouble, 10)
    assert not [made for _, made in found if made.verdict == "right"]
    assert Counter(made.verdict for _, made in found)["wrong"] <= 1, told(found)
