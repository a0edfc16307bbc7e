"""The listener on made-up sound with a scripted recogniser: order of events, half duplex, mute, devices, times."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

import numpy as np
import pytest

from handsfree.ears.blocks import BLOCK_SAMPLES, RATE
from handsfree.ears.endpoint import Timing
from handsfree.ears.listening import Listener
from handsfree.ears.other_talk import IN_THE_WAY
from handsfree.ears.prospects import Prospects
from handsfree.ears.scripted import Script, ScriptedRecogniser
from handsfree.ears.source import PushedSource
from handsfree.nouns import (
    Alternative,
    Completeness,
    Context,
    EarChanged,
    EarEvent,
    EarState,
    Heard,
    Level,
    Partial,
    Word,
)

YES = Script(((0.6, "yes"),))


def completeness(text: str, context: Context) -> Completeness:
    kinds = {"": Completeness.NOTHING, "correction": Completeness.BEGUN, "c four": Completeness.EXTENDABLE}
    return kinds.get(text, Completeness.CLOSED)


def voice(seconds: float) -> bytes:
    """Sound as loud as speech that moves as speech does, and that no recogniser looks at: bands of noise in turn."""
    samples = round(seconds * RATE)
    noise = np.random.default_rng(8).normal(0, 1, samples)
    spectrum = np.fft.rfft(noise)
    hertz = np.fft.rfftfreq(samples, 1 / RATE)
    low, high = (np.fft.irfft(spectrum * band, samples) for band in (hertz < 900, hertz > 1500))
    turn = np.arange(samples) // (RATE // 10) % 2
    wave = np.where(turn, low / low.std(), high / high.std())
    return (4000 * wave).clip(-32768, 32767).astype("<i2").tobytes()


def tone(seconds: float) -> bytes:
    """A string that rings: partials that die away together."""
    at = np.arange(round(seconds * RATE)) / RATE
    wave = sum(np.sin(2 * np.pi * 220 * n * at) / n for n in range(1, 8))
    return (5000 * np.exp(-at) * wave).clip(-32768, 32767).astype("<i2").tobytes()


def room(seconds: float) -> bytes:
    return np.random.default_rng(4).normal(0, 12, round(seconds * RATE)).astype("<i2").tobytes()


def listener(
    source: PushedSource, recogniser: ScriptedRecogniser, context: Callable[[], Context] = lambda: Context.TOUCH
) -> Listener:
    return Listener(source, recogniser, Prospects(completeness), context)


def events(*sound: bytes, scripts: tuple[Script, ...] = (YES,)) -> list[EarEvent]:
    source = PushedSource()
    for piece in sound:
        source.push(piece)
    source.close()
    return list(listener(source, ScriptedRecogniser(scripts)).events())


def test_an_utterance_from_beginning_to_end() -> None:
    happened = events(room(1.0), voice(0.5), room(1.5))
    without_levels = [e for e in happened if not isinstance(e, Level)]
    assert [type(e) for e in without_levels] == [EarChanged, EarChanged, Partial, EarChanged, Heard]
    states = [e.state for e in without_levels if isinstance(e, EarChanged)]
    assert states == [EarState.LISTENING, EarState.HEARING, EarState.LISTENING]
    assert without_levels[2] == Partial("yes")


def test_the_utterance_reaches_from_the_pre_roll_to_the_end() -> None:
    (heard,) = [e for e in events(room(1.0), voice(0.5), room(1.5)) if isinstance(e, Heard)]
    assert heard.utterance is not None
    timing = Timing()
    assert heard.utterance.start == pytest.approx(1.0 - timing.pre_roll, abs=0.03)
    assert heard.utterance.speech_end == pytest.approx(1.5, abs=0.03)
    seconds = len(heard.utterance.pcm) / 2 / heard.utterance.rate
    assert heard.utterance.start + seconds == pytest.approx(1.5 + timing.closed, abs=0.03)


def test_the_decoder_got_exactly_the_utterance() -> None:
    source, recogniser = PushedSource(), ScriptedRecogniser([YES])
    sound = room(1.0) + voice(0.5) + room(1.5)
    source.push(sound)
    source.close()
    (heard,) = [e for e in listener(source, recogniser).events() if isinstance(e, Heard)]
    assert heard.utterance is not None
    assert bytes(recogniser.decodings[0].pcm) == heard.utterance.pcm
    assert heard.utterance.pcm in sound


def test_sound_that_ends_in_the_middle_is_heard_to_its_end() -> None:
    heard = [e for e in events(room(1.0), voice(0.7)) if isinstance(e, Heard)]
    assert [h.text for h in heard] == ["yes"]


def test_a_noise_is_not_reported() -> None:
    assert not [e for e in events(room(1.0), voice(0.3), room(2.0), scripts=()) if isinstance(e, Heard)]


def test_a_ringing_string_is_not_reported_whatever_the_recogniser_finds() -> None:
    happened = events(room(1.0), tone(1.5), room(2.0))
    assert Partial("yes") in happened
    assert not [e for e in happened if isinstance(e, Heard)]


def test_what_is_only_second_best_is_reported() -> None:
    """Silence may be the likelier, but what it may have been is not lost."""
    script = Script((), (Alternative("", 0.6), Alternative("yes", 0.4)))
    (heard,) = [e for e in events(room(1.0), voice(0.3), room(2.0), scripts=(script,)) if isinstance(e, Heard)]
    assert heard.text == ""
    assert heard.alternatives[1].text == "yes"


def test_levels_come_ten_to_twenty_times_a_second() -> None:
    levels = [e for e in events(room(4.0)) if isinstance(e, Level)]
    assert 4 * 10 <= len(levels) <= 4 * 20
    assert all(-96 <= level.dbfs <= -60 for level in levels)


def test_the_context_is_asked_at_each_onset() -> None:
    contexts = (Context.TOUCH, Context.ANSWER, Context.TOUCH)
    source, recogniser = PushedSource(), ScriptedRecogniser([YES, YES])
    for _ in range(2):
        source.push(room(1.0) + voice(0.5) + room(1.5))
    source.close()
    ears = listener(source, recogniser, lambda: contexts[len(recogniser.begun)])
    heard = [e for e in ears.events() if isinstance(e, Heard)]
    assert [h.context for h in heard] == recogniser.begun == [Context.TOUCH, Context.ANSWER]


@pytest.mark.parametrize("noise", [12.0, 120.0, 600.0])
def test_how_far_the_speech_stood_out_is_told(noise: float) -> None:
    """Made-up voice of root mean square 4000 in a room of white noise, which is known after four seconds."""
    first = Script() if noise > 30 else YES  # a loud room is taken for somebody at first
    hiss = np.random.default_rng(3).normal(0, noise, round(6.5 * RATE))
    spoken = np.frombuffer(room(4.0) + voice(0.8) + room(1.7), "<i2") + hiss
    sound = spoken.clip(-32768, 32767).astype("<i2").tobytes()
    (heard,) = (e for e in events(sound, scripts=(first, YES)) if isinstance(e, Heard))
    assert heard.utterance is not None
    assert heard.utterance.contrast == pytest.approx(20 * np.log10(4000 / np.hypot(noise, 12)), abs=6)


def test_somebody_is_heard_before_the_first_word_is() -> None:
    """The words come late; a line of ours that began meanwhile would cost the sentence that is under way."""
    source, recogniser = PushedSource(), ScriptedRecogniser([Script(((5.0, "yes"),))])
    source.push(room(1.0) + voice(0.3) + room(2.0))
    source.close()
    ears = listener(source, recogniser)
    seen = [(e.state, ears.hearing) for e in ears.events() if isinstance(e, EarChanged)]
    assert seen == [(EarState.LISTENING, False), (EarState.HEARING, True), (EarState.LISTENING, False)]


def test_a_device_that_goes_takes_the_half_utterance_with_it() -> None:
    source = PushedSource()
    source.push(room(1.0) + voice(0.7))
    source.push_change(EarChanged(EarState.NO_MICROPHONE, "gone"))
    source.push_change(EarChanged(EarState.LISTENING))
    source.push(room(1.0) + voice(0.5) + room(1.0))
    source.close()
    happened = [e for e in listener(source, ScriptedRecogniser([YES, YES])).events() if not isinstance(e, Level)]
    states = [e.state.value for e in happened if isinstance(e, EarChanged)]
    assert states == ["listening", "hearing", "no microphone", "listening", "hearing", "listening"]
    assert len([e for e in happened if isinstance(e, Heard)]) == 1


def test_half_utterances_across_a_closing_are_dropped() -> None:
    """While we speak, nothing counts; afterwards everything does, from the first block on."""
    source, recogniser = PushedSource(), ScriptedRecogniser([YES, YES])
    ears = listener(source, recogniser)
    got: list[EarEvent] = []
    thread = threading.Thread(target=lambda: got.extend(ears.events()))
    thread.start()
    source.push(room(1.0) + voice(0.7))
    wait_for(lambda: ears.hearing)
    ears.close_ears()
    source.push(voice(0.5) + room(1.0))
    wait_for(lambda: any(isinstance(e, EarChanged) and e.state is EarState.SPEAKING for e in got))
    time.sleep(0.1)
    ears.open_ears()
    time.sleep(0.1)
    source.push(room(1.0) + voice(0.5) + room(1.0))
    source.close()
    thread.join(5)
    heard = [e for e in got if isinstance(e, Heard)]
    assert len(heard) == 1
    assert heard[0].utterance is not None
    assert heard[0].utterance.start > 3.0


def wait_for(condition: Callable[[], bool], seconds: float = 5.0) -> None:
    until = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < until, "it never happened"
        time.sleep(0.005)


def test_ears_are_open_within_100_ms_after_speaking() -> None:
    """Sound at its own speed, ears closed for a while, then open: people take turns within 0 to 200 ms (CHECKS 7)."""
    source, recogniser = PushedSource(), ScriptedRecogniser([YES])
    ears = listener(source, recogniser)
    stop = threading.Event()

    def live() -> None:
        due = time.monotonic()
        while not stop.is_set():
            source.push(voice(BLOCK_SAMPLES / RATE))
            due += BLOCK_SAMPLES / RATE
            time.sleep(max(0.0, due - time.monotonic()))
        source.close()

    opened = heard_from = 0.0
    ears.close_ears()
    threading.Thread(target=live).start()
    for event in ears.events():
        if isinstance(event, EarChanged) and event.state is EarState.SPEAKING:
            time.sleep(0.3)
            opened = time.monotonic()
            ears.open_ears()
        elif isinstance(event, EarChanged) and opened:
            heard_from = time.monotonic()
            break
    stop.set()
    assert 0 < heard_from - opened < 0.1


def test_opening_drops_what_came_before() -> None:
    """A slow consumer finds our own voice still in the queue when the ears are open again."""
    source, recogniser = PushedSource(), ScriptedRecogniser([YES])
    ears = listener(source, recogniser)
    ears.close_ears()
    source.push(voice(1.0))
    ears.open_ears()
    source.push(room(1.0))
    source.close()
    assert not [e for e in ears.events() if isinstance(e, Heard)]
    assert recogniser.begun == []


def test_a_recording_is_never_dropped_for_our_voice() -> None:
    source = PushedSource(open_air=False)
    ears = listener(source, ScriptedRecogniser([YES]))
    ears.close_ears()
    source.push(room(1.0) + voice(0.5) + room(1.0))
    source.close()
    assert [e.text for e in ears.events() if isinstance(e, Heard)] == ["yes"]


def test_muted_ears_hear_nothing_and_say_so() -> None:
    source = PushedSource()
    ears = listener(source, ScriptedRecogniser([YES]))
    ears.mute(True)
    source.push(room(1.0) + voice(0.5) + room(1.0))
    source.close()
    happened = list(ears.events())
    assert [e.state for e in happened if isinstance(e, EarChanged)] == [EarState.LISTENING, EarState.MUTED]
    assert not [e for e in happened if isinstance(e, Heard | Level)]


def test_time_since_speech_end_in_real_time() -> None:
    """Pushed at its own speed: from the end of the sound until the event, that is the closing silence."""
    source = PushedSource()
    ears = listener(source, ScriptedRecogniser([YES]))

    def live() -> None:
        due = time.monotonic()
        sound = room(0.5) + voice(0.5) + room(0.6)
        for start in range(0, len(sound), 2 * BLOCK_SAMPLES):
            due += BLOCK_SAMPLES / RATE
            time.sleep(max(0.0, due - time.monotonic()))
            source.push(sound[start : start + 2 * BLOCK_SAMPLES])
        source.close()

    threading.Thread(target=live).start()
    for event in ears.events():
        if isinstance(event, Heard):
            assert ears.ms_since_speech_end(event) == pytest.approx(1000 * Timing().closed, abs=80)


def test_time_of_a_recording_is_that_of_the_work_alone() -> None:
    source = PushedSource(realtime=False)
    ears = listener(source, ScriptedRecogniser([YES]))
    source.push(room(1.0) + voice(0.5) + room(1.0))
    source.close()
    for event in ears.events():
        if isinstance(event, Heard):
            assert 0 <= ears.ms_since_speech_end(event) < 50
            time.sleep(0.05)
            assert ears.ms_since_speech_end(event) >= 50


def test_somebody_elses_long_talk_is_told_of_and_told_to_be_over() -> None:
    talk = Script(tuple((0.5 * n, " ".join(n * ["[unk]"])) for n in range(1, 20)))
    happened = events(room(1.0), voice(9.5), room(8.0), voice(0.5), room(1.5), scripts=(talk, YES))
    told = [e.message for e in happened if isinstance(e, EarChanged)]
    first = told.index(IN_THE_WAY)
    assert first > 0
    assert told[-1] == ""
    # as long as it is so, each change of state says it
    assert set(told[first : told.index("", first)]) == {IN_THE_WAY}
    assert [e.text for e in happened if isinstance(e, Heard)][-1] == "yes"


@pytest.mark.parametrize(
    ("shut", "pause", "word", "cut"),
    [
        (1.4, 0.0, 0.1, True),
        (1.4, 0.3, 0.1, True),
        (1.4, 1.0, 0.1, False),
        (1.4, 0.0, 0.6, True),
        (1.4, 0.3, 0.6, False),
        (0.2, 0.0, 0.1, False),
    ],
)
def test_what_was_begun_while_the_ears_were_closed_is_known_to_lack_its_beginning(
    shut: float, pause: float, word: float, cut: bool
) -> None:
    """A first word right after a line of ours (not after an earcon) is the rest of a sentence, and a later one, too,
    where something sounded when the ears opened."""
    source = PushedSource(realtime=False)
    words = (Word("yes", word, word + 0.2, 1.0),)
    ears = listener(source, ScriptedRecogniser([Script(((0.5, "yes"),), (Alternative("yes", 1.0, words),))] * 2))
    blocks = 2 * BLOCK_SAMPLES
    sound = room(shut) + room(pause) + voice(0.8) + room(1.5) + voice(0.5) + room(1.5)
    ears.close_ears()
    for at in range(0, len(sound), blocks):
        if at == round(shut * RATE) * 2:
            source.push_change(EarChanged(EarState.LISTENING, "now"))
        source.push(sound[at : at + blocks])
    source.close()
    heard = []
    for event in ears.events():
        if isinstance(event, EarChanged) and event.message == "now":
            ears.open_ears()
        if isinstance(event, Heard) and event.utterance is not None:
            heard.append(event.utterance.cut)
    assert heard == [cut, False]
