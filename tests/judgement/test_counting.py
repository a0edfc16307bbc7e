"""A count's total, from order and rhythm alone. The beats are those of a pendulum with dry friction (mu = 0.10 from
90 degrees: successive passes 1.1517, 1.0953, 1.0585, 1.0336, 1.0172, 1.0072, 1.0028 halves of the small period,
solved numerically outside the project, CHECKS 2.7)."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handsfree.judgement.counting import FASTEST, SLOWEST, verdict
from handsfree.nouns import Counted
from handsfree.reckoning.hammer_period import longest_count, shortest_count, stretch

DURATIONS = (1.1517, 1.0953, 1.0585, 1.0336, 1.0172, 1.0072, 1.0028)
BEATS = st.floats(shortest_count(), longest_count(0))


def onsets(count: int, beat: float) -> list[float]:
    at = [0.3]
    for i in range(count - 1):
        at.append(at[-1] + beat * DURATIONS[min(i, len(DURATIONS) - 1)])
    return at


def counted(numbers: list[int], times: list[float], **more: object) -> Counted:
    return Counted(None, tuple(numbers), times=tuple(times), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("degrees", "ratio"),
    [
        (5, 1.000476172486),
        (30, 1.017408797596),
        (60, 1.073182007149),
        (90, 1.180340599016),
        (120, 1.372880500618),
        (170, 2.439362719674),
    ],
)
def test_the_period_at_large_amplitude(degrees: float, ratio: float) -> None:
    """Complete elliptic integral of the first kind, tabulated outside the project (CHECKS 2.7); 90 degrees is also
    Gamma(1/4)^2 / (2 pi^(3/2))."""
    assert stretch(degrees) == pytest.approx(ratio, abs=1e-11)


def test_the_limits_hold_every_hammer() -> None:
    assert FASTEST < shortest_count() < longest_count() < SLOWEST
    assert longest_count() / longest_count(0) == pytest.approx(1.180340599016)


@given(st.integers(2, 20), BEATS, st.integers(0, 2**16))
def test_an_even_count_stands(count: int, beat: float, jitter: int) -> None:
    """Whoever counts within a tenth of a beat of a dying pendulum is not asked."""
    times = [t + beat * 0.1 * (((jitter >> i % 16) & 1) - 0.5) for i, t in enumerate(onsets(count, beat))]
    found = verdict(counted(list(range(1, count + 1)), times))
    assert found.borne_out, found.why
    assert found.total == count


@given(st.integers(5, 20), st.floats(0.4, longest_count(0)), st.data())
def test_one_missed_with_its_beat_is_filled(count: int, beat: float, data: st.DataObject) -> None:
    """At beats in which a number can be said at all."""
    gone = data.draw(st.integers(1, count - 2))
    numbers, times = list(range(1, count + 1)), onsets(count, beat)
    del numbers[gone], times[gone]
    found = verdict(counted(numbers, times))
    assert found.borne_out, found.why
    assert found.total == count


@given(st.integers(4, 20), BEATS, st.data())
def test_one_left_out_without_its_beat_is_never_silent(count: int, beat: float, data: st.DataObject) -> None:
    """ "one two four five" evenly may be four swings or five."""
    gone = data.draw(st.integers(1, count - 2))
    numbers = [n for n in range(1, count + 1) if n != gone + 1]
    assert not verdict(counted(numbers, onsets(count - 1, beat))).borne_out


@given(st.integers(3, 20), BEATS, st.data())
def test_one_said_twice_with_a_beat_each_is_never_silent(count: int, beat: float, data: st.DataObject) -> None:
    twice = data.draw(st.integers(0, count - 1))
    numbers = [*range(1, twice + 2), *range(twice + 1, count + 1)]
    assert not verdict(counted(numbers, onsets(count + 1, beat))).borne_out


@given(st.integers(4, 20), st.floats(0.55, longest_count(0)), st.data())
def test_a_stumble_counts_once(count: int, beat: float, data: st.DataObject) -> None:
    """Where swings are faster, what is a stumble is less clear, and is asked about."""
    twice = data.draw(st.integers(1, count - 2))
    numbers, times = list(range(1, count + 1)), onsets(count, beat)
    numbers.insert(twice, numbers[twice])
    times.insert(twice, times[twice] - 0.45 * beat)
    found = verdict(counted(numbers, times))
    assert found.borne_out, found.why
    assert found.total == count


@given(st.integers(6, 20), st.floats(0.55, longest_count(0)))
def test_two_stumbles_in_one_count_are_asked_about(count: int, beat: float) -> None:
    numbers, times = list(range(1, count + 1)), onsets(count, beat)
    for twice in (4, 2):
        numbers.insert(twice, numbers[twice])
        times.insert(twice, times[twice] - 0.45 * beat)
    assert not verdict(counted(numbers, times)).borne_out


@given(st.integers(3, 20), BEATS)
def test_a_number_too_soon_after_the_last_is_never_silent(count: int, beat: float) -> None:
    """The end of "seven" may be heard as "eight", and a real number early: which it was only the person knows."""
    times = onsets(count, beat)
    assert not verdict(counted(list(range(1, count + 2)), [*times, times[-1] + 0.4 * beat])).borne_out


@given(st.lists(st.integers(1, 30), min_size=1, max_size=12), BEATS)
def test_only_a_rising_count_from_one_stands(numbers: list[int], beat: float) -> None:
    found = verdict(counted(numbers, onsets(len(numbers), beat)))
    if found.borne_out:
        assert numbers == sorted(numbers)
        assert numbers[0] == 1
    assert found.total == numbers[-1], "what is asked about is what was said last"


def test_a_typed_or_timeless_count_is_judged_by_order() -> None:
    assert verdict(Counted(None, (1, 2, 3), half=True)).total == Decimal("3.5")
    assert verdict(Counted(None, (1, 2, 3))).borne_out
    assert not verdict(Counted(None, (2, 3, 4))).borne_out
    assert not verdict(Counted(None, (1, 2, 4))).borne_out


@pytest.mark.parametrize("beat", [0.1, 1.6])
def test_no_hammer_swings_so(beat: float) -> None:
    assert "no hammer" in verdict(counted([1, 2, 3, 4, 5], onsets(5, beat))).why


def test_a_swing_does_not_speed_up() -> None:
    times = [0.3, 1.1, 1.9, 2.5, 2.9, 3.3, 3.6]
    assert verdict(counted([1, 2, 3, 4, 5, 6, 7], times)).why == "a swing does not speed up"


@pytest.mark.parametrize(("beats", "stands"), [(0.4, True), (0.8, False), (1.0, False), (1.2, False), (1.6, True)])
def test_a_sound_on_the_next_beat_may_have_been_one_more(beats: float, stands: bool) -> None:
    """... unless it is a knock: what reaches this are sounds that may have been words (ears/afterwards.py)."""
    times = onsets(4, 0.6)
    assert verdict(counted([1, 2, 3, 4], times, unheard=(times[-1] + 0.6 * beats,))).borne_out is stands
    assert verdict(counted([1, 2, 3, 4], times)).borne_out


@pytest.mark.parametrize(("last", "stands"), [(1.0, True), (1.3, False), (1.7, False)])
def test_a_last_number_with_something_before_it_may_be_the_octave_of_a_note(last: float, stands: bool) -> None:
    """ "... three four, A five": the letter was not heard. On the beat it is a number all the same (a knock)."""
    times = [0.3, 0.9, 1.5, 2.1, 2.1 + 0.6 * last]
    assert verdict(counted([1, 2, 3, 4, 5], times, unheard=(times[-1],))).borne_out is stands
    assert verdict(counted([1, 2, 3, 4, 5], times)).borne_out is (last < 1.5), "later, a swing may have gone by"


@pytest.mark.parametrize(("beats", "stands"), [(0.6, True), (0.95, False), (1.0, False), (1.05, False), (1.4, True)])
def test_the_octave_of_a_note_on_the_next_beat_may_have_been_one_more(beats: float, stands: bool) -> None:
    """ "... four, B five" for "four five": whoever names a note has its letter to say first, and is later."""
    times = onsets(4, 0.6)
    assert verdict(counted([1, 2, 3, 4], times, then=63, octave=(5, times[-1] + 0.6 * beats))).borne_out is stands


@pytest.mark.parametrize(("beats", "stands"), [(1.0, True), (1.6, True), (1.95, False), (2.05, False), (2.7, True)])
def test_so_may_an_octave_after_a_number_that_was_not_heard(beats: float, stands: bool) -> None:
    """ "... four, (five) B six": the swing of the number left out has passed."""
    times = onsets(4, 0.6)
    assert verdict(counted([1, 2, 3, 4], times, then=75, octave=(6, times[-1] + 0.6 * beats))).borne_out is stands


def test_a_number_squeezed_in_before_the_next_was_not_said() -> None:
    """The ear puts an expected number into the last moment before the next one; the beats tell if it was there."""
    two_beats, one_beat = [0.3, 1.44, 1.5, 2.1, 2.7], [0.3, 0.84, 0.9, 1.5, 2.1]
    assert verdict(counted([1, 2, 3, 4, 5], two_beats)).borne_out, "its swing passed"
    assert not verdict(counted([1, 2, 3, 4, 5], one_beat)).borne_out


def test_talk_after_a_count_is_no_number_off_the_beat() -> None:
    """... heard as other talk: on the next beat it may have been one, elsewhere it is nothing."""
    times = onsets(4, 0.6)
    on_beat, off_beat = times[-1] + 0.6, times[-1] + 0.9
    assert not verdict(counted([1, 2, 3, 4], times, unheard=(on_beat,))).borne_out
    assert verdict(counted([1, 2, 3, 4], times, unheard=(off_beat,))).borne_out


@given(st.integers(3, 20), BEATS, st.floats(0.05, 0.95))
def test_ways_are_weighed_not_counted(count: int, beat: float, part: float) -> None:
    """A number missing at any part of a beat between none and its own: surer the nearer its swing, never both."""
    numbers = [*range(1, count + 1), count + 2]
    times = onsets(count, beat)
    near, far = ([*times, times[-1] + beat * (1 + at)] for at in (max(part, 1 - part), min(part, 1 - part)))
    assert verdict(counted(numbers, near)).sureness >= verdict(counted(numbers, far)).sureness


@given(st.integers(2, 20), BEATS)
def test_the_beat_of_a_count_is_kept(count: int, beat: float) -> None:
    found = verdict(counted(list(range(1, count + 1)), onsets(count, beat)))
    assert found.beat == pytest.approx(beat, rel=0.16)
