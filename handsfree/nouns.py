"""Every type that crosses a room, in the order in which the data meets them. Read this first.

    sound --ears--> Heard --words--> Said --judgement--> Turn(facts, line) --journal--> Kept --fold--> Sheet
                                                                  |                                    |
                                                                voice                    screen, reckoning, reports

Rooms know these nouns, not each other; `session.py` is where they meet. All are frozen: what has happened does
not change, a correction is a new fact that names the older one by its number.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from typing import Literal

LOWEST_KEY = 1
"""A0."""
HIGHEST_KEY = 88
"""C8."""

# ---------------------------------------------------------------- what is listened for


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


# ---------------------------------------------------------------- what was heard


@dataclass(frozen=True, slots=True)
class Word:
    text: str
    start: float
    """Seconds from the start of the utterance."""
    end: float
    """Seconds from the start of the utterance."""
    sureness: float
    """0..1."""


@dataclass(frozen=True, slots=True)
class Alternative:
    """One way the recogniser may have heard an utterance."""

    text: str
    """Lower-case words; "" when nothing of the language was heard; "[unk]" marks other talk."""
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

# ---------------------------------------------------------------- what it means


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
    """Degrees Celsius, as said."""
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

# ---------------------------------------------------------------- what is decided


class Doubt(StrEnum):
    """Why the tool asks; the text is what the screen shows."""

    UNSURE = "not sure of what was heard"
    RANGE = "outside what is plausible here"
    UP_ABOVE_DOWN = "up cannot be above down"
    FAR_FROM_BEFORE = "far from the earlier reading of this key"
    NO_PLACE = "no key named yet"
    RHYTHM = "the count and its rhythm do not agree"


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
    why: str
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


# ---------------------------------------------------------------- what stands


@dataclass(frozen=True, slots=True)
class Sitting:
    """One stretch of work at one instrument; facts belong to one."""

    id: int
    instrument: str
    """As the technician calls it; "" = not named."""
    opened_at: str
    """RFC 3339 with offset."""
    app: str
    """Version of handsfree that opened it."""
    model: str
    """Name and checksum of the recogniser's model, "" = none."""
    settings: Mapping[str, str] = field(default_factory=dict)
    """How it was measured (weight step, what counts as a swing ...), as text, as it was at the opening."""


@dataclass(frozen=True, slots=True)
class Kept:
    """One fact in the journal."""

    n: int
    """Its number, from 1, never used again."""
    at: str
    """RFC 3339 with offset."""
    heard_n: int | None
    """Number of the heard line that it came from."""
    heard_text: str
    """The words heard, "" for facts nobody said."""
    clip: str | None
    """File name of the audio beside the journal."""
    fact: Fact


