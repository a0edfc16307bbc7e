"""The whole chain on people never heard before: sound, words, judgement, questions and answers. Run by hand:

    python tests/endtoend/measure.py --split dev [--conditions clean,fan] [--repeats 2] [--jobs 2] [--model FOLDER]
        [--no-answers] [--realtime] [--out attempts.jsonl]

Choose on `--split dev`; `--split test` is for the end. Needs ../shared/speech (read in place). Prints one row a
condition, then how long closing took, then what talk and noise alone turned into. See technician.py for the outcomes.
"""

from __future__ import annotations

import argparse
import json
import os
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from multiprocessing import Pool
from pathlib import Path

os.environ.setdefault("OMP_NUM_THREADS", "1")

import numpy as np
from people import RATE, Wave, people, talk
from technician import Attempt, Technician, as_json
from workshop import Condition, Workshop, noise_of

from handsfree.hearing import Hearing, hearing
from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.limits import Limits
from handsfree.nouns import Asked, Fact, Heard, Outcome, PlanSet, StoodBy, Took, Went, Withdrew
from handsfree.reckoning.compass import note_name
from handsfree.session import Session
from handsfree.settings import Settings
from handsfree.words.plans import plan_named

NOISES = ("fan", "hum", "pink", "knocks", "ringing", "talk", "babble")
CONDITIONS = (
    Condition("clean"),
    *(Condition(f"{noise} {snr} dB", noise=noise, snr=snr) for noise in NOISES for snr in (20, 10, 5)),
    *(Condition(f"level {level} dBFS", level=level) for level in (-50, -35, -26, -10)),
    Condition("8 kHz band", narrow=True),
)
OUTCOMES = ("right", "needless", "caught", "wrong value", "wrong key", "part", "lost")
LEAST_WORDS = 10
GAPS = (0.8, 3.0)
"""Seconds between two stretches of talk."""


@dataclass(frozen=True, slots=True)
class Job:
    condition: Condition
    person: int
    planned: bool
    seed: int


@dataclass(slots=True)
class Untaken:
    """What became of sound that was meant for nobody."""

    name: str
    seconds: float = 0.0
    values: int = 0
    """That stand."""
    complete: int = 0
    """Keys with all that the pass takes."""
    asked: int = 0
    other: int = 0
    """Changes of plan, place or listening, withdrawals."""
    log: list[str] = field(default_factory=list)


# ---------------------------------------------------------------- in the worker processes

_ears: Hearing
_options: argparse.Namespace
_opened: object


def _open(options: argparse.Namespace) -> None:
    global _ears, _options, _opened
    _options = options
    _opened = hearing(Settings(model=str(options.model or "")))
    _ears = _opened.__enter__()


def _work(job: Job) -> list[Attempt]:
    person = people(_options.split, LEAST_WORDS)[job.person]
    technician = Technician(
        _ears, person, job.condition, job.planned, job.seed, count=_options.count, talk=talk(_options.split),
        answers=not _options.no_answers, realtime=_options.realtime,
    )  # fmt: skip
    return technician.work()


def _nobody(name: str) -> Untaken:
    """ "talk, plan" ...: talk or a noise, with a plan (weights alone make sense) or without."""
    what, planned = name.removesuffix(", plan"), name.endswith(", plan")
    rng = np.random.default_rng(3)
    session = Session(MemoryJournal(), Limits())
    if planned and (plan := plan_named("every")):
        session.set_plan(plan)
    result = Untaken(name)
    pieces = _stretches(rng) if what == "talk" else iter(_noise_alone(what, rng))
    workshop = Workshop(pieces, Condition(name), None, 1.0)
    before = session.sheet.last_n
    for event in _ears.listener(workshop, lambda: session.context).events():
        if isinstance(event, Heard):
            turn = session.hear(event)
            if turn.outcome is not Outcome.IGNORED:
                guesses = "; ".join(f"{a.text} {a.share:.2f}" for a in event.alternatives[:3])
                values = " ".join(f"{a.quantity} {a.value}" for a in turn.amounts)
                where = note_name(turn.key) if turn.key else "-"
                result.log.append(f"{event.context}: [{guesses}] {turn.outcome} {where} {values} {turn.why}")
            _counted(turn.facts, result)
    result.seconds = workshop.position / RATE
    result.complete = sum(
        all((key, q) in session.sheet.standing for q in session.limits.wanted)
        for key in {key for key, _ in session.sheet.standing}
    )
    assert session.sheet.last_n >= before
    return result


def _counted(facts: Sequence[Fact], result: Untaken) -> None:
    for fact in facts:
        result.values += isinstance(fact, Took)
        result.asked += isinstance(fact, Asked)
        result.other += isinstance(fact, PlanSet | StoodBy | Withdrew)
        result.other += isinstance(fact, Went) and not any(isinstance(f, Took | Asked) for f in facts)


def _stretches(rng: np.random.Generator) -> Iterator[Wave]:
    for stretch in talk(_options.split):
        yield stretch
        yield rng.normal(0, 5, round(rng.uniform(*GAPS) * RATE))


