"""The beat of a count under way, and the silence that ends it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.ears.beat import BEGIN_AGAIN, FASTEST, PERIODS, SLOWEST, Beat, patience, period, seen
from handsfree.ears.endpoint import Ending, Moment, Phase, Timing, fresh, step
from handsfree.nouns import Completeness
from handsfree.reckoning.hammer_period import longest_count, shortest_count

LOUD, SILENT = -25.0, -70.0


def counting(beat: float, count: int) -> Beat:
    state = Beat()
    for number in range(1, count + 1):
        state = seen(state, number * beat, number)
    return state


def test_the_limits_are_those_of_hammers() -> None:
    assert pytest.approx(shortest_count(), abs=0.005) == FASTEST
    assert pytest.approx(longest_count(), abs=0.005) == SLOWEST


@given(st.floats(FASTEST, SLOWEST), st.integers(2, 20))
def test_the_beat_is_found(beat: float, count: int) -> None:
    assert period(counting(beat, count)) == pytest.approx(beat)


@given(st.floats(FASTEST, SLOWEST), st.integers(2, 20))
def test_a_count_ends_after_the_silence_that_fits(beat: float, count: int) -> None:
    """1.3 beats at least; a number missed (a word lasts 0.2 s or more) does not end it; never three beats."""
    wait = patience(counting(beat, count))
    assert wait >= PERIODS * beat
    assert wait >= 2 * beat - 0.2
    if count > 4 and beat > 0.4:
        assert wait < 2.3 * beat


def test_a_number_taken_back_was_never_seen() -> None:
    state = seen(seen(seen(Beat(), 0.5, 1), 1.0, 3), 1.2, 2)
    assert state.marks == ((0.5, 1), (1.2, 2))


def test_texts_that_come_together_do_not_hurry() -> None:
    state = seen(seen(Beat(), 0.5, 1), 2.5, 5)
    assert period(state) == pytest.approx(0.5)


def test_again_forgets_the_beat_and_waits_for_the_hammer() -> None:
    state = seen(counting(0.5, 4), 3.0, 0)
    assert patience(state) == BEGIN_AGAIN
    assert period(seen(state, 5.0, 1)) is None


def test_a_new_utterance_begins_anew() -> None:
    assert seen(counting(0.5, 4), 0.4, 5).marks == ((0.4, 5),)


def silence_until_closed(patience_s: float | None, completeness: Completeness) -> float:
    timing, ear = Timing(), fresh(Timing())
    for _ in range(30):
        ear = step(ear, Moment(LOUD, "one two", completeness, 0.9, False, patience_s), timing)
    assert ear.phase is Phase.SPEECH
    for i in range(300):
        ear = step(ear, Moment(SILENT, "one two", completeness, 0.9, False, patience_s), timing)
        if ear.phase is Phase.ENDED:
            assert ear.ending is Ending.SILENCE
            return i * timing.block
    raise AssertionError("never closed")


@pytest.mark.parametrize("wait", [0.6, 1.0, 1.6])
def test_the_endpointer_is_as_patient_as_the_beat(wait: float) -> None:
    assert silence_until_closed(wait, Completeness.EXTENDABLE) == pytest.approx(wait, abs=0.07)


def test_the_next_note_closes_a_count_at_once() -> None:
    assert silence_until_closed(1.6, Completeness.CLOSED) == pytest.approx(Timing().closed, abs=0.07)


def test_a_count_may_last_longer_than_a_sentence() -> None:
    timing = Timing()
    for wait, longest in ((None, timing.longest), (1.2, timing.longest_count)):
        ear, seconds = fresh(timing), 0.0
        while ear.phase is not Phase.ENDED:
            text = f"one {int(seconds)}"
            ear = step(ear, Moment(LOUD, text, Completeness.EXTENDABLE, 0.9, False, wait), timing)
            seconds += timing.block
        assert ear.ending is Ending.LONGEST
        assert seconds == pytest.approx(longest, abs=0.2)
