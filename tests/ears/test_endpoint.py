"""The endpointer as a pure state machine: levels and texts in, endings out. Times are those of `Timing`; its limits
follow CHECKS 7: 0.1 s feels immediate, 1 s keeps the flow (user-interface practice)."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import pytest

from handsfree.ears.endpoint import Ear, Ending, Moment, Phase, Timing, fresh, step, wait
from handsfree.nouns import Completeness

TIMING = Timing()
QUIET, SPEECH = -65.0, -25.0


@dataclass
class Run:
    """What happened: when the utterance began and ended, in seconds, and why."""

    began: float | None = None
    ended: float | None = None
    ending: Ending | None = None
    ear: Ear | None = None


def run(moments: Sequence[Moment], ear: Ear | None = None) -> list[Run]:
    """All utterances of a stretch; the last may be open."""
    ear = ear or fresh(TIMING)
    runs: list[Run] = []
    for i, moment in enumerate(moments):
        before, ear = ear.phase, step(ear, moment, TIMING)
        if ear.phase is Phase.SPEECH and before is not Phase.SPEECH:
            runs.append(Run(began=(i + 1) * TIMING.block))
        if ear.phase is Phase.ENDED:
            runs[-1].ended, runs[-1].ending, runs[-1].ear = (i + 1) * TIMING.block, ear.ending, ear
    return runs


def sound(
    seconds: float, dbfs: float, text: str = "", kind: Completeness = Completeness.NOTHING, **more: object
) -> list[Moment]:
    return [Moment(dbfs, text, kind, **more) for _ in range(round(seconds / TIMING.block))]  # type: ignore[arg-type]


def said(text: str, kind: Completeness, silence: float, noise: float = QUIET, **more: object) -> list[Moment]:
    """Quiet, a second of speech whose text comes at its end, silence."""
    return [
        *sound(1.0, noise),
        *sound(1.0 - 0.1, SPEECH),
        *sound(0.1, SPEECH, text, kind, **more),
        *sound(silence, noise, text, kind, **more),
    ]


END_OF_SPEECH = 2.0


@pytest.mark.parametrize(
    ("kind", "more", "expected"),
    [
        (Completeness.CLOSED, 0.0, 0.30),
        (Completeness.EXTENDABLE, 0.1, 0.41),
        (Completeness.EXTENDABLE, 0.7, 0.77),
        (Completeness.EXTENDABLE, 1.0, 0.95),
        (Completeness.BEGUN, 1.0, 1.80),
        (Completeness.NOTHING, 0.0, 0.80),
    ],
)
def test_silence_closes_as_the_text_asks(kind: Completeness, more: float, expected: float) -> None:
    assert wait(Moment(QUIET, "x", kind, more), TIMING) == pytest.approx(expected)
    (one,) = run(said("x", kind, 3.0, more=more))
    assert one.ending is Ending.SILENCE
    assert one.ended == pytest.approx(END_OF_SPEECH + expected, abs=TIMING.block)


def test_a_complete_sentence_is_over_within_the_time_that_feels_fluent() -> None:
    assert TIMING.closed < TIMING.surely_done < TIMING.may_go_on < 1.0 < TIMING.begun


def test_text_that_comes_late_counts_from_then_on() -> None:
    """The last word shows 0.4 s after its end: what is now a closed sentence ends at once: it was silent."""
    moments = [
        *sound(1.0, QUIET),
        *sound(1.0, SPEECH, "c four fifty", Completeness.EXTENDABLE, more=0.96),
        *sound(0.4, QUIET, "c four fifty", Completeness.EXTENDABLE, more=0.96),
        *sound(2.0, QUIET, "c four fifty two no return", Completeness.CLOSED),
    ]
    (one,) = run(moments)
    assert one.ended == pytest.approx(2.42, abs=TIMING.block)


def test_a_pause_inside_a_sentence_does_not_split_it() -> None:
    pause = [
        *said("c four", Completeness.EXTENDABLE, 0.6, more=0.86),
        *sound(1.0, SPEECH, "c four fifty two", Completeness.EXTENDABLE, more=0.66),
        *sound(2.0, QUIET, "c four fifty two", Completeness.EXTENDABLE, more=0.66),
    ]
    assert len(run(pause)) == 1


def test_a_click_neither_begins_nor_prolongs() -> None:
    click = sound(0.04, -10.0)
    assert run([*sound(2.0, QUIET), *click, *sound(2.0, QUIET)]) == []
    silence = [Moment(-10.0 if i in (5, 6) else QUIET, "yes", Completeness.CLOSED) for i in range(50)]
    (one,) = run([*said("yes", Completeness.CLOSED, 0.0), *silence])
    assert one.ended == pytest.approx(END_OF_SPEECH + 0.30, abs=TIMING.block)


def test_a_knock_is_nothing_and_soon_over() -> None:
    knock = [Moment(max(QUIET, -5.0 - i * 3.0)) for i in range(40)]
    (one,) = run([*sound(1.0, QUIET), *knock, *sound(3.0, QUIET)])
    assert one.ending is Ending.SILENCE
    assert one.ended is not None
    assert one.ended < 1.0 + 2.0


def test_speech_much_softer_than_a_knock_before_it_is_heard_out() -> None:
    """Weights clink at full scale, then somebody speaks 35 dB softer."""
    moments = [
        *sound(1.0, QUIET),
        *sound(0.1, -3.0),
        *sound(0.4, QUIET),
        *sound(1.2, -38.0),
        *sound(0.6, -38.0, "fifty two", Completeness.EXTENDABLE, more=0.66),
        *sound(2.0, QUIET, "fifty two", Completeness.EXTENDABLE, more=0.66),
    ]
    first, *rest = run(moments)
    assert not rest
    assert first.ended is not None
    assert first.ended > 3.3, "not over before the speech is"


def test_a_steady_sound_without_words_ends_and_becomes_the_floor() -> None:
    runs = run(sound(20.0, -40.0))
    assert [one.ending for one in runs] == [Ending.WORDLESS]


def noisy(seconds: float, dbfs: float, rng: random.Random, *rest: object, **more: object) -> Iterator[Moment]:
    for _ in range(round(seconds / TIMING.block)):
        yield Moment(dbfs + rng.gauss(0, 1), *rest, **more)  # type: ignore[arg-type]


def test_in_steady_noise_text_and_decoder_end_it() -> None:
    """Speech 8 dB above the noise: the energy cannot be believed, so what ends it is unchanged text and a silent
    decoder. The text shows the last word 0.35 s late, the decoder says silence 0.5 s late."""
    rng = random.Random(3)
    text, kind = "c four fifty two", Completeness.EXTENDABLE
    moments = [
        *noisy(4.0, -30.0, rng),
        *noisy(1.0, -22.0, rng),
        *noisy(0.35, -30.0, rng, text, kind, 0.66),
        *noisy(0.15, -30.0, rng, text, kind, 0.66),
        *noisy(3.0, -30.0, rng, text, kind, 0.66, decoder_silent=True),
    ]
    last = run(moments)[-1]
    assert last.ending is Ending.DECODER
    assert last.ended is not None
    assert 5.6 < last.ended < 6.4


def test_a_word_that_begins_while_the_decoder_still_sees_silence_is_heard_out() -> None:
    """The up comes just before the silence would have been long enough; the decoder's word of silence is late."""
    text, kind = "e five five one", Completeness.EXTENDABLE
    moments = [
        *said(text, kind, 0.66, more=0.6),
        *sound(0.35, SPEECH, text, kind, more=0.6, decoder_silent=True),
        *sound(0.25, SPEECH, text + " thirty", kind, more=0.3),
        *sound(2.0, QUIET, text + " thirty one", kind, more=0.1),
    ]
    (one,) = run(moments)
    assert one.ending is Ending.SILENCE
    assert one.ended is not None
    assert one.ended > END_OF_SPEECH + 0.66 + 0.6


