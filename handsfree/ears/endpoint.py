"""When does an utterance begin, and when is it over? A pure state machine, one step a block.

Three witnesses are heard. The energy: sound that stands out from the noise, and its absence. The text so far: a
reading that nothing can be added to needs a short silence only, "correction" alone a long one. The decoder: in
steady noise the energy never falls, but the text stops changing and the decoder sees no speech any more.

    QUIET --sound for a moment--> SPEECH --silence as long as the text asks for--> ENDED --> QUIET
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from handsfree.ears.level import QUIETEST
from handsfree.nouns import Completeness


@dataclass(frozen=True, slots=True)
class Timing:
    """All figures of the endpointer; seconds and decibels. Chosen on people reading letters and numbers aloud."""

    block: float = 0.02
    """Seconds a step."""
    pre_roll: float = 0.3
    """Sound before the onset that belongs to the utterance: soft consonants come before the energy."""
    onset: float = 0.06
    """Sound must last this long to be an onset; a click is shorter."""
    closed: float = 0.30
    """Silence after a sentence that nothing can be added to; longer than the stops inside words (up to 0.15)."""
    surely_done: float = 0.35
    """Silence after a sentence that can go on, but hardly ever does."""
    may_go_on: float = 0.95
    """Silence after a sentence that nearly always goes on ("C four"); in between by how likely more is: 0.66 s after
    note and down. At 0.80 one reading in seventeen was cut in two by a pause of half a second before the up
    (tests/endtoend)."""
    may_go_on_in_noise: float = 1.35
    """The same where soft ends and beginnings of words sink into the noise and make pauses look longer: with a fan at
    10 dB 24 of 826 sayings were cut at a pause of half a second, clean and by telephone 8 of 1,020 (development
    speakers)."""
    begun: float = 1.80
    """Silence after the beginning of a sentence ("correction"): somebody is thinking or reading a weight."""
    nothing: float = 0.80
    """Silence after sound in which no sentence was heard: a knock, talk."""
    wordless: float = 2.0
    """Sound going on this long without a word is a noise: ended, and its level learnt as the new floor."""
    wordless_kept: float = 0.7
    """... of which this much belongs to the next utterance too, should words have begun just then."""
    text_lag: float = 0.35
    """How long after a word's end the text shows it (the net looks 0.27 s ahead): text that changed just now means
    speech this long ago, whatever the energy says."""
    contrast: float = 18.0
    """dB between speech and floor below which the energy alone is not believed: soft words sink into the noise."""
    clear: float = 25.0
    """dB between speech and floor from which on words are heard from beginning to end."""
    began: float = 0.6
    """Sound that stands out and has gone on for less than this may be a word that the text does not show yet ..."""
    unchanged: float = 2.5
    """Text unchanged this long ends the utterance whatever the energy and the decoder say."""
    longest: float = 15.0
    """No sentence takes longer ..."""
    longest_count: float = 45.0
    """... but counting does: thirty times to and fro."""
    longest_free: float = 60.0
    """A remark may take this long."""
    margin: float = 6.0
    """dB above the floor that count as sound."""
    window: float = 1.5
    """The floor outside of speech is taken from this long a past."""
    floor_share: float = 0.1
    """... as the level that this share of its blocks stay below."""
    lowest_floor: float = -75.0
    """dBFS; a digital silence is no measure of a room."""
    first_floor: float = -55.0
    """dBFS taken for the floor until the room is known: sound may begin with speech."""
    below_peak: float = 30.0
    """dB below the loudest of the utterance: what is softer is breath or echo, not speech."""
    peak_fall: float = 8.0
    """dB a second that the loudest is forgotten by: words after a blow on the action are much softer than it."""
    speech_window: float = 2.0
    """Within speech the floor rises only to the softest moment of this long a past ..."""
    most_floor: float = 26.0
    """... and never to within this many dB of the utterance's loudest."""


@dataclass(frozen=True, slots=True)
class Moment:
    """One block as the endpointer sees it; all but the level only count within speech."""

    dbfs: float
    text: str = ""
    completeness: Completeness = Completeness.NOTHING
    more: float = 0.5
    """Chance that the sentence goes on."""
    decoder_silent: bool = False
    """The decoder sees no speech at the end (it says so half a second late)."""
    patience: float | None = None
    """Seconds of silence that end a count under way, from its beat; None: no count is under way."""
    free: bool = False
    """Talk of no grammar is wanted: the text says nothing, only a pause ends it."""


class Phase(StrEnum):
    QUIET = "quiet"
    SPEECH = "speech"
    ENDED = "ended"


class Ending(StrEnum):
    """What ended an utterance."""

    SILENCE = "silence"
    DECODER = "decoder"
    """In noise: text unchanged and the decoder silent."""
    WORDLESS = "wordless"
    LONGEST = "longest"


