"""An utterance under way: its sound, its decoder, and what came of it. A remark in one breath turns from words to
sound as soon as it is known for one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from handsfree.ears.alternatives import without_begun
from handsfree.ears.blocks import RATE
from handsfree.ears.endpoint import Ear, Ending
from handsfree.ears.recogniser import Decoding, Hint, Recogniser, Unheard
from handsfree.nouns import Alternative, Context, Heard, Utterance

BEGUN_JUST_NOW = 0.2
"""Seconds before the end of an utterance, all silence, in which no word can have begun: one that is found there is
the next utterance's first, whose softest sounds are under way."""
SURELY_A_REMARK = 0.6
"""Share of the alternatives that must begin with that word."""
TRIES = 3
"""Times that it is asked whether a remark is under way, at most, each time with a word more: the decoder begins again
after each."""
INTO_THE_WORD = 0.1
"""Seconds before the end of "remark" at which the kept sound begins: word times are rough."""
PAUSE = 1.8
"""Seconds of silence in a remark's sound that are its end, no speech."""


Begun = Callable[[str, Context], bool]
"""Whether a text so far begins a remark."""


class Attempt:
    """One stretch of sound, from its onset on."""

    def __init__(self, recogniser: Recogniser, context: Context, start: float, *, whole_from: float = 0.0) -> None:
        """`start`: seconds since listening began; `whole_from`: a first word before this is the rest of a sentence
        that was begun while the ears were closed."""
        self.context = context
        self._whole_from = whole_from
        self.pcm = bytearray()
        self._recogniser = recogniser
        self._decoding: Decoding = recogniser.begin(context)
        self._start = start
        self._alternatives: tuple[Alternative, ...] | None = None
        self._tries = 0
        self._tried_at = 0
        self._announced: Heard | None = None

    @property
    def length(self) -> float:
        """Seconds so far."""
        return len(self.pcm) / (2 * RATE)

    def accept(self, pcm: bytes) -> Hint:
        self.pcm += pcm
        return self._decoding.accept(pcm)

    def becomes_remark(self, text: str, begun: Begun) -> None:
        """Where the text so far begins a remark, it stands as sound from the end of that word on, and is not decoded
        any more; where that is too unsure, the decoder begins again and goes on to the end."""
        words = len(text.split())
        if self._tries == TRIES or words <= self._tried_at or not begun(text, self.context):
            return
        self._tries, self._tried_at = self._tries + 1, words
        alternatives = self._decoding.finish()
        if not self._turned(_beginning_alike(alternatives, text), text):
            self._decoding = self._recogniser.begin(self.context)
            self._decoding.accept(bytes(self.pcm))

    def was_remark(self, begun: Begun) -> bool:
        """At a pause that would end a sentence: whether it was the first words of a remark, which now goes on."""
        if self.context is Context.REMARK:
            return False
        self._alternatives = self._decoding.finish()
        remarks = tuple(one for one in self._alternatives if begun(one.text, self.context))
        surely = sum(one.share for one in remarks) >= SURELY_A_REMARK
        return surely and self._turned(remarks, remarks[0].text)

    def _turned(self, remarks: tuple[Alternative, ...], text: str) -> bool:
        if not remarks or not (words := remarks[0].words):
            return False
        first = Alternative(words[0].text, sum(one.share for one in remarks), words[:1])
        self._announced = Heard((first,), self.context, "voice", self._utterance(self._start + words[0].end))
        cut = min(len(self.pcm), 2 * round(max(words[0].end - INTO_THE_WORD, 0.0) * RATE))
        del self.pcm[:cut]
        self._start += cut / (2 * RATE)
        self.context, self._decoding, self._alternatives = Context.REMARK, Unheard(PAUSE, text), None
        self._decoding.accept(bytes(self.pcm))
        return True

    def finish(self, ear: Ear) -> Heard:
        alternatives = self._decoding.finish() if self._alternatives is None else self._alternatives
        if self._announced is not None and not alternatives[0].text:
            return self._announced  # nothing followed the word: what follows now is the remark
        if ear.ending is Ending.SILENCE and ear.silence >= BEGUN_JUST_NOW:
            alternatives = without_begun(alternatives, self.length - BEGUN_JUST_NOW)
        end = self._start + self.length
        speech_end = end - ear.silence
        if ear.ending is Ending.DECODER and ear.silence < BEGUN_JUST_NOW and (words := alternatives[0].words):
            # the energy never fell, so only the words know when the speech was over
            speech_end = min(end, self._start + words[-1].end)
        words = alternatives[0].words
        cut = bool(words) and self._start + words[0].start < self._whole_from
        utterance = replace(self._utterance(speech_end, ear.contrast), cut=cut)
        return Heard(alternatives, self.context, "voice", utterance)

    def _utterance(self, speech_end: float, contrast: float | None = None) -> Utterance:
        return Utterance(bytes(self.pcm), RATE, self._start, speech_end, contrast)


def _beginning_alike(alternatives: tuple[Alternative, ...], text: str) -> tuple[Alternative, ...]:
    """Those with the first word of `text`, where they are sure enough together."""
    alike = tuple(one for one in alternatives if one.text.split()[:1] == text.split()[:1])
    return alike if sum(one.share for one in alike) >= SURELY_A_REMARK else ()