def test_noise_that_begins_within_speech_cannot_hold_it_open() -> None:
    text, kind = "c four fifty two", Completeness.EXTENDABLE
    moments = [
        *said(text, kind, 0.1, more=0.66),
        *sound(10.0, -30.0, text, kind, more=0.66),
    ]
    (one, *_) = run(moments)
    assert one.ended is not None
    assert one.ended < END_OF_SPEECH + 4.0


def test_nothing_lasts_longer_than_the_longest() -> None:
    moments = [Moment(SPEECH, f"word {i // 20}", Completeness.BEGUN, 1.0) for i in range(2000)]
    first = run(moments)[0]
    assert first.ending is Ending.LONGEST
    assert first.ended == pytest.approx(TIMING.longest, abs=0.1)


def test_sound_that_begins_with_speech_is_heard() -> None:
    """No quiet before it to learn the floor from."""
    moments = [*sound(1.0, SPEECH, "yes", Completeness.CLOSED), *sound(1.0, QUIET, "yes", Completeness.CLOSED)]
    (one,) = run(moments)
    assert one.began == pytest.approx(TIMING.onset, abs=TIMING.block)
    assert one.ending is Ending.SILENCE


def test_the_same_input_gives_the_same_output() -> None:
    moments = list(noisy(10.0, -35.0, random.Random(9)))
    assert run(moments) == run(moments)


