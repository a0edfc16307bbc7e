"""How many findings are heard right at once, asked about, or wrong, of clips made by synthetic_speech.py.

    python tests/walk/synthetic_speech.py test 600 --seed 77 --to FOLDER            (400 --usual --seed 78)
    python tests/walk/measure_findings.py FOLDER [--each]

Every clip goes alone through the real ears into a walkthrough that is at its part (one in ten after a finding, to be
steered). Synthetic voices in a quiet room: what this says of people is only that it will hardly be better.
`--each` prints what was not right at once, with what was heard.
"""

from __future__ import annotations

import argparse
import csv
import sys
from collections import Counter, defaultdict
from dataclasses import replace
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(TOP), str(TOP / "tests" / "walk")]

from handsfree.ears.source import FileSource  # noqa: E402
from handsfree.hearing import Hearing, hearing  # noqa: E402
from handsfree.journal.memory import MemoryJournal  # noqa: E402
from handsfree.nouns import Context, Finding, Heard, Outcome, Pass, ReadPart, Said, Turn, Walk  # noqa: E402
from handsfree.session import Session  # noqa: E402
from handsfree.settings import Settings  # noqa: E402
from handsfree.words.grammar import understand  # noqa: E402

OUTCOMES = ("right at once", "asked, the first guess right", "asked, the second guess right", "asked, neither",
            "not taken", "wrong, unasked")  # fmt: skip


def session_at(kind: str, part: str) -> Session:
    """A walkthrough under way: behind it the case, or at a part, with a finding where it is to be steered."""
    session = Session(MemoryJournal())
    session.set_pass(Pass.WALKTHROUGH)
    session.typed("case original two")
    if part:
        session.typed(f"{part} dirty three" if kind == "steering" else part)
    return session


def outcome(session: Session, before: Walk, turns: list[Turn], wanted: Said) -> str:
    """What one sentence became."""
    if not isinstance(wanted, Finding):
        return _steered(session, before, turns, wanted)
    whole = replace(wanted, part=wanted.part or before.part)
    stands = [item.finding for item in session.walk.stands if item not in before.stands]
    if session.walk.asking is None:
        return "right at once" if stands == [whole] else "wrong, unasked" if stands else "not taken"
    asked = session.walk.asking.asked
    if stands and not (asked.about == "grade" and stands == [replace(whole, grade=None)]):
        return "wrong, unasked"
    if asked.finding == whole:
        return "asked, the first guess right"
    return "asked, the second guess right" if asked.otherwise == whole else "asked, neither"


def _steered(session: Session, before: Walk, turns: list[Turn], wanted: Said) -> str:
    """A command is right when it was followed as meant; a wrong one that changed nothing was not taken."""
    done = [turn for turn in turns if turn.outcome is not Outcome.IGNORED]
    if not done:
        return "not taken"
    if session.walk.asking is not None:
        return "asked, neither"
    meant = ReadPart(before.part) if wanted == ReadPart() else wanted
    right = len(done) == 1 and done[0].said == meant
    return "right at once" if right else "wrong, unasked" if any(turn.facts for turn in done) else "not taken"


def heard_as(file: Path, kind: str, at: str, wanted: Said, ears: Hearing) -> tuple[str, list[Heard]]:
    session = session_at(kind, at)
    before, turns, said = session.walk, list[Turn](), list[Heard]()
    with FileSource(str(file), realtime=False) as source:
        for event in ears.listener(source, lambda: session.context).events():
            if isinstance(event, Heard):
                said.append(event)
                turns.append(session.hear(event))
    return outcome(session, before, turns, wanted), said


def table(title: str, counted: dict[str, Counter[str]]) -> str:
    rows = [f"{title:<24}{'clips':>7}" + "".join(f"{name.split(',')[-1].strip():>24}" for name in OUTCOMES)]
    for name, counts in counted.items():
        rows.append(f"{name:<24}{counts.total():>7}" + "".join(f"{counts[one]:>24}" for one in OUTCOMES))
    return "\n".join(rows)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--each", action="store_true")
    choice = parser.parse_args()
    by_kind, by_voice = defaultdict[str, Counter[str]](Counter), defaultdict[str, Counter[str]](Counter)
    with hearing(Settings()) as ears, (choice.folder / "lines.tsv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file, delimiter="\t"):
            wanted = understand(row["text"], Context.WALKTHROUGH)
            became, said = heard_as(choice.folder / row["file"], row["kind"], row["at"], wanted, ears)
            graded = f"graded by {row['graded']}" if row["graded"] else "no grade said"
            for counts in (by_kind[row["kind"]], by_kind[graded], by_kind["all"], by_voice[row["voice"]]):
                counts[became] += 1
            if choice.each and became != "right at once":
                ways = " / ".join(f"{a.share:.2f} {a.text}" for one in said for a in one.alternatives[:4])
                print(f"{became}: {row['file']} {row['voice']} [{row['at']}] {row['text']!r}: {ways}")
    print(table("kind", by_kind), table("voice", by_voice), sep="\n\n")


if __name__ == "__main__":
    main()
