"""What becomes of one thing said: facts for the journal, a line, a question."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Literal

from handsfree.nouns.meant import Amount, Finding, Noted, Pass, Plan, Quantity, Said


class Doubt(StrEnum):
    """Why the tool asks; the text is what the screen shows."""

    UNSURE = "not sure of what was heard"
    RANGE = "outside what is plausible here"
    UP_ABOVE_DOWN = "up cannot be above down"
    FAR_FROM_BEFORE = "far from the earlier reading of this key"
    NO_PLACE = "no key named yet"
    RHYTHM = "the count and its rhythm do not agree"
    CONTRADICTS = "finding and grade contradict each other"
    GRADED_BEFORE = "it was graded otherwise before"
    OTHER_KIND = "this kind of piano has no such part"
    CUT = "its beginning was not heard"


@dataclass(frozen=True, slots=True)
class Proposal:
    """A value as heard, not yet standing."""

    key: int
    quantity: Quantity
    value: Decimal | None
    """Grams or swings; None: no return."""
    sureness: float
    beat: float | None = None
    """Of swings counted aloud: seconds between two counts."""


@dataclass(frozen=True, slots=True)
class Question:
    proposals: tuple[Proposal, ...]
    """All of one key."""
    why: Doubt
    line: str
    """As spoken: "C five, sixty one down?"."""
    otherwise: tuple[Proposal, ...] = ()
    """What else it may have been: asked next when the answer is no."""


class Standing(StrEnum):
    """How an entry came to be, or what became of it."""

    TAKEN = "taken"
    CONFIRMED = "confirmed"
    CORRECTED = "corrected"
    UNSETTLED = "unsettled"
    """Asked about, not answered: in no figure until settled."""
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True, slots=True)
class Took:
    """A value stands from now on."""

    key: int
    quantity: Quantity
    value: Decimal | None
    """Grams or swings; None: no return."""
    standing: Literal[Standing.TAKEN, Standing.CONFIRMED, Standing.CORRECTED]
    sureness: float
    replaces: int | None = None
    """Number of the Took that no longer stands because of this one."""
    beat: float | None = None
    """Of swings counted aloud: seconds between two counts, from the times of the words."""


@dataclass(frozen=True, slots=True)
class Withdrew:
    """The Took of this number no longer stands."""

    n: int


@dataclass(frozen=True, slots=True)
class Asked:
    question: Question


@dataclass(frozen=True, slots=True)
class Settled:
    """The Asked of this number is answered; what stands because of it is said by Tooks of the same turn."""

    n: int
    how: Literal["yes", "no", "other value", "disregarded"]


@dataclass(frozen=True, slots=True)
class PutOff:
    """The Asked of this number waits: something else came instead of an answer."""

    n: int


@dataclass(frozen=True, slots=True)
class PlanSet:
    plan: Plan


@dataclass(frozen=True, slots=True)
class PassSet:
    """From now on this is taken at each key."""

    doing: Pass


@dataclass(frozen=True, slots=True)
class Went:
    """The current place is this key from now on."""

    key: int


@dataclass(frozen=True, slots=True)
class StoodBy:
    pass


@dataclass(frozen=True, slots=True)
class WentAhead:
    pass


@dataclass(frozen=True, slots=True)
class FindingTook:
    """A finding stands from now on."""

    finding: Finding
    standing: Literal[Standing.TAKEN, Standing.CONFIRMED, Standing.CORRECTED]
    sureness: float
    replaces: int | None = None
    """Number of the FindingTook that no longer stands because of this one."""


@dataclass(frozen=True, slots=True)
class FindingAsked:
    """A finding as heard, not yet standing."""

    finding: Finding
    why: Doubt
    line: str
    """As spoken: "Hammers, grooved, three?"."""
    sureness: float
    otherwise: Finding | None = None
    """What else it may have been: asked next when the answer is no."""
    replaces: int | None = None
    """Number of the FindingTook whose place it takes when the answer is yes."""
    about: Literal["", "part", "finding", "place", "grade"] = ""
    """What alone was not sure, the rest need not be said again; of a grade the finding without it stands. "": all."""
    instead: float = 0.0
    """Sureness of `otherwise`: where little else is left it stands after a no, without a second question."""


@dataclass(frozen=True, slots=True)
class WentTo:
    """The walkthrough is at this part from now on; "": at none."""

    part: str


@dataclass(frozen=True, slots=True)
class Led:
    on: bool


@dataclass(frozen=True, slots=True)
class RemarkAwaited:
    on: bool = True
    """False: none is any more."""


@dataclass(frozen=True, slots=True)
class RemarkKept:
    """A remark stands; spoken, its sound is the clip of this fact."""

    part: str
    item: int | None
    """Number of the FindingTook that it belongs to; None: to the part, or to the whole instrument."""
    text: str = ""


@dataclass(frozen=True, slots=True)
class RemarkTyped:
    """The words of a spoken remark, written down later."""

    n: int
    """Number of its RemarkKept."""
    text: str
    by: Literal["keyboard", "machine"]


@dataclass(frozen=True, slots=True)
class RemarkPlaced:
    """A remark belongs elsewhere than to what was said just before it."""

    n: int
    """Number of its RemarkKept."""
    part: str
    """ "": the whole instrument."""
    item: int | None
    """Number of the FindingTook that it belongs to; None: to the part, or to the whole instrument."""


Fact = Took | Withdrew | Asked | Settled | PutOff | PlanSet | PassSet | Went | StoodBy | WentAhead | (
    FindingTook | FindingAsked | WentTo | Led | RemarkAwaited | RemarkKept | RemarkTyped | RemarkPlaced | Noted
)


class Outcome(StrEnum):
    """What became of one thing said. Moves and plan words that were followed are `taken`."""

    TAKEN = "taken"
    ASKED = "asked"
    CONFIRMED = "confirmed"
    CORRECTED = "corrected"
    WITHDRAWN = "withdrawn"
    UNSETTLED = "unsettled"
    IGNORED = "ignored"


class Earcon(StrEnum):
    """Short sounds; speech is never needed to know what happened."""

    ACCEPTED = "accepted"
    QUESTION = "question"
    WITHDRAWN = "withdrawn"
    REFUSED = "refused"


class Speech(StrEnum):
    """Why a line is spoken; a setting decides which kinds are voiced."""

    QUESTION = "question"
    REPLY = "reply"
    """To something the person asked for ("say again", "read back"), or a refusal that must be heard."""
    READ_BACK = "read back"
    """A repetition of what was taken."""


@dataclass(frozen=True, slots=True)
class Turn:
    """The whole effect of one thing said."""

    outcome: Outcome
    facts: tuple[Fact, ...] = ()
    line: str = ""
    """What to say, numbers as words; "" = nothing."""
    speech: Speech = Speech.READ_BACK
    earcon: Earcon | None = None
    key: int | None = None
    """The key that it was about."""
    amounts: tuple[Amount, ...] = ()
    """The values that it was about, quantities resolved."""
    said: Said | None = None
    """The meaning that was acted on."""
    why: str = ""
    """For the screen and the log: the reason for a question, a refusal or for ignoring."""
    finding: Finding | None = None
    """What a turn of the walkthrough was about."""