@dataclass(frozen=True, slots=True)
class Ear:
    """The state between two steps."""

    phase: Phase = Phase.QUIET
    recent: tuple[float, ...] = ()
    """Levels of the last blocks, dBFS, oldest first."""
    floor: float = QUIETEST
    """dBFS of what is no speech."""
    loud: float = 0.0
    """Seconds of sound up to now without a gap."""
    silence: float = 0.0
    """Seconds since the last sound that counted."""
    length: float = 0.0
    """Seconds since the onset."""
    peak: float = QUIETEST
    """dBFS of the loudest that lasted, slowly forgotten."""
    contrast: float = 0.0
    """dB that the speech stood out from the floor when it was last heard."""
    text: str = ""
    unchanged: float = 0.0
    """Seconds since the text last changed."""
    ending: Ending | None = None
    """Why it is over, in ENDED."""

    def silent_for(self, timing: Timing) -> float:
        """Seconds without speech, by energy and text."""
        return min(self.silence, self.unchanged + timing.text_lag) if self.text else self.silence


def fresh(timing: Timing) -> Ear:
    """The state before the first block."""
    return Ear(recent=(timing.first_floor,) * _blocks(timing.window / 3, timing))


def step(ear: Ear, moment: Moment, timing: Timing) -> Ear:
    """The state after one more block. ENDED lasts for one step."""
    recent = (*ear.recent, moment.dbfs)[-_blocks(max(timing.window, timing.speech_window), timing) :]
    if ear.phase is Phase.SPEECH:
        return _in_speech(replace(ear, recent=recent), moment, timing)
    floor = _quiet_floor(recent[-_blocks(timing.window, timing) :], timing)
    loud = ear.loud + timing.block if moment.dbfs > floor + timing.margin else 0.0
    quiet = Ear(recent=recent, floor=floor, loud=loud)
    if loud < timing.onset - timing.block / 2:
        return quiet
    return replace(quiet, phase=Phase.SPEECH, length=loud, peak=_lasting(recent, timing))


def wait(moment: Moment, timing: Timing, contrast: float = 99.0) -> float:
    """Seconds of silence that end an utterance whose text so far is the moment's; `contrast`: dB above the noise."""
    if moment.patience is not None and moment.completeness is not Completeness.CLOSED:
        return moment.patience
    match moment.completeness:
        case Completeness.CLOSED:
            return timing.closed
        case Completeness.EXTENDABLE:
            longest = timing.may_go_on if contrast >= timing.clear else timing.may_go_on_in_noise
            return timing.surely_done + moment.more * (longest - timing.surely_done)
        case Completeness.BEGUN:
            return timing.begun
        case Completeness.NOTHING:
            return timing.nothing


def _in_speech(ear: Ear, moment: Moment, timing: Timing) -> Ear:
    peak = max(ear.peak - timing.peak_fall * timing.block, _lasting(ear.recent, timing))
    floor = _speech_floor(ear, peak, timing)
    sounding = moment.dbfs > max(floor + timing.margin, peak - timing.below_peak)
    loud = ear.loud + timing.block if sounding else 0.0
    # a click does not break a silence
    speaking = loud >= timing.onset - timing.block / 2
    same = moment.text == ear.text
    now = replace(
        ear,
        peak=peak,
        floor=floor,
        contrast=peak - floor if speaking else ear.contrast,
        loud=loud,
        silence=0.0 if speaking else ear.silence + timing.block,
        length=ear.length + timing.block,
        text=moment.text,
        unchanged=ear.unchanged + timing.block if same else 0.0,
    )
    ending = _ending(now, moment, timing)
    return replace(now, phase=Phase.ENDED, ending=ending, loud=0.0) if ending else now


def _ending(ear: Ear, moment: Moment, timing: Timing) -> Ending | None:
    if moment.free:
        if ear.silence >= timing.begun - timing.block / 2:
            return Ending.SILENCE
        return Ending.LONGEST if ear.length >= timing.longest_free else None
    enough = wait(moment, timing, ear.contrast)
    believed = ear.contrast >= timing.contrast or not ear.text
    # a word that begins just now is not cut off: its first sound would be heard here, and all of it again afterwards
    if believed and ear.loud == 0 and ear.silent_for(timing) >= enough - timing.block / 2:
        return Ending.SILENCE
    if ear.length >= (timing.longest if moment.patience is None else timing.longest_count):
        return Ending.LONGEST
    if not ear.text:
        return Ending.WORDLESS if ear.length >= timing.wordless else None
    word_under_way = 0 < ear.loud < timing.began
    if moment.decoder_silent and not word_under_way and ear.unchanged >= enough + timing.text_lag:
        return Ending.DECODER
    if ear.unchanged >= timing.unchanged:
        return Ending.DECODER
    return None


def _lasting(recent: tuple[float, ...], timing: Timing) -> float:
    """The level kept up for as long as an onset takes."""
    return min(recent[-_blocks(timing.onset, timing) :])


def _quiet_floor(recent: tuple[float, ...], timing: Timing) -> float:
    ranked = sorted(recent)
    return max(timing.lowest_floor, ranked[int(timing.floor_share * len(ranked))])


def _speech_floor(ear: Ear, peak: float, timing: Timing) -> float:
    """Noise that began after the onset raises the floor, as far as it leaves no gap; speech does not."""
    recent = ear.recent[-_blocks(timing.speech_window, timing) :]
    if ear.length < timing.speech_window or len(recent) < 3:
        return ear.floor
    softest = min(sum(three) / 3 for three in zip(recent, recent[1:], recent[2:], strict=False))
    return max(ear.floor, min(softest, peak - timing.most_floor))


def _blocks(seconds: float, timing: Timing) -> int:
    return max(1, round(seconds / timing.block))
