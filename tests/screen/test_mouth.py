"""Half duplex: closed ears while we sound, and nothing said may get lost by it."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator

import pytest

from handsfree.nouns import Earcon, EarEvent, EarState, Outcome, Speech, Turn
from handsfree.screen.mouth import Mouth, Sound, sound_of, sound_of_ears


class Bench:
    """Ears and loudspeaker in one, writing down the order of things."""

    trouble = ""

    def __init__(self) -> None:
        self.order: list[str] = []
        self.hearing = False

    def events(self) -> Iterator[EarEvent]:
        return iter(())

    def close_ears(self) -> None:
        self.order.append("ears closed")

    def open_ears(self) -> None:
        self.order.append("ears open")

    def mute(self, on: bool) -> None: ...

    def close(self) -> None: ...

    def say(self, text: str) -> None:
        self.order.append(text)

    def earcon(self, which: Earcon) -> None:
        self.order.append(which.value)

    def stop(self) -> None:
        self.order.append("cut short")


def run(mouth: Mouth) -> threading.Thread:
    thread = threading.Thread(target=mouth.run)
    thread.start()
    return thread


def test_ears_are_closed_around_each_sound() -> None:
    bench = Bench()
    mouth = Mouth(bench, bench)
    mouth.put(Sound(Earcon.QUESTION, "C five?"))
    thread = run(mouth)
    wait_until(lambda: "C five?" in bench.order)
    mouth.stop()
    thread.join(2)
    assert bench.order == ["ears closed", "question", "ears open", "ears closed", "C five?", "ears open"]


def test_a_line_waits_for_the_end_of_a_sentence() -> None:
    bench = Bench()
    bench.hearing = True
    mouth = Mouth(bench, bench, patience=5)
    thread = run(mouth)
    mouth.put(Sound(Earcon.QUESTION, "C five?"))
    wait_until(lambda: bool(bench.order))
    time.sleep(0.12)
    assert bench.order == ["question"]
    bench.hearing = False
    wait_until(lambda: "C five?" in bench.order)
    mouth.stop()
    thread.join(2)


def test_a_line_gives_way_to_a_newer_turn() -> None:
    bench = Bench()
    bench.hearing = True
    mouth = Mouth(bench, bench, patience=5)
    thread = run(mouth)
    mouth.put(Sound(None, "C five?"))
    time.sleep(0.06)
    mouth.put(Sound(Earcon.ACCEPTED, ""))
    bench.hearing = False
    wait_until(lambda: "accepted" in bench.order)
    mouth.stop()
    thread.join(2)
    assert "C five?" not in bench.order


def test_patience_ends() -> None:
    bench = Bench()
    bench.hearing = True
    mouth = Mouth(bench, bench, patience=0.1)
    thread = run(mouth)
    mouth.put(Sound(None, "C five?"))
    wait_until(lambda: "C five?" in bench.order)
    mouth.stop()
    thread.join(2)


def test_a_line_under_way_is_cut_short_by_the_next() -> None:
    begun, cut = threading.Event(), threading.Event()

    class Talker(Bench):
        def say(self, text: str) -> None:
            begun.set()
            assert cut.wait(2)
            super().say(text)

        def stop(self) -> None:
            cut.set()

    talker = Talker()
    mouth = Mouth(talker, None)
    mouth.put(Sound(None, "A long line."))
    thread = run(mouth)
    assert begun.wait(2)
    mouth.put(Sound(Earcon.ACCEPTED, ""))
    wait_until(lambda: "accepted" in talker.order)
    mouth.stop()
    thread.join(2)
    assert cut.is_set()


def test_without_ears_it_speaks_at_once() -> None:
    bench = Bench()
    mouth = Mouth(bench, None)
    mouth.put(Sound(Earcon.ACCEPTED, "taken"))
    thread = run(mouth)
    wait_until(lambda: "taken" in bench.order)
    mouth.stop()
    thread.join(2)
    assert bench.order == ["accepted", "taken"]


@pytest.mark.parametrize(
    ("speech", "earcon", "sound"),
    [
        (Speech.QUESTION, Earcon.QUESTION, Sound(Earcon.QUESTION, "line")),
        (Speech.READ_BACK, Earcon.ACCEPTED, Sound(Earcon.ACCEPTED, "")),
        (Speech.READ_BACK, None, None),
    ],
)
def test_only_the_wanted_kinds_are_voiced(speech: Speech, earcon: Earcon | None, sound: Sound | None) -> None:
    turn = Turn(Outcome.TAKEN, line="line", speech=speech, earcon=earcon)
    assert sound_of(turn, frozenset({Speech.QUESTION})) == sound


def test_ears_that_go_deaf_are_heard_by_their_tone_even_where_nothing_is_spoken() -> None:
    deaf, listening = EarState.NO_MICROPHONE, EarState.LISTENING
    assert sound_of_ears(listening, deaf, frozenset()) == Sound(Earcon.REFUSED, "")
    assert sound_of_ears(deaf, listening, frozenset({Speech.REPLY})) == Sound(Earcon.ACCEPTED, "Listening again.")
    assert sound_of_ears(listening, EarState.HEARING, frozenset(Speech)) is None
    assert sound_of_ears(deaf, deaf, frozenset(Speech)) is None
    assert sound_of_ears(None, deaf, frozenset(Speech)) is None


def wait_until(so: object, seconds: float = 2.0) -> None:
    assert callable(so)
    until = time.monotonic() + seconds
    while not so():
        assert time.monotonic() < until, "it did not happen"
        time.sleep(0.005)
