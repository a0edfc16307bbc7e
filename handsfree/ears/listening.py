"""Listening: blocks of sound in, events out. The one path for microphone, files and stand-ins.

Nothing is decoded while it is quiet. At an onset a decoder begins with the sound of the last moments; at the end the
utterance goes out with all that it may have been. While we speak ourselves (half duplex) or the person wants it so
(mute), sound is read and dropped. `events` runs in one thread; the other methods may be called from any.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import replace

from handsfree.ears.attempt import Attempt
from handsfree.ears.blocks import BLOCK_SECONDS, RATE, Block, Source
from handsfree.ears.clock import StreamClock
from handsfree.ears.endpoint import Ending, Moment, Phase, Timing, fresh, step
from handsfree.ears.level import dbfs
from handsfree.ears.motion import is_steady_tone
from handsfree.ears.other_talk import OtherTalk
from handsfree.ears.prospects import Prospects
from handsfree.ears.recogniser import Hint, Recogniser
from handsfree.nouns import (
    Context,
    EarChanged,
    EarEvent,
    EarState,
    Heard,
    Level,
    Partial,
)

ECHO = 0.05
"""Seconds for which our own voice is still on its way from loudspeaker through air and buffers to here."""
EARCON = 0.4
"""Seconds that no earcon takes: what is begun while the ears are closed for one lacks hardly anything."""
REST = 0.4
"""Seconds from the opening of the ears within which a first word is the rest of a sentence: nobody begins one so
fast ..."""
SOUNDING = 0.2
"""... and where something sounded already when they opened, or at most so long after it, ..."""
REST_GOES_ON = 1.0
"""... within this: the next word after a pause."""
TALKED_OVER = (EarState.LISTENING, EarState.HEARING)
BLOCKS_A_LEVEL = 4
"""A level every 80 ms: more than twelve a second nobody sees."""


class Listener:
    """Turns a source of sound into events."""

    def __init__(
        self,
        source: Source,
        recogniser: Recogniser,
        prospects: Prospects,
        context: Callable[[], Context],
        timing: Timing | None = None,
    ) -> None:
        """`context`: what to listen for, asked at the onset of each utterance."""
        self._source = source
        self._recogniser = recogniser
        self._prospects = prospects
        self._context = context
        self._timing = timing or Timing()
        self._ear = fresh(self._timing)
        self._kept: deque[Block] = deque()
        self._keep = self._timing.pre_roll
        self._attempt: Attempt | None = None
        self._hint = Hint("", False)
        self._clock = StreamClock(source.realtime)
        self._state = EarState.LISTENING
        self._speaking = False
        self._muted = False
        self._opened_at = 0.0
        self._shut = 0.0
        """Seconds for which the ears have been closed."""
        self._opened: float | None = None
        """When the ears opened (or a sound was broken off), if nothing was heard since: seconds since listening
        began."""
        self._talk = OtherTalk()

    # ------------------------------------------------------------ for other threads

    def close_ears(self) -> None:
        """We speak from now on: what is under way and what comes is dropped. Nothing of a file is."""
        self._speaking = self._source.open_air

    def open_ears(self) -> None:
        """We have spoken: sound counts again, from ECHO later on."""
        self._opened_at = time.monotonic() + ECHO
        self._speaking = False

    def mute(self, on: bool) -> None:
        """Listen to nothing until unmuted, because the person wants it so."""
        if not on:
            self._opened_at = time.monotonic()
        self._muted = on

    def close(self) -> None:
        """End `events`."""
        self._source.close()

    @property
    def hearing(self) -> bool:
        """Whether somebody may be in the middle of a sentence: better not to talk now. The words come a third of a
        second after the voice, so any sound that stands out counts; one without words is over after two seconds."""
        return self._attempt is not None

    def ms_since_speech_end(self, heard: Heard) -> float:
        """Milliseconds from the end of its speech until now; of a file that is not played in real time, only the
        time that processing took. 0 for what came by keyboard."""
        return self._clock.ms_since(heard.utterance.speech_end) if heard.utterance else 0.0

    # ------------------------------------------------------------ the one thread that listens

    def events(self) -> Iterator[EarEvent]:
        """Levels, partial texts, what was heard, and changes of state, until the sound ends.

        Raises NoSound where a recording breaks off, NoModel where a model cannot be loaded; a microphone raises
        nothing, it reports EarChanged.
        """
        yield EarChanged(EarState.LISTENING)
        loudness: list[float] = []
        for item in self._source.blocks():
            if isinstance(item, EarChanged):
                yield from self._device(item)
                continue
            self._clock.take(item)
            closed = self._closed(item)
            yield from self._becomes(closed or self._open_state())
            if closed:
                self._forget()
                self._shut += BLOCK_SECONDS
                self._opened = item.end if self._shut > EARCON else self._opened
                continue
            self._shut = 0.0
            level = dbfs(item.pcm)
            loudness.append(level)
            if len(loudness) == BLOCKS_A_LEVEL:
                yield Level(max(loudness))
                loudness.clear()
            yield from self._listen(item, level)
            yield from self._others_talk()
        if self._attempt:
            yield from self._end()

    def _listen(self, block: Block, level: float) -> Iterator[EarEvent]:
        if self._attempt is None:
            self._ear = step(self._ear, Moment(level), self._timing)
            self._keep_for_later(block)
            if self._ear.phase is Phase.SPEECH:
                yield from self._begin()
            return
        before = self._hint.text
        self._hint = self._attempt.accept(block.pcm)
        if self._hint.text != before:
            yield Partial(self._hint.text)
            self._attempt.becomes_remark(self._hint.text, self._prospects.begins_remark)
        moment = self._prospects.moment(level, self._hint, self._attempt.context, self._attempt.length)
        self._ear = step(self._ear, moment, self._timing)
        self._keep_for_later(block)
        if self._ear.phase is Phase.ENDED:
            if self._attempt.was_remark(self._prospects.begins_remark):
                self._ear = replace(self._ear, phase=Phase.SPEECH, ending=None)
            else:
                yield from self._end()

    def _others_talk(self) -> Iterator[EarEvent]:
        """Tells when somebody else's talk begins to be in the way, and when that is over."""
        told = self._talk.told
        context = self._attempt.context if self._attempt else None
        self._talk = self._talk.step(BLOCK_SECONDS, context, self._hint.text)
        if self._talk.told is not told:
            yield EarChanged(self._state, self._talk.message)

    def _begin(self) -> Iterator[EarEvent]:
        context = self._context()
        start = self._kept[0].position / RATE
        self._attempt = Attempt(self._recogniser, context, start, whole_from=self._whole_from())
        self._opened = None
        for block in self._kept:
            self._hint = self._attempt.accept(block.pcm)
        yield from self._becomes(EarState.HEARING)

    def _whole_from(self) -> float:
        if self._opened is None:
            return 0.0
        sounding = self._kept[-1].end - self._opened < SOUNDING
        return self._opened + (REST_GOES_ON if sounding else REST)

    def _end(self) -> Iterator[EarEvent]:
        assert self._attempt is not None
        heard = self._attempt.finish(self._ear)
        ending = self._ear.ending
        self._talk = self._talk.heard(heard.text)
        self._attempt, self._hint = None, Hint("", False)
        self._keep = self._timing.wordless_kept if ending is Ending.WORDLESS else self._timing.pre_roll
        if ending is Ending.LONGEST:
            self._kept.clear()  # or its last words would be heard twice
            self._opened = heard.utterance.end if heard.utterance else None
        yield from self._becomes(EarState.LISTENING)
        # what began at the end of a noise is heard with the next utterance, from its beginning
        if ending is not Ending.WORDLESS and _may_be_speech(heard):
            yield heard

    def _keep_for_later(self, block: Block) -> None:
        self._kept.append(block)
        longest = self._timing.pre_roll + self._timing.onset
        if self._attempt or self._keep > self._timing.pre_roll:
            longest = self._timing.wordless_kept
        while len(self._kept) > longest / BLOCK_SECONDS:
            self._kept.popleft()

    def _closed(self, block: Block) -> EarState | None:
        """Why this block is dropped, if it is. What arrived before the ears opened still holds our own voice."""
        if self._muted:
            return EarState.MUTED
        behind = self._source.realtime and block.arrived < self._opened_at
        return EarState.SPEAKING if self._speaking or behind else None

    def _open_state(self) -> EarState:
        return EarState.HEARING if self._attempt else EarState.LISTENING

    def _device(self, change: EarChanged) -> Iterator[EarEvent]:
        """The device came or went; half an utterance is none."""
        self._forget()
        self._state = change.state
        yield change

    def _forget(self) -> None:
        self._attempt, self._hint = None, Hint("", False)
        self._kept.clear()
        self._ear = replace(fresh(self._timing), recent=self._ear.recent) if self._ear.recent else fresh(self._timing)

    def _becomes(self, state: EarState) -> Iterator[EarEvent]:
        if state is not self._state:
            self._state = state
            yield EarChanged(state, self._talk.message if state in TALKED_OVER else "")


def _may_be_speech(heard: Heard) -> bool:
    """Words in one alternative at least, and a sound that can have been a voice: strings ring all day here."""
    if not any(one.text for one in heard.alternatives):
        return False
    return heard.utterance is None or not is_steady_tone(heard.utterance.pcm)
