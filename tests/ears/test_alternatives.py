"""Scored guesses to shares: arithmetic of probabilities, whatever the scale."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.ears.alternatives import SILENCE, RawAlternative, as_alternatives, without_begun
from handsfree.nouns import Alternative, Word


def raw(text: str, score: float) -> RawAlternative:
    words = tuple(Word(w, i * 0.3, i * 0.3 + 0.3, 0.0) for i, w in enumerate(text.split()))
    return RawAlternative(text, score, words)


def test_nothing_found_is_silence() -> None:
    assert as_alternatives([]) == SILENCE
    assert SILENCE[0].share == 1.0


def test_equal_texts_become_one() -> None:
    found = as_alternatives([raw("b two", 10.0), raw("d two", 9.5), raw("b two", 9.0)])
    assert [one.text for one in found] == ["b two", "d two"]


def test_a_word_is_as_sure_as_all_that_have_it() -> None:
    b, d = as_alternatives([raw("b two", 10.0), raw("d two", 10.0)])
    assert (b.share, d.share) == (pytest.approx(0.5), pytest.approx(0.5))
    assert [word.sureness for word in b.words] == [pytest.approx(0.5), pytest.approx(1.0)]


texts = st.sampled_from(["b two", "d two", "e two", "", "fifty two"])


@given(st.lists(st.tuples(texts, st.floats(-1e4, 1e4)), min_size=1, max_size=8))
def test_shares_are_probabilities_best_first(found: list[tuple[str, float]]) -> None:
    alternatives = as_alternatives(raw(*one) for one in found)
    shares = [one.share for one in alternatives]
    assert sum(shares) == pytest.approx(1.0)
    assert shares == sorted(shares, reverse=True)
    assert len({one.text for one in alternatives}) == len(alternatives)
    assert alternatives[0].text in {text for text, score in found if score >= max(s for _, s in found) - 1e-9}
    assert all(0 <= word.sureness <= 1 for one in alternatives for word in one.words)


def alternative(text: str, share: float) -> Alternative:
    words = tuple(Word(w, i * 0.3, i * 0.3 + 0.3, 1.0) for i, w in enumerate(text.split()))
    return Alternative(text, share, words)


def test_a_word_that_begins_in_the_closing_silence_is_the_next_utterance_s() -> None:
    heard = (alternative("a six one", 0.6), alternative("a six", 0.3), alternative("b six one", 0.1))
    cut = without_begun(heard, 0.5)
    assert [(one.text, round(one.share, 6)) for one in cut] == [("a six", 0.9), ("b six", 0.1)]
    assert [w.text for w in cut[0].words] == ["a", "six"]
    assert without_begun(heard, 0.6) == heard


def test_what_is_cut_to_nothing_is_silence() -> None:
    assert [one.text for one in without_begun((alternative("one", 1.0),), -0.1)] == [""]


def test_what_is_seldom_said_must_have_been_heard_the_better() -> None:
    """Beside a second ear, which knows no grammar, the chance of a sentence counts in full."""
    heard = [raw("six d seven", 10.0), raw("six seven", 9.0)]
    chances = {"six d seven": -14.0, "six seven": -4.0}
    second = [0.0, 0.0]
    assert as_alternatives(heard, lambda texts: second)[0].text == "six d seven"
    assert as_alternatives(heard, lambda texts: second, chances.__getitem__)[0].text == "six seven"
    alone = as_alternatives(heard, None, chances.__getitem__)
    assert alone == as_alternatives(heard), "the recogniser's own score holds the chances already"