def test_a_remark_goes_on_over_pauses_for_thought_whatever_the_text_says() -> None:
    """Only a pause as long as that after the beginning of a sentence ends it, or its greatest length."""

    def free(level: float, seconds: float) -> list[Moment]:
        return [Moment(level, free=True)] * round(seconds / TIMING.block)

    remark = free(SPEECH, 4.0) + free(QUIET, 1.2) + free(SPEECH, 6.0) + free(QUIET, 1.2) + free(SPEECH, 8.0)
    (one,) = run(free(QUIET, 1) + remark + free(QUIET, 4))
    assert one.ending is Ending.SILENCE
    assert one.ended == pytest.approx(1 + 20.4 + TIMING.begun, abs=0.15)
    (endless,) = run(free(QUIET, 1) + free(SPEECH, TIMING.longest_free + 0.5))
    assert endless.ending is Ending.LONGEST


def test_in_noise_too_a_word_that_begins_just_now_is_heard_out() -> None:
    """A fan 13 dB below the voice. The pause was long enough for the decoder, and the up has begun."""
    rng = random.Random(5)
    text, kind = "five one", Completeness.EXTENDABLE
    fan = -40.0
    moments = [
        *noisy(3.0, fan, rng),
        *noisy(0.9, fan + 13, rng),
        *noisy(0.35, fan, rng, "five", kind, 0.5),
        *noisy(0.95, fan, rng, text, kind, 0.5),
        *noisy(0.4, fan + 13, rng, text, kind, 0.5, decoder_silent=True),
        *noisy(0.3, fan + 13, rng, text + " three", kind, 0.5),
        *noisy(3.0, fan, rng, text + " three one", kind, 0.1, decoder_silent=True),
    ]
    last = run(moments)[-1]
    assert last.began == pytest.approx(3.0, abs=0.1), "one utterance, from the note on"
    assert last.ended is not None
    assert last.ended > 3.0 + 0.9 + 0.35 + 0.95 + 0.7


def test_in_noise_a_pause_before_the_up_may_look_longer() -> None:
    note_and_down = Moment(QUIET, "c four fifty two", Completeness.EXTENDABLE, 0.5)
    noise = TIMING.clear - 1
    assert wait(note_and_down, TIMING, noise) - wait(note_and_down, TIMING, TIMING.clear) == pytest.approx(0.2)
    whole = Moment(QUIET, "c four fifty two twenty eight", Completeness.EXTENDABLE, 0.05)
    assert wait(whole, TIMING, noise) < 0.41, "nothing is waited for where nothing is to come"
    assert wait(Moment(QUIET, "yes", Completeness.CLOSED), TIMING, noise) == TIMING.closed
