"""What is listened for, and what was heard: from sound to the recogniser's words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

LOWEST_KEY = 1
"""A0."""
HIGHEST_KEY = 88
"""C8."""


class Context(StrEnum):
    """Which sentences make sense now; each has its own strict grammar."""

    TOUCH = "touch"
    ANSWER = "answer"
    """A question is open: yes, no, or anything that TOUCH takes."""
    STANDING_BY = "standing by"
    """Only "go ahead" is listened for."""
    SWINGS = "swings"
    SWINGS_ANSWER = "swings answer"
    """A question about a count is open: yes, no, or anything that SWINGS takes."""
    WALKTHROUGH = "walkthrough"
    WALK_ANSWER = "walkthrough answer"
    """A question about a finding is open: yes, no, or anything that WALKTHROUGH takes."""
    REMARK = "remark"
    """A remark was announced: everything until the pause belongs to it."""


COUNTING = (Context.SWINGS, Context.SWINGS_ANSWER)
"""Where numbers may be a count under way."""
WALKING = (Context.WALKTHROUGH, Context.WALK_ANSWER, Context.REMARK)
"""Those of the walkthrough."""


class Completeness(StrEnum):
    """What the grammar says of a partial sentence; the endpointer waits accordingly."""

    NOTHING = "nothing"
    """Empty, or no beginning of a sentence."""
    BEGUN = "begun"
    """The beginning of a sentence, not one yet: "C four fifty two and a"."""
    EXTENDABLE = "extendable"
    """A sentence that can go on: "C four fifty two"."""
    CLOSED = "closed"
    """A sentence that nothing useful can be added to."""


@dataclass(frozen=True, slots=True)
class Arc:
    """One arc of a word automaton."""

    source: int
    target: int
    word: str
    """Lower case; "" is an epsilon."""
    cost: float
    """-ln of the arc's probability, >= 0."""


@dataclass(frozen=True, slots=True)
class Automaton:
    """A weighted, acyclic finite-state grammar of one context: made by words, compiled by ears."""

    start: int
    arcs: tuple[Arc, ...]
    finals: Mapping[int, float]
    """State -> cost of ending there."""


@dataclass(frozen=True, slots=True)
class Word:
    text: str
    start: float
    """Seconds from the start of the utterance."""
    end: float
    """Seconds from the start of the utterance."""
    sureness: float
    """0..1."""


OTHER_TALK = "[unk]"
"""A word of an alternative's text: something was said there that is not of the language."""


@dataclass(frozen=True, slots=True)
class Alternative:
    """One way the recogniser may have heard an utterance."""

    text: str
    """Lower-case words; "" when nothing of the language was heard; OTHER_TALK among them."""
    share: float
    """Probability among the alternatives, 0..1; they add up to 1."""
    words: tuple[Word, ...] = ()


@dataclass(frozen=True, slots=True)
class Utterance:
    """One stretch of sound between silences, as the recogniser got it."""

    pcm: bytes
    """16-bit little-endian mono."""
    rate: int
    """Hertz."""
    start: float
    """Seconds since listening began."""
    speech_end: float
    """Seconds since listening began: the end of the last sound of speech, before the silence that closed it."""
    contrast: float | None = None
    """Decibels by which the speech stood out from the sound around it; None: not known."""
    cut: bool = False
    """Its first word came so soon after the ears opened that what was said before is lost."""

    @property
    def end(self) -> float:
        """Seconds since listening began: of all its sound, with the silence that closed it."""
        return max(self.speech_end, self.start + len(self.pcm) / (2 * self.rate))


@dataclass(frozen=True, slots=True)
class Heard:
    """The recogniser's words unaltered, best first; never empty (a silence has one alternative with text "")."""

    alternatives: tuple[Alternative, ...]
    context: Context
    via: Literal["voice", "keyboard"] = "voice"
    utterance: Utterance | None = None

    @property
    def text(self) -> str:
        return self.alternatives[0].text

    @property
    def sureness(self) -> float:
        return self.alternatives[0].share


class EarState(StrEnum):
    """The state of listening, in words that the screen shows as they are."""

    LISTENING = "listening"
    HEARING = "hearing"
    """Speech is under way."""
    SPEAKING = "speaking"
    """The tool speaks: ears closed (half duplex)."""
    MUTED = "muted"
    NO_MICROPHONE = "no microphone"
    """Keyboard only; listening resumes by itself when a device is back."""


@dataclass(frozen=True, slots=True)
class Level:
    dbfs: float
    """Root mean square of the last block, decibels below full scale (-96..0)."""


@dataclass(frozen=True, slots=True)
class Partial:
    """What the utterance under way sounds like so far."""

    text: str
    words: tuple[Word, ...] = ()


@dataclass(frozen=True, slots=True)
class EarChanged:
    state: EarState
    message: str = ""
    """One line for the person, when something is wrong: what, and what to do."""


EarEvent = Level | Partial | EarChanged | Heard
