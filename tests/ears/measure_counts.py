"""Counts of swings by people, through the whole tool: right at once, asked, wrong; by what went wrong with the count.

    python tests/ears/measure_counts.py dev 40                            tune on these speakers
    python tests/ears/measure_counts.py test 60 --model FOLDER            report these
    python tests/ears/measure_counts.py dev 40 --start 2 --only NONE DROPPED    other counts, of some troubles only
    python tests/ears/measure_counts.py dev 40 --plan elsewhere           the note named is not where the plan is

Prints what became of each count that was not right at once, and tables: by trouble, by speaker, why it was asked.
"wrong": a value stands that nobody asked about and that is not the count, or not of that key. `--plan`: whether the
plan is at the key that is named and goes on at the note that is named next (the usual case), at any other
("elsewhere": a jump that no plan knows of), at one of the same octave whose letter may sound alike ("alike": the
worst of jumps), or there is none; but for "right" every count has a note. No pass or fail: the tests have bounds of
their own. Counts of one speaker are spliced from the same few words: they are not independent, so the bound by
speakers stands beside the one by counts.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parent))

from count_tables import tables
from count_takes import NOT_COUNTED, ONLY_A_QUESTION, Take, Trouble, take
from counted_speech import RATE, notes, people

from handsfree.ears.blocks import BLOCK_BYTES, Block
from handsfree.hearing import Hearing, hearing
from handsfree.journal.memory import MemoryJournal
from handsfree.nouns import HIGHEST_KEY, Asked, Context, EarChanged, GoTo, Heard, Partial, Pass, Plan, Quantity, Turn
from handsfree.reckoning.compass import is_sharp
from handsfree.session import Session
from handsfree.settings import Settings
from handsfree.words.count_so_far import count_so_far
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


PLANS = ("right", "elsewhere", "alike", "none")


def key_of(note: str) -> int:
    meant = understand(note, Context.SWINGS)
    assert isinstance(meant, GoTo)
    return meant.key


def session_at(rng: Random, taken: Take, plan: str = "right") -> Session:
    """In the middle of a pass over ordinary flanges; the key of the note said (PLACE where none is) has no count yet.
    `plan`: one of PLANS."""
    session = Session(MemoryJournal())
    session.set_pass(Pass.SWINGS)
    key = key_of(taken.note) if taken.note else PLACE
    wanted = plan_named("no plan" if plan == "none" else "every key")
    planned = taken.then and taken.trouble is not Trouble.NEXT_JUMP
    if plan == "right" and planned:
        both = (key, key_of(taken.then))
        wanted = Plan("two", (*both, *(other for other in NEIGHBOURS if other not in both)))
    assert wanted is not None
    session.set_plan(wanted)
    for other in NEIGHBOURS:
        swings = min(9, max(3, round(rng.gauss(6.5, 1.2))))
        if other != key and not (planned and other == key_of(taken.then)):
            session.typed(f"key {other} {swings}")
    session.typed(f"key {_place(rng, key, plan)}")
    return session


def _place(rng: Random, key: int, plan: str) -> int:
    """Where the pass is when `key` is named."""
    far = [k for k in range(1, 89) if abs(k - key) > 3]
    octave = [k for k in range(1, 89) if k != key and (k + 8) // 12 == (key + 8) // 12 and not is_sharp(k)]
    return {"right": key, "elsewhere": rng.choice(far), "alike": rng.choice(octave), "none": max(1, key - 1)}[plan]


def hear(ears: Hearing, taken: Take, rng: Random, plan: str = "right") -> Outcomes:
    session = session_at(rng, taken, plan)
    source = _Sound(taken)
    made = Outcomes("", [], [])
    judged = _Judged(session, taken)
    seen: dict[int, float] = {}
    for event in ears.listener(source, lambda: session.context).events():
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
        self._before = dict(session.sheet.standing)
        self._key = key_of(taken.note) if taken.note else PLACE

    def went(self) -> str:
        place = self._session.sheet.place
        if not self._taken.then or self._taken.second is not None:
            return ""
        if place == key_of(self._taken.then):
            return "there"
        uncounted = (k for k in range(self._key + 1, HIGHEST_KEY + 1) if (k, Quantity.SWINGS) not in self._before)
        by_itself = (self._key, self._key + 1, next(uncounted, None))
        return "nowhere" if place in by_itself else "elsewhere"

    def after(self, turns: list[Turn]) -> str:
        sheet = self._session.sheet
        changed = {
            (k, e.value)
            for (k, q), e in sheet.standing.items()
            if q is Quantity.SWINGS and self._before.get((k, q)) is not e
        }
        right = set() if self._taken.trouble in ONLY_A_QUESTION else self._right()
        in_question = {p.key for q in sheet.questions for p in q.question.proposals}
        if any(key not in in_question for key, _ in changed - right):
            return "wrong"
        if any(isinstance(f, Asked) for t in turns for f in t.facts):
            return "asked"
        if right - changed or not changed:
            return "refused" if any(t.earcon for t in turns) else "nothing"
        return "right"

    def _right(self) -> set[tuple[int, Decimal | None]]:
        """What should stand."""
        taken, found = self._taken, {(self._key, Decimal(self._taken.total))}
        return {*found, (key_of(taken.then), Decimal(taken.second))} if taken.second is not None else {*found}


def measured(
    ears: Hearing, split: str, each: int, troubles: list[Trouble], start: int = 1, plan: str = "right"
) -> Iterator[tuple[Take, Outcomes]]:
    """`each` takes of each trouble, over the speakers in turn."""
    rng = Random(start)
    for trouble in troubles:
        least = 2 if trouble in (Trouble.TOTALS, Trouble.COUNTS) else 0 if plan == "right" else 1
        who = [speaker for speaker, words in people(split).items() if len(notes(words)) >= least]
        for i in range(each):
            taken = take(who[i % len(who)], split, trouble, rng, named=None if plan == "right" else True)
            yield taken, hear(ears, taken, rng, plan)


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
    parser.add_argument("--plan", choices=PLANS, default="right")
    parser.add_argument("--model", default="")
    choice = parser.parse_args()
    found = []
    with hearing(Settings(model=choice.model)) as ears:
        print(f"model {ears.name}; {choice.split} speakers: {' '.join(people(choice.split))}", flush=True)
        for taken, made in measured(
            ears, choice.split, choice.each, [Trouble[n] for n in choice.only], choice.start, choice.plan
        ):
            found.append((taken, made))
            expected = made.verdict == "asked" and taken.trouble in NOT_COUNTED
            if made.verdict != "right" and not expected:
                print(told(taken, made), flush=True)
    print(tables([(taken, made.verdict, made.why, made.shown, made.closed) for taken, made in found]))
    led = Counter(made.went for _, made in found if made.went)
    print(f"the next note, named at once, led: {dict(led)}")


if __name__ == "__main__":
    main()
