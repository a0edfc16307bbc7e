"""What stands: the folds of the journal's facts, the sheet of the keys and the walkthrough."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from handsfree.nouns.decided import Fact, FindingAsked, Question, Standing
from handsfree.nouns.heard import Context
from handsfree.nouns.meant import Circumstance, Finding, Pass, Plan, Quantity


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
    heard_n: int | None = None
    """Number of the heard line that it came from."""

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
    went: tuple[tuple[str, str], ...] = ()
    """When it went to which part ("" = to none), oldest first."""
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


def asks_kind(walk: Walk) -> bool:
    """Whether it leads and waits to be told which kind of piano it is: "Grand or upright?"."""
    return walk.led and not walk.part and Circumstance.KIND not in walk.noted


_DEGREES = re.compile(r"(?P<number>\S+?)(?: °(?P<unit>[CF]))?")
_UNITS = {Circumstance.TEMPERATURE: " °C", Circumstance.HUMIDITY: " %"}


def number_noted(noted: Mapping[Circumstance, str], what: Circumstance) -> Decimal | None:
    """A temperature (degrees Celsius, whatever it was said in) or a humidity, None where nothing was."""
    if what not in noted:
        return None
    number, unit = _degrees(noted[what])
    if unit != "F":
        return number
    return ((number - 32) * 5 / 9).quantize(Decimal("0.1"))


_STRETCH = re.compile(r"from (\d+(?:\.\d+)?) to (\d+(?:\.\d+)?) %")


def humidities_noted(history: str) -> tuple[Decimal, Decimal] | None:
    """Per cent, of a history of humidity as it is noted when it was said ("from 30 to 65 %"); None for what was
    written freely, which is nobody's to work with."""
    found = _STRETCH.fullmatch(history)
    return (Decimal(found[1]), Decimal(found[2])) if found else None


def in_fahrenheit(noted: Mapping[Circumstance, str]) -> bool:
    """Whether the temperature was said so: then what is worked out from it is said so, too."""
    return Circumstance.TEMPERATURE in noted and _degrees(noted[Circumstance.TEMPERATURE])[1] == "F"


def noted_words(what: Circumstance, value: str) -> str:
    """What was noted with its unit, as it was said: "45 %", "21 °C", "70 °F (21.1 °C)"."""
    if what is not Circumstance.TEMPERATURE or _degrees(value)[1] == "":
        return f"{value}{_UNITS.get(what, '')}"
    return value if value.endswith("C") else f"{value} ({number_noted({what: value}, what)} °C)"


def _degrees(value: str) -> tuple[Decimal, str]:
    """The number and "C", "F" or, where no unit was said, ""."""
    found = _DEGREES.fullmatch(value)
    assert found is not None
    return Decimal(found["number"]), found["unit"] or ""


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