def _noise_alone(name: str, rng: np.random.Generator) -> list[Wave]:
    """Two minutes at three levels, with silence between."""
    quiet = rng.normal(0, 10, 3 * RATE)
    pieces = [quiet]
    for dbfs in (-45, -30, -15):
        sound = noise_of(name, 40 * RATE, talk(_options.split), rng)
        pieces += [sound / np.sqrt(np.mean(sound**2)) * 32767 * 10 ** (dbfs / 20), quiet]
    return pieces


# ---------------------------------------------------------------- tables


def table(attempts: Sequence[Attempt]) -> Iterator[str]:
    rows: dict[str, list[Attempt]] = defaultdict(list)
    for attempt in attempts:
        rows[f"{attempt.condition}{', plan' if attempt.planned else ''}"].append(attempt)
        rows[f"all{', plan' if attempt.planned else ''}"].append(attempt)
    yield f"{'':24}{'count':>6}" + "".join(f"{outcome:>12}" for outcome in OUTCOMES) + f"{'good end':>10}{'early':>7}"
    for name, some in rows.items():
        counts = Counter(a.outcome for a in some)
        shares = "".join(f"{100 * counts[outcome] / len(some):>10.1f} %" for outcome in OUTCOMES)
        good = 100 * sum(a.good_in_the_end for a in some) / len(some)
        yield f"{name:24}{len(some):>6}{shares}{good:>8.1f} %{sum(a.early for a in some):>7}"


def by_person(attempts: Sequence[Attempt]) -> Iterator[str]:
    rows: dict[str, Counter[str]] = defaultdict(Counter)
    for attempt in attempts:
        if attempt.condition == "clean":
            rows[attempt.speaker][attempt.outcome] += 1
    for name, counts in rows.items():
        yield f"{name:8}" + ", ".join(f"{counts[outcome]} {outcome}" for outcome in OUTCOMES if counts[outcome])


def closings(attempts: Sequence[Attempt]) -> Iterator[str]:
    """Milliseconds from the last word until it was closed, by what the grammar said of the text."""
    rows: dict[str, list[float]] = defaultdict(list)
    for attempt in attempts:
        for kind, ms in attempt.closing_ms:
            rows[f"closed after words, {kind}"].append(ms)
        rows["kept, as the tool tells it"] += attempt.kept_ms
    for name, found in sorted(rows.items()):
        if found:
            low, middle, high, most = np.percentile(found, [10, 50, 90, 99])
            yield f"{name:46}{len(found):>6}{low:>8.0f}{middle:>8.0f}{high:>8.0f}{most:>8.0f} ms (10, 50, 90, 99 %)"


def options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="measure whole sittings of people never heard before")
    parser.add_argument("--split", choices=("dev", "test", "train"), default="dev")
    parser.add_argument("--conditions", default="", help="comma-separated beginnings of names; all when left out")
    parser.add_argument("--repeats", type=int, default=1)
    parser.add_argument("--count", type=int, default=12, help="readings a sitting")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--model", type=Path)
    parser.add_argument("--no-answers", action="store_true", help="as with a recording: nobody answers")
    parser.add_argument("--realtime", action="store_true")
    parser.add_argument("--no-talk", action="store_true")
    parser.add_argument("--planned", action="store_true", help="sittings by plan only")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--out", type=Path, help="every reading with its log, as JSON lines")
    return parser.parse_args()


def main() -> None:
    chosen = options()
    names = tuple(chosen.conditions.split(",")) if chosen.conditions else ("",)
    conditions = [c for c in CONDITIONS if c.name.startswith(names)] if chosen.conditions != "none" else []
    crowd = range(len(people(chosen.split, LEAST_WORDS)))
    jobs = [
        Job(condition, person, planned, chosen.seed + repeat)
        for condition in conditions
        for repeat in range(chosen.repeats)
        for person in crowd
        for planned in ((True,) if chosen.planned else (False, True))
    ]
    alone = [] if chosen.no_talk else ["talk", "talk, plan", *(f"{noise}, plan" for noise in NOISES[:5])]
    with Pool(chosen.jobs, _open, (chosen,)) as pool:
        attempts = [a for some in pool.imap(_work, jobs) for a in some]
        for lines in (table(attempts), by_person(attempts), closings(attempts)):
            print(*lines, sep="\n", end="\n\n")
        if chosen.out:
            chosen.out.write_text("".join(json.dumps(as_json(a)) + "\n" for a in attempts))
        for found in pool.imap(_nobody, alone):
            hours = found.seconds / 3600
            print(
                f"{found.name:16}{found.seconds / 60:5.1f} min: {found.values} values, {found.complete} complete keys"
                f" ({found.complete / hours:.1f} an hour), {found.asked} questions, {found.other} other changes"
            )
            print(*(f"    {line}" for line in found.log), sep="\n")


if __name__ == "__main__":
    main()