@dataclass(frozen=True, slots=True)
class Entry:
    """One value in the table, with where it came from."""

    n: int
    """Number of its Took (or of its Asked while unsettled)."""
    key: int
    quantity: Quantity
    value: Decimal | None
    standing: Standing
    sureness: float
    heard_text: str
    at: str
    clip: str | None
    heard_n: int | None
    came_as: Standing = Standing.TAKEN
    """How it came to be, whatever became of it since."""
    replaces: int | None = None
    """Number of the entry that stopped standing because of this one."""
    beat: float | None = None
    """Of swings counted aloud: seconds between two counts."""


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    n: int
    """Number of its Asked."""
    question: Question
    put_off: bool
    """True: it waits for the end of the pass; False: it is being asked now."""
    times: int = 1
    """How often it has been asked since it last came up."""
    came_back: bool = False
    """It was put off and is asked again: the plan does not move because of its answer."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """The fold of all facts: never stored, never edited."""

    entries: tuple[Entry, ...] = ()
    """Everything ever taken or asked, oldest first; look at `standing`."""
    standing: Mapping[tuple[int, Quantity], Entry] = field(default_factory=dict)
    """What stands now (taken, confirmed or corrected), by place."""
    questions: tuple[OpenQuestion, ...] = ()
    """Open ones, oldest first."""
    plan: Plan = field(default_factory=lambda: Plan("none", ()))
    place: int | None = None
    """The current key."""
    standing_by: bool = False
    last_n: int = 0
    """Number of the last fact folded."""
    doing: Pass = Pass.TOUCH
    """What is taken at each key now."""

    @property
    def asking(self) -> OpenQuestion | None:
        """The question that waits for an answer now, if any."""
        return next((q for q in self.questions if not q.put_off), None)

    def beats(self) -> dict[int, float]:
        """Key -> seconds between two counts, of the standing swings that were counted aloud."""
        return {k: e.beat for (k, q), e in self.standing.items() if q is Quantity.SWINGS and e.beat is not None}

    def column(self, quantity: Quantity) -> dict[int, Decimal]:
        """Key -> standing value; keys that do not return at all are left out (see `no_return`)."""
        return {
            k: e.value for (k, q), e in self.standing.items() if q is quantity and e.value is not None
        }

    def measured_before(self, entry: Entry) -> Entry | None:
        """The earlier measurement of the same place that `entry` took over from; values that a correction called
        wrong are none."""
        by_n = {e.n: e for e in self.entries}
        while entry.replaces in by_n:
            replaced, wrong = by_n[entry.replaces], entry.came_as is Standing.CORRECTED
            if not wrong:
                return replaced
            entry = replaced
        return None

    def repeats(self) -> tuple[tuple[Entry, Entry], ...]:
        """Pairs (earlier, later) of places measured again with nothing to ask about: what repeatability is read
        from. A reading said again before its key was complete is no second measurement."""
        pairs: list[tuple[Entry, Entry]] = []
        for later in self.standing.values():
            while later.came_as is not Standing.CONFIRMED and (earlier := self.measured_before(later)):
                if self._was_complete(self._as_first_said(later)):
                    pairs.append((earlier, later))
                later = earlier
        return tuple(pairs)

    def repeats_confirmed(self) -> tuple[Entry, ...]:
        """Values measured again, asked about and confirmed: the key may have changed, so `repeats` leaves them out;
        what is left then looks closer together than it is."""
        found = (e for e in self.standing.values() if e.came_as is Standing.CONFIRMED and self.measured_before(e))
        return tuple(e for e in found if self._was_complete(e))

    def _as_first_said(self, entry: Entry) -> Entry:
        """The reading that a correction put right: that was the measurement."""
        by_n = {e.n: e for e in self.entries}
        while entry.came_as is Standing.CORRECTED and entry.replaces in by_n:
            entry = by_n[entry.replaces]
        return entry

    def _was_complete(self, later: Entry) -> bool:
        """Whether the key had been measured, as far as its pass ever did, before the reading that `later` is of."""
        counted = later.quantity is Quantity.SWINGS
        taken = [
            e
            for e in self.entries
            if e.key == later.key
            and (e.quantity is Quantity.SWINGS) is counted
            and e.came_as is not Standing.UNSETTLED
        ]
        said = min((e.n for e in taken if e.heard_n == later.heard_n), default=later.n)
        return {e.quantity for e in taken} == {e.quantity for e in taken if e.n < said}

    def no_return(self) -> frozenset[int]:
        """Keys that lift no weight."""
        return frozenset(k for (k, q), e in self.standing.items() if q is Quantity.UP and e.value is None)


@dataclass(frozen=True, slots=True)
class Item:
    """One finding of the walkthrough, with where it came from."""

    n: int
    """Number of its FindingTook (or of its FindingAsked while unsettled)."""
    finding: Finding
    standing: Standing
    sureness: float
    heard_text: str
    at: str
    clip: str | None
    replaces: int | None = None
    came_as: Standing = Standing.TAKEN
    """How it came to be, whatever became of it since."""

    @property
    def stands(self) -> bool:
        return self.standing in (Standing.TAKEN, Standing.CONFIRMED, Standing.CORRECTED)


@dataclass(frozen=True, slots=True)
class OpenFinding:
    n: int
    """Number of its FindingAsked."""
    asked: FindingAsked
    put_off: bool
    times: int = 1


@dataclass(frozen=True, slots=True)
class Remark:
    """Something said at length about an item, a part or the instrument."""

    n: int
    part: str
    item: int | None
    at: str
    clip: str | None
    text: str = ""
    by: Literal["", "keyboard", "machine"] = ""
    """Who wrote the text down."""
    withdrawn: bool = False


@dataclass(frozen=True, slots=True)
class Walk:
    """The fold of a walkthrough's facts: never stored, never edited."""

    items: tuple[Item, ...] = ()
    """Everything ever taken or asked, oldest first; look at `standing`."""
    questions: tuple[OpenFinding, ...] = ()
    remarks: tuple[Remark, ...] = ()
    """All ever kept, oldest first."""
    noted: Mapping[Circumstance, str] = field(default_factory=dict)
    part: str = ""
    """Where the walkthrough is."""
    led: bool = False
    awaiting_remark: bool = False
    standing_by: bool = False
    last_n: int = 0

    @property
    def asking(self) -> OpenFinding | None:
        return next((q for q in self.questions if not q.put_off), None)

    @property
    def stands(self) -> tuple[Item, ...]:
        return tuple(i for i in self.items if i.stands)

    def of(self, part: str) -> tuple[Item, ...]:
        """What stands of a part, oldest first."""
        return tuple(i for i in self.stands if i.finding.part == part)

    def graded_before(self, n: int) -> Item | None:
        """What stands again when the item of this number is withdrawn: the grade that it took over from. What a
        correction called wrong never does."""
        by_n = {i.n: i for i in self.items}
        older = by_n.get(by_n[n].replaces or 0) if n in by_n and by_n[n].came_as is not Standing.CORRECTED else None
        return older if older is not None and older.finding.grade else None

    def looked_at(self, part: str) -> bool:
        """Whether anything but "not looked at" stands of it."""
        return any(i.finding.grade != 0 for i in self.of(part))


def number_noted(noted: Mapping[Circumstance, str], what: Circumstance) -> Decimal | None:
    """A temperature or humidity as it was said, None where nothing was."""
    return Decimal(noted[what]) if what in noted else None


def walk_context_of(walk: Walk) -> Context:
    """What to listen for next in the walkthrough."""
    if walk.standing_by:
        return Context.STANDING_BY
    if walk.awaiting_remark:
        return Context.REMARK
    return Context.WALK_ANSWER if walk.asking else Context.WALKTHROUGH


def context_of(sheet: Sheet) -> Context:
    """What to listen for next: the words of the pass, and answers where one of its questions is open."""
    if sheet.standing_by:
        return Context.STANDING_BY
    if sheet.asking:
        counted = all(p.quantity is Quantity.SWINGS for p in sheet.asking.question.proposals)
        return Context.SWINGS_ANSWER if counted else Context.ANSWER
    return Context.SWINGS if sheet.doing is Pass.SWINGS else Context.TOUCH
