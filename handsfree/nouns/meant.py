"""What a sentence means: everything that can be said, and what cannot be told apart."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Literal


class Quantity(StrEnum):
    DOWN = "down"
    """Grams that just sink the key."""
    UP = "up"
    """Grams that the returning key just lifts."""
    SWINGS = "swings"
    """Swings of a hammer let fall."""


@dataclass(frozen=True, slots=True)
class Amount:
    """One value as said."""

    quantity: Quantity | None
    """None: a bare number whose meaning the place decides (down, or up where only the up is missing)."""
    value: Decimal | None
    """Grams (or swings), exactly as said. None: "no return" (the key lifts no weight at all)."""


class Pass(StrEnum):
    """What is taken at each key; both passes of a sitting meet in one table."""

    TOUCH = "touch"
    """The weights of the key."""
    SWINGS = "swings"
    """The swings of the hammer, counted aloud."""
    WALKTHROUGH = "walkthrough"
    """No key: what is seen, part by part."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The keys to go through, in order."""

    name: str
    """As shown and said: "every key", "naturals", "each C and F, down the compass" ..."""
    keys: tuple[int, ...]
    """Key numbers 1..88 in the order to be taken; empty = no plan."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A note and its weights, or weights alone for the current place."""

    key: int | None
    """1..88, None: where the plan is."""
    amounts: tuple[Amount, ...]
    unclear: bool = False
    """A note that was not understood was said just before it, or something that may have been one."""
    scattered: bool = False
    """Its words do not hang together as one person says them: somebody else's may be among them."""


@dataclass(frozen=True, slots=True)
class GoTo:
    """A note alone."""

    key: int


@dataclass(frozen=True, slots=True)
class Move:
    way: Literal["next", "back", "skip"]


@dataclass(frozen=True, slots=True)
class Same:
    """The same values as the key before."""

    key: int | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    yes: bool


@dataclass(frozen=True, slots=True)
class Correction:
    """The last value was wrong, this is the right one."""

    key: int | None
    amounts: tuple[Amount, ...]


@dataclass(frozen=True, slots=True)
class Disregard:
    """Withdraw the last reading."""


@dataclass(frozen=True, slots=True)
class SayAgain:
    pass


@dataclass(frozen=True, slots=True)
class ReadBack:
    key: int | None = None


@dataclass(frozen=True, slots=True)
class StandBy:
    pass


@dataclass(frozen=True, slots=True)
class GoAhead:
    pass


@dataclass(frozen=True, slots=True)
class PlanWanted:
    plan: Plan
    named: bool = False
    """Said with the word "plan", as it must be once a plan is under way: keys are also spoken of among people."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What is seen of a part; "" and None: not said, the place in the walkthrough decides."""

    part: str = ""
    """By the name that words/parts.py gives it."""
    finding: str = ""
    place: str = ""
    grade: int | None = None
    """0 not looked at, 1 good, 2 light wear, 3 worn, 4 failing, 5 unsafe; None: not graded."""


@dataclass(frozen=True, slots=True)
class FindingCorrected:
    """The last finding was wrong, this is right; what is not said stays."""

    finding: Finding


@dataclass(frozen=True, slots=True)
class PartNamed:
    """A part alone: what follows is about it."""

    part: str


@dataclass(frozen=True, slots=True)
class ReadPart:
    """ "read back" in the walkthrough; "": the part that it is at."""

    part: str = ""


@dataclass(frozen=True, slots=True)
class LeadMe:
    """Ask part by part, or stop that."""

    on: bool = True


@dataclass(frozen=True, slots=True)
class RemarkBegun:
    """What is said next, until a pause, is a remark."""


@dataclass(frozen=True, slots=True)
class RemarkSaid:
    text: str = ""
    """As typed; "" of a spoken one, which stands as sound."""


class Circumstance(StrEnum):
    """What is noted of a sitting: where and when."""

    INSTRUMENT = "instrument"
    KIND = "kind"
    """ "grand" or "upright"."""
    PLACE = "place"
    TEMPERATURE = "temperature"
    """As said: "21" or "21 °C", degrees Celsius; "70 °F" (see `number_noted`)."""
    HUMIDITY = "humidity"
    """Per cent relative humidity, as said."""
    HISTORY = "humidity history"
    HAMMERS = "hammer weights"
    """Hammers weighed, and where: "A0 11 g 135 mm, C8 6.5 g 130 mm"; torque is worked out from them."""
    RATIO = "action ratio"
    """Hammer travel over key travel, as typed."""


@dataclass(frozen=True, slots=True)
class Noted:
    """A circumstance of the sitting, as said or typed; a fact, too."""

    what: Circumstance
    value: str


@dataclass(frozen=True, slots=True)
class PassWanted:
    wanted: Pass


@dataclass(frozen=True, slots=True)
class NewSitting:
    """The next sitting at this instrument, such as after a treatment."""


@dataclass(frozen=True, slots=True)
class Counted:
    """Swings counted aloud, one number a swing; a total said at once is a Reading."""

    key: int | None
    """1..88, None: where the plan is."""
    numbers: tuple[int, ...]
    """As said, from where the count began for the last time; () = it was to begin again, and nothing came yet."""
    half: bool = False
    """ "... and a half" at the end."""
    again: bool = False
    """It began with "again": what was counted just before it in this breath is dropped."""
    after: bool = False
    """ "again" was the first word: the count before may have been another utterance, of this key or the last."""
    then: int | None = None
    """The note that was named right after it: the count is over, this key is next."""
    times: tuple[float, ...] = ()
    """When each number began, seconds from the start of the utterance; () = not known (typed)."""
    unclear: bool = False
    """A note that was not understood was said just before it."""
    joins: bool = False
    """It goes on from the count just taken, which closed too early: the numbers of that one are here, too."""
    unheard: tuple[float, ...] = ()
    """When sounds after the last word began that may have been words, though none was heard: seconds from the start
    of the utterance. The last word itself is among them where something sounded just before it: it may have been the
    octave of a note whose letter was not heard."""
    octave: tuple[int, float] | None = None
    """The octave of `then` and when it was said, where it may be a number of the count: "five six, d seven"."""
    drawn: bool = False
    """ "and a half" took longer than anybody takes to say it: talk was heard so."""


@dataclass(frozen=True, slots=True)
class OffKeyboard:
    """A well-formed note that no piano of 88 keys has."""

    name: str


@dataclass(frozen=True, slots=True)
class Puzzle:
    """What is no sentence; never a guess. Empty text: silence."""

    text: str
    why: str


@dataclass(frozen=True, slots=True)
class InOneBreath:
    """Several keys' counts or totals without a pause between them; each note after the first begins a part."""

    parts: tuple[Said, ...]
    """Two or more: Reading, Counted, or a note alone at the end."""


Said = (
    Reading
    | GoTo
    | Move
    | Same
    | Answer
    | Correction
    | Disregard
    | SayAgain
    | ReadBack
    | StandBy
    | GoAhead
    | PlanWanted
    | PassWanted
    | NewSitting
    | Counted
    | InOneBreath
    | Finding
    | FindingCorrected
    | PartNamed
    | ReadPart
    | LeadMe
    | RemarkBegun
    | RemarkSaid
    | Noted
    | OffKeyboard
    | Puzzle
)
