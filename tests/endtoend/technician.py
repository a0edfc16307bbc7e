"""A technician at work: says the readings, answers what the tool asks, says again what it did not take.

Drives the objects that `handsfree listen` joins (Listener, Session) and writes down what became of each reading.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass, field
from typing import Any

import numpy as np
from people import RATE, Person, Wave
from scripts import Said, plan_of, script
from workshop import Condition, Workshop, bed_of

from handsfree.hearing import Hearing
from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.limits import Limits
from handsfree.nouns import Completeness, Context, Heard, Outcome, Question, Standing, Took, Turn
from handsfree.reckoning.compass import note_name
from handsfree.session import Session
from handsfree.words.grammar import completeness
from handsfree.words.plans import plan_named

PATIENCE = 2.6
"""Seconds that a technician waits for the tool to say something."""
APART = (0.12, 0.45)
"""Seconds between note, down and up of one reading."""


@dataclass(slots=True)
class Attempt:
    """What became of one reading when it was said for the first time."""

    speaker: str
    condition: str
    planned: bool
    said: str
    outcome: str = ""
    """right, needless (asked, the value was right), caught (asked, the value was wrong), wrong value, wrong key, part
    (a value is missing), lost."""
    good_in_the_end: bool = False
    """By voice: after answers and, where nothing came of it, one repetition."""
    early: int = 0
    """Utterances that were closed before the words were over."""
    closing_ms: list[tuple[str, float]] = field(default_factory=list)
    """(completeness, milliseconds from the last word to the moment when it was closed), of what was taken at once."""
    kept_ms: list[float] = field(default_factory=list)
    """As the tool tells it: end of speech to kept."""
    log: list[str] = field(default_factory=list)
    took: list[tuple[float, float, bool]] = field(default_factory=list)
    """Contrast in decibels, sureness, and whether it was right: of each value taken at once."""
    heard: list[list[tuple[str, float]]] = field(default_factory=list)
    """Alternatives with their shares, of each utterance of the first saying."""


class Technician:
    """One sitting."""

    def __init__(
        self, ears: Hearing, person: Person, condition: Condition, planned: bool, seed: int, *,
        count: int = 12, talk: list[Wave] | None = None, answers: bool = True, realtime: bool = False,
    ) -> None:  # fmt: skip
        """`answers`: False plays a recording, which answers nothing."""
        self._rng = np.random.default_rng([seed, planned, *person.speaker.encode()])
        self._person = person
        self._condition = condition
        self._answers = answers
        self._planned = planned
        self.readings = script(person, count, planned, self._rng)
        self.session = Session(MemoryJournal(), Limits())
        if planned and self.readings:
            plan = plan_named(plan_of(self.readings))
            assert plan is not None
            self.session.set_plan(plan)
        self.attempts: list[Attempt] = []
        self._turns: list[tuple[Heard, Turn, float, float]] = []
        self._first: list[tuple[Heard, Turn, float, float]] = []
        """The turns of the first saying."""
        power = person.power
        gain = 1.0 if condition.level is None else 32767 * 10 ** (condition.level / 20) / np.sqrt(power)
        bed = bed_of(condition, power, talk or [], self._rng)
        self._workshop = Workshop(self._sitting(), condition, bed, gain, realtime=realtime)
        self._listener = ears.listener(self._workshop, lambda: self.session.context)

    def work(self) -> list[Attempt]:
        """All of the sitting."""
        if not self.readings:
            return []
        for event in self._listener.events():
            if isinstance(event, Heard):
                turn = self.session.hear(event)
                ms = self._listener.ms_since_speech_end(event)
                self._turns.append((event, turn, self._workshop.position / RATE, ms))
        return self.attempts

    # ------------------------------------------------------------ what is said, as it goes

    def _sitting(self) -> Iterator[Wave]:
        yield self._quiet(1.0)
        for number, said in enumerate(self.readings):
            yield from self._reading(said)
            yield self._quiet(self._rng.uniform(0.2, 1.5))
            if self._answers:
                self._make_good(said, self.readings[number + 1 :])

    def _reading(self, said: Said) -> Iterator[Wave]:
        attempt = Attempt(
            self._person.speaker, self._condition.name, self._planned,
            " | ".join(" ".join(w for g in part for w in g) for part in said.parts),
        )  # fmt: skip
        self.attempts.append(attempt)
        first: list[Turn] = []
        self._first = []
        questions: list[Question] = []
        for part in said.parts:
            turns = yield from self._utter(part, attempt)
            first += turns
            self._first += self._turns
            asking = self.session.sheet.asking
            if asking and not asking.put_off:
                questions.append(asking.question)
                if self._answers:
                    yield from self._dialogue(said, attempt)
        attempt.outcome = self._outcome(said, first, questions)
        attempt.took = [one for heard, turn, *_ in self._first for one in self._took(said, heard, turn)]
        if self._answers and attempt.outcome in ("lost", "part"):
            missing = [q for q in ("down", "up") if not self._stands(said, q)]
            part = said.parts[0] if missing == ["down", "up"] and not said.in_parts else []
            parts = [part] if part else said.parts if len(missing) == 2 else [[said.up_words]]
            for words in parts:
                yield from self._utter(words, attempt, again=True)
                if self.session.sheet.asking:
                    yield from self._dialogue(said, attempt)
        attempt.good_in_the_end = self._stands(said, "down") and self._stands(said, "up")

    def _utter(self, groups: list[tuple[str, ...]], attempt: Attempt, again: bool = False) -> Iterator[Wave]:
        """Says it and waits for the tool; -> the turns that came of it."""
        self._turns.clear()
        yield self._person.says(groups, self._rng, APART)
        over = self._workshop_end()
        waited = 0.0
        while waited < PATIENCE and not self._settled(over):
            yield self._quiet(0.1)
            waited += 0.1
        yield self._quiet(self._rng.uniform(0.9, 1.4))
        for heard, turn, at, ms in self._turns:
            early = at < over - 0.1
            attempt.early += early and not again
            if not again:
                attempt.heard.append([(a.text, a.share) for a in heard.alternatives])
            if not early and turn.outcome is Outcome.TAKEN:
                attempt.closing_ms.append((self._class(heard), 1000 * (at - over)))
                attempt.kept_ms.append(ms)
            attempt.log.append(self._line(heard, turn))
        return [turn for _, turn, _, _ in self._turns]

    def _workshop_end(self) -> float:
        """Seconds of sound given when the words are over (a block may still be under way)."""
        return self._workshop.position / RATE - 0.04

    def _settled(self, over: float) -> bool:
        return any(at > over for _, _, at, _ in self._turns)

    def _dialogue(self, said: Said, attempt: Attempt) -> Iterator[Wave]:
        """Answers, as long as there is a question about this reading, three times at the most."""
        for _ in range(3):
            asking = self.session.sheet.asking
            if asking is None:
                return
            proposals = asking.question.proposals
            if any(p.key != said.key for p in proposals):
                yield from self._answer("no", attempt)
                asking = self.session.sheet.asking
                if asking is None:
                    whole = [said.note, said.down_words, said.up_words] if said.note else said.parts[0]
                    yield from self._utter(whole, attempt, again=True)
            elif all(p.value == said.truth(p.quantity) for p in proposals):
                yield from self._answer("yes", attempt)
            else:
                yield from self._utter([said.words_for(p.quantity) for p in proposals], attempt, again=True)

    def _answer(self, word: str, attempt: Attempt) -> Iterator[Wave]:
        """By voice where the person ever said the word, else by keyboard."""
        if word in self._person.words:
            yield from self._utter([(word,)], attempt, again=True)
            return
        yield self._quiet(0.8)
        turn = self.session.typed(word)
        attempt.log.append(f"    [typed {word}] {turn.outcome.value}")

    def _quiet(self, seconds: float) -> Wave:
        return self._person.room(seconds, self._rng)

    # ------------------------------------------------------------ what became of it

    def _stands(self, said: Said, quantity: str) -> bool:
        entry = next(
            (e for (k, q), e in self.session.sheet.standing.items() if k == said.key and q == quantity), None
        )
        return entry is not None and entry.value == (said.down if quantity == "down" else said.up)

    @staticmethod
    def _took(said: Said, heard: Heard, turn: Turn) -> Iterator[tuple[float, float, bool]]:
        contrast = heard.utterance.contrast if heard.utterance else None
        for fact in turn.facts:
            if isinstance(fact, Took) and fact.standing is Standing.TAKEN:
                right = fact.key == said.key and fact.value == said.truth(fact.quantity)
                yield contrast or 0.0, fact.sureness, right

    def _outcome(self, said: Said, first: list[Turn], questions: list[Question]) -> str:
        took = [f for turn in first for f in turn.facts if isinstance(f, Took) and f.standing is Standing.TAKEN]
        if any(f.key != said.key for f in took):
            return "wrong key"
        if any(f.value != said.truth(f.quantity) for f in took):
            return "wrong value"
        if questions:
            good = all(
                p.key == said.key and p.value == said.truth(p.quantity) for q in questions for p in q.proposals
            )
            return "needless" if good else "caught"
        if self._stands(said, "down") and self._stands(said, "up"):
            return "right"
        return "part" if took else "lost"

    def _make_good(self, said: Said, left: list[Said]) -> None:
        """By keyboard, so that each reading begins from a right table."""
        session, note = self.session, note_name(said.key)
        for (key, quantity), entry in list(session.sheet.standing.items()):
            other = next((r for r in self.readings if r.key == key), None)
            if other is None or entry.value != other.truth(quantity) or other in left:
                session.typed("disregard")
        for _ in range(4):
            if self._stands(said, "down") and self._stands(said, "up") and not session.sheet.asking:
                break
            if session.sheet.asking and not self._asked_rightly(said):
                session.typed("disregard")
            elif session.sheet.asking:
                session.typed("affirm")
            else:
                session.typed(f"correction {note} down {said.down} up {said.up}")
                if not self._stands(said, "down"):
                    session.typed(f"{note} down {said.down} up {said.up}")
        if left and self._planned and session.sheet.place != left[0].key:
            session.typed(note_name(left[0].key))

    def _asked_rightly(self, said: Said) -> bool:
        asking = self.session.sheet.asking
        return asking is not None and all(
            p.key == said.key and p.value == said.truth(p.quantity) for p in asking.question.proposals
        )

    @staticmethod
    def _class(heard: Heard) -> str:
        found = completeness(heard.text, heard.context)
        if found is not Completeness.EXTENDABLE or heard.context is not Context.TOUCH:
            return found.value
        values = len(heard.text.split())
        return f"{found.value}, {'whole' if values >= 3 else 'short'}"

    @staticmethod
    def _line(heard: Heard, turn: Turn) -> str:
        alternatives = "; ".join(f"{a.text} {a.share:.2f}" for a in heard.alternatives[:4])
        values = " ".join(f"{a.quantity.value if a.quantity else '?'} {a.value}" for a in turn.amounts)
        key = note_name(turn.key) if turn.key else "-"
        return f"    [{alternatives}] {turn.outcome.value} {key} {values} {turn.why}"


def as_json(attempt: Attempt) -> dict[str, Any]:
    return asdict(attempt)
