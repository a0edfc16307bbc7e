"""Counts of swings by people, through the whole tool: right at once, asked, wrong; by what went wrong with the count.

    python tests/ears/measure_counts.py dev 40                            tune on these speakers
    python tests/ears/measure_counts.py test 60 --model FOLDER            report these
    python tests/ears/measure_counts.py dev 40 --start 2 --only NONE DROPPED    other counts, of some troubles only

Prints what became of each count that was not right at once, and tables: by trouble, by speaker, why it was asked.
"wrong": a value stands that nobody asked about and that is not the count, or not of that key. No pass or fail: the
tests have bounds of their own. Counts of one speaker are spliced from the same few words: they are not independent,
so the bound by speakers stands beside the one by counts.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parent))

from count_tables import tables
from counted_speech import ONLY_A_QUESTION, RATE, Take, Trouble, people, take

from handsfree.ears.blocks import BLOCK_BYTES, Block
from handsfree.hearing import Hearing, hearing
from handsfree.journal.memory import MemoryJournal
from handsfree.nouns import Context, EarChanged, GoTo, Heard, Outcome, Partial, Pass, Quantity, Turn
from handsfree.session import Session
from handsfree.settings import Settings
from handsfree.words.counting import count_so_far
from handsfree.words.grammar import understand
from handsfree.words.plans import plan_named

NEIGHBOURS = (36, 37, 38, 39, 41, 42, 43, 44)
PLACE = 40
"""C4, where the plan is; counts without a note are of this key."""


class _Sound:
    """A take as a source, that knows how far it has been read."""

    realtime = False
    open_air = False

    def __init__(self, taken: Take) -> None:
        self._pcm = taken.wave.tobytes()
        self.at = 0.0

    def blocks(self) -> Iterator[Block | EarChanged]:
        for start in range(0, len(self._pcm) - BLOCK_BYTES, BLOCK_BYTES):
            self.at = (start + BLOCK_BYTES) / 2 / RATE
            yield Block(self._pcm[start : start + BLOCK_BYTES], start // 2, 0.0)

    def close(self) -> None:
        pass


@dataclass
class Outcomes:
    """What became of one take."""

    verdict: str
    turns: list[Turn]
    heard: list[Heard]
    shown: list[float] = field(default_factory=list)
    """Seconds from the end of each number's word until the partial text showed it."""
    closed: float | None = None
    """Seconds from the end of the last number's word until the count was closed."""
    why: str = ""
    went: str = ""
    """Where a note named right after the count led: "there", "elsewhere", "nowhere"."""


def session_at(rng: Random, note: str) -> Session:
    """In the middle of a pass over ordinary flanges, at the key of `note` ("" = PLACE), which has no count yet."""
    session = Session(MemoryJournal())
    session.set_pass(Pass.SWINGS)
    plan = plan_named("every key")
    assert plan is not None
    session.set_plan(plan)
    for key in NEIGHBOURS:
        swings = min(9, max(3, round(rng.gauss(6.5, 1.2))))
        if understand(f"key {key}", Context.SWINGS) != understand(note, Context.SWINGS):
            session.typed(f"key {key} {swings}")
    session.typed(note or f"key {PLACE}")
    return session


def hear(ears: Hearing, taken: Take, rng: Random) -> Outcomes:
    session = session_at(rng, taken.note)
    source = _Sound(taken)
    made = Outcomes("", [], [])
    judged = _Judged(session, taken)
    seen: dict[int, float] = {}
    for event in ears.listener(source, lambda: session.context, lambda: session.expected).events():
        if isinstance(event, Partial):
            so_far = count_so_far(event.text)
            if so_far and so_far.started:
                for number in range(1, so_far.number + 1):
                    seen.setdefault(number, source.at)
        elif isinstance(event, Heard):
            made.heard.append(event)
            made.turns.append(session.hear(event))
            made.closed = source.at - taken.ends[-1][1]
    made.shown = [seen[n] - end for n, end in taken.ends if n in seen]
    made.why = next((t.why for t in made.turns if t.why), "")
    made.verdict = judged.after(made.turns)
    made.went = judged.went()
    return made


class _Judged:
    """What stands after a take, against what stood before it."""

    def __init__(self, session: Session, taken: Take) -> None:
        self._session, self._taken = session, taken
        self._before = set(session.sheet.standing)
        place = session.sheet.place
        assert place is not None
        self._place = place
        self._old = session.sheet.standing.get((place, Quantity.SWINGS))

    def went(self) -> str:
        place, meant = self._session.sheet.place, understand(self._taken.then, Context.SWINGS)
        if not isinstance(meant, GoTo):
            return ""
        return (
            "there" if place == meant.key else "nowhere" if place in (self._place, self._place + 1) else "elsewhere"
        )

    def after(self, turns: list[Turn]) -> str:
        sheet = self._session.sheet
        changed = {
            (k, e.value)
            for (k, q), e in sheet.standing.items()
            if (k, q) not in self._before or (k == self._place and e is not self._old)
        }
        right = set() if self._taken.trouble in ONLY_A_QUESTION else {(self._place, self._taken.total)}
        in_question = {p.key for q in sheet.questions for p in q.question.proposals}
        if any(key not in in_question for key, _ in changed - right):
            return "wrong"
        if any(t.outcome is Outcome.ASKED for t in turns):
            return "asked"
        if not changed:
            return "refused" if any(t.earcon for t in turns) else "nothing"
        return "right"


def measured(
    ears: Hearing, split: str, each: int, troubles: list[Trouble], start: int = 1
) -> Iterator[tuple[Take, Outcomes]]:
    """`each` takes of each trouble, over the speakers in turn."""
    rng = Random(start)
    who = list(people(split))
    for trouble in troubles:
        for i in range(each):
            taken = take(who[i % len(who)], split, trouble, rng)
            yield taken, hear(ears, taken, rng)


def told(taken: Take, made: Outcomes) -> str:
    """One count that was not right at once, with all that was heard of it."""
    became = "; ".join(f"{t.outcome.value} {[str(a.value) for a in t.amounts]} {t.why}" for t in made.turns)
    lines = [f"  {made.verdict:8} {taken.trouble.value}: {taken.speaker} {taken.note} {taken.total}: {became}"]
    for heard in made.heard:
        best = [(a.text, round(a.share, 2), [round(w.start, 2) for w in a.words]) for a in heard.alternatives[:3]]
        lines.append(f"       {best}")
    return "\n".join(lines)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("split", choices=("train", "dev", "test"))
    parser.add_argument("each", type=int, help="counts of each trouble")
    parser.add_argument("--start", type=int, default=1, help="another number: other counts")
    parser.add_argument("--only", nargs="*", choices=[t.name for t in Trouble], default=[t.name for t in Trouble])
    parser.add_argument("--model", default="")
    choice = parser.parse_args()
    found = []
    with hearing(Settings(model=choice.model)) as ears:
        print(f"model {ears.name}; {choice.split} speakers: {' '.join(people(choice.split))}", flush=True)
        for taken, made in measured(ears, choice.split, choice.each, [Trouble[n] for n in choice.only], choice.start):
            found.append((taken, made))
            expected = made.verdict == "asked" and taken.trouble in ONLY_A_QUESTION
            if made.verdict != "right" and not expected:
                print(told(taken, made), flush=True)
    print(tables([(taken, made.verdict, made.why, made.shown, made.closed) for taken, made in found]))
    led = Counter(made.went for _, made in found if made.went)
    print(f"the next note, named at once, led: {dict(led)}")


if __name__ == "__main__":
    main()
