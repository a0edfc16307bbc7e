"""A remark in one breath: "remark" and, without a pause, what it is about. From the word's end on it stands as sound.

Made-up sound with a scripted recogniser; real sound is in test_walk_by_ear.py.
"""

from __future__ import annotations

import numpy as np
import pytest

from handsfree.ears.blocks import RATE
from handsfree.ears.listening import Listener
from handsfree.ears.prospects import Prospects
from handsfree.ears.scripted import Script, ScriptedRecogniser
from handsfree.ears.source import PushedSource
from handsfree.nouns import Alternative, Context, Heard, RemarkSaid, Word
from handsfree.words import grammar
from handsfree.words.walk_sentences import begins_remark

WORDS = (Word("remark", 0.4, 0.9, 1.0), Word("[unk]", 0.9, 1.4, 1.0))


def voice(seconds: float) -> bytes:
    """Sound that moves as speech does: bands of noise in turn."""
    samples = round(seconds * RATE)
    noise = np.random.default_rng(8).normal(0, 1, samples)
    spectrum, hertz = np.fft.rfft(noise), np.fft.rfftfreq(samples, 1 / RATE)
    low, high = (np.fft.irfft(spectrum * band, samples) for band in (hertz < 900, hertz > 1500))
    wave = np.where(np.arange(samples) // (RATE // 10) % 2, low / low.std(), high / high.std())
    return (4000 * wave).clip(-32768, 32767).astype("<i2").tobytes()


def room(seconds: float) -> bytes:
    return np.random.default_rng(4).normal(0, 12, round(seconds * RATE)).astype("<i2").tobytes()


def heard(script: Script, *sound: bytes) -> tuple[list[Heard], ScriptedRecogniser]:
    source, recogniser = PushedSource(), ScriptedRecogniser([script, script])
    prospects = Prospects(grammar.completeness, grammar.chance_of_more, begins_remark=begins_remark)
    listener = Listener(source, recogniser, prospects, lambda: Context.WALKTHROUGH)
    for piece in sound:
        source.push(piece)
    source.close()
    return [event for event in listener.events() if isinstance(event, Heard)], recogniser


def script(surely: float, *partials: tuple[float, str]) -> Script:
    rest = (Alternative("[unk] [unk]", 1 - surely),) if surely < 1 else ()
    return Script(partials, (Alternative("remark [unk]", surely, WORDS), *rest))


SURE = script(1.0, (0.9, "remark"), (1.4, "remark [unk]"))
PAUSES = (room(1), voice(2), room(1.5), voice(2), room(3))


def test_it_stands_as_sound_from_the_end_of_the_word_and_a_short_pause_does_not_end_it() -> None:
    (remark,), _ = heard(SURE, *PAUSES)
    assert (remark.context, remark.text) == (Context.REMARK, "[unk]")
    assert remark.utterance is not None
    # onset at 1 s with 0.3 s before it, the word's end 0.9 s later, less a tenth; the speech ends at 6.5 s
    assert remark.utterance.start == pytest.approx(1 - 0.3 + 0.9 - 0.1, abs=0.06)
    assert remark.utterance.speech_end == pytest.approx(6.5, abs=0.1)
    assert len(remark.utterance.pcm) / 2 / RATE == pytest.approx(8.3 - remark.utterance.start, abs=0.1)


def test_it_is_known_for_one_at_a_pause_too() -> None:
    late = script(1.0, (0.9, "remark"))
    (remark,), _ = heard(late, *PAUSES)
    assert (remark.context, remark.text) == (Context.REMARK, "[unk]")


def test_what_is_too_unsure_is_decoded_to_its_end() -> None:
    unsure = script(0.5, (0.9, "remark"), (1.4, "remark [unk]"))
    (first, *_), recogniser = heard(unsure, room(1), voice(2), room(3))
    assert first.context is Context.WALKTHROUGH
    assert first.utterance is not None
    assert recogniser.decodings[1].pcm == first.utterance.pcm, "the second decoder heard all of it"


def test_the_word_alone_announces_a_remark() -> None:
    (announced,), _ = heard(SURE, room(1), voice(0.62), room(3))
    assert (announced.context, announced.text) == (Context.WALKTHROUGH, "remark")


@pytest.mark.parametrize(("text", "context", "begins"), [
    ("remark [unk]", Context.WALKTHROUGH, True),
    ("remark [unk] [unk]", Context.WALK_ANSWER, True),
    ("remark", Context.WALKTHROUGH, False),
    ("remark hammers", Context.WALKTHROUGH, False),
    ("[unk] [unk]", Context.WALKTHROUGH, False),
    ("", Context.WALKTHROUGH, False),
    ("remark [unk]", Context.TOUCH, False),
])  # fmt: skip
def test_what_begins_one(text: str, context: Context, begins: bool) -> None:
    assert begins_remark(text, context) is begins


def test_it_means_a_remark_however_much_was_heard_of_it() -> None:
    assert grammar.understand("remark [unk] [unk] [unk]", Context.WALKTHROUGH) == RemarkSaid()
