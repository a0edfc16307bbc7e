"""Counts of swings by people, through the whole tool: right at once, asked, wrong; by what went wrong with the count.

    python tests/ears/measure_counts.py dev 40        tune on these speakers
    python tests/ears/measure_counts.py test 60       report these
    python tests/ears/measure_counts.py dev 40 2 NONE DROPPED    other counts (2), of some troubles only

Prints one table. "wrong": a value stands that nobody asked about and that is not the count. No pass or fail: the
tests have bounds of their own.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from statistics import median

sys.path.insert(0, str(Path(__file__).parent))

from counted_speech import ONLY_A_QUESTION, RATE, Take, Trouble, people, take

from handsfree.ears.blocks import BLOCK_BYTES, Block
from handsfree.hearing import Hearing, hearing
from handsfree.journal.memory import MemoryJournal
from handsfree.nouns import Context, EarChanged, Heard, Outcome, Partial, Pass, Quantity, Turn
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
    before = set(session.sheet.standing)
    place = session.sheet.place
    assert place is not None
    old = session.sheet.standing.get((place, Quantity.SWINGS))
    source = _Sound(taken)
    made = Outcomes("", [], [])
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
    asked = [t for t in made.turns if t.outcome is Outcome.ASKED]
    changed = {
        (k, e.value)
        for (k, q), e in session.sheet.standing.items()
        if (k, q) not in before or (k == place and e is not old)
    }
    made.why = next((t.why for t in made.turns if t.why), "")
    right = set() if taken.trouble in ONLY_A_QUESTION else {(place, taken.total)}
    in_question = {p.key for q in session.sheet.questions for p in q.question.proposals}
    if any(key not in in_question for key, _ in changed - right):
        made.verdict = "wrong"
    elif asked:
        made.verdict = "asked"
    elif not changed:
        made.verdict = "refused" if any(t.earcon for t in made.turns) else "nothing"
    else:
        made.verdict = "right"
    return made


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


Results = dict[str, list[tuple[Take, Outcomes]]]


def table(results: Results) -> str:
    lines = [f"{'':24} {'counts':>6} {'right':>7} {'asked':>7} {'refused':>7} {'nothing':>7} {'wrong':>7}"]
    for trouble, found in results.items():
        counts = Counter(o.verdict for _, o in found)
        shares = " ".join(f"{counts[v]:>3} {counts[v] / len(found):>3.0%}" for v in KINDS)
        lines.append(f"{trouble:24} {len(found):>6} {shares}")
    shown = sorted(s for found in results.values() for _, o in found for s in o.shown)
    closed = [o.closed for _, o in results.get(Trouble.NONE, []) if o.closed is not None]
    if shown and closed:
        lines.append(
            f"shown after the word's end: median {median(shown):.2f} s, 90 % {shown[int(0.9 * len(shown))]:.2f} s"
        )
        lines.append(f"closed after the last word: median {median(closed):.2f} s")
    return "\n".join(lines)


KINDS = ("right", "asked", "refused", "nothing", "wrong")


def main() -> None:
    split, each = sys.argv[1], int(sys.argv[2])
    start = int(sys.argv[3]) if sys.argv[3:] else 1
    names = sys.argv[4:]
    troubles = [t for t in Trouble if not names or t.name in names]
    results: Results = defaultdict(list)
    by_note: dict[tuple[Trouble, bool], list[tuple[Take, Outcomes]]] = defaultdict(list)
    with hearing(Settings()) as ears:
        print(f"model {ears.name}; {split} speakers: {' '.join(people(split))}", flush=True)
        for taken, made in measured(ears, split, each, troubles, start):
            results[taken.trouble].append((taken, made))
            by_note[taken.trouble, bool(taken.note)].append((taken, made))
            if made.verdict not in ("right",) and (made.verdict != "asked" or taken.trouble not in ONLY_A_QUESTION):
                line = [(t.outcome.value, [str(a.value) for a in t.amounts], t.why) for t in made.turns]
                print(
                    f"  {made.verdict:8} {taken.trouble.value}: {taken.speaker} {taken.note} {taken.total}: {line}",
                    flush=True,
                )
                for heard in made.heard:
                    print(
                        "      ",
                        [
                            (a.text, round(a.share, 2), [round(w.start, 2) for w in a.words])
                            for a in heard.alternatives[:3]
                        ],
                    )
    print(table(results))
    clean = {
        f"clean, {'note said' if n else 'no note'}": found for (t, n), found in by_note.items() if t is Trouble.NONE
    }
    print(table(clean))


if __name__ == "__main__":
    main()
