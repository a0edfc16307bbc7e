"""What sounds beside the words: a knock is none, a voice may have been one. Synthetic sounds (no open recording of a
workshop was found, CHECKS 8)."""

from __future__ import annotations

import math
from collections.abc import Callable
from random import Random

import pytest

from handsfree.ears.beside_words import sounds_after, unclear_before

RATE = 16_000
Wave = Callable[[float], float]


def voice(seconds: float, loud: float = 4000.0) -> Wave:
    """Swells, lasts and fades like a word."""
    return lambda t: (
        loud * math.sqrt(math.sin(math.pi * t / seconds)) * math.sin(2 * math.pi * 180 * t) if t < seconds else 0.0
    )


def knock(fall: float, loud: float = 14_000.0) -> Wave:
    """Dies away at `fall` a second."""
    return lambda t: loud * math.exp(-fall * t) * math.sin(2 * math.pi * 300 * t) * (t < 0.5)


def sound(seconds: float, *parts: tuple[float, Wave]) -> bytes:
    rng = Random(1)
    samples = [rng.gauss(0, 40) for _ in range(round(seconds * RATE))]
    for at, wave in parts:
        for i in range(round(at * RATE), len(samples)):
            samples[i] += wave(i / RATE - at)
    clipped = (max(-32768, min(32767, round(s))) for s in samples)
    return b"".join(s.to_bytes(2, "little", signed=True) for s in clipped)


WORD = (0.4, voice(0.3))


@pytest.mark.parametrize("seconds", [0.2, 0.35])
@pytest.mark.parametrize("loud", [1200.0, 4000.0])
def test_a_voice_after_the_last_word_may_be_one_more(seconds: float, loud: float) -> None:
    (found,) = sounds_after(sound(2.2, WORD, (1.2, voice(seconds, loud))), 0.7)
    assert found == pytest.approx(1.2, abs=0.04)


@pytest.mark.parametrize("fall", [12.0, 20.0, 40.0])
@pytest.mark.parametrize("at", [0.9, 1.2, 1.5])
def test_a_knock_is_no_word(fall: float, at: float) -> None:
    assert sounds_after(sound(2.2, WORD, (at, knock(fall))), 0.7) == ()


def test_a_blow_may_cover_a_word_whole() -> None:
    soft = (0.4, voice(0.3, 900))
    assert len(sounds_after(sound(2.2, soft, (1.2, knock(20, 30_000))), 0.7)) == 1


def test_breath_and_room_are_nothing() -> None:
    assert sounds_after(sound(2.2, WORD, (1.2, voice(0.4, 150))), 0.7) == ()
    assert sounds_after(sound(1.0, WORD), 0.7) == ()
    assert sounds_after(b"", 0.7) == ()


def test_what_sounds_on_belongs_to_the_last_word() -> None:
    assert sounds_after(sound(2.2, (0.4, voice(0.6))), 0.7) == ()


def test_something_before_the_first_word() -> None:
    assert not unclear_before(sound(1.5, WORD), 0.42)
    assert unclear_before(sound(1.5, (0.1, voice(0.22)), WORD), 0.42)
    assert not unclear_before(b"", 0.4)


def test_something_before_a_later_word() -> None:
    """A letter that was not heard, between a number and what then looks like the next one."""
    words = ((0.4, voice(0.3)), (1.5, voice(0.3)))
    assert not unclear_before(sound(2.2, *words), 1.52, 0.7)
    assert unclear_before(sound(2.2, *words, (1.25, voice(0.23))), 1.52, 0.7)


def test_a_first_word_that_begins_at_once_is_the_rest_of_something() -> None:
    assert unclear_before(sound(1.0, (0.05, voice(0.3))), 0.06)
