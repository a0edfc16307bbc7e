"""How long a change of what is expected takes, as the ear sees it: python tests/ears/bench_expectation.py

Plays the demo's recording at its own speed through listener and session, twice: with what the sitting expects in the
grammar and without. Prints the work that a grammar is (made and loaded by a thread), for how long the ear is held up
by taking it over, from when on it serves after the turn that changed it, how many utterances began before it was
ready, and how late the ear is with its blocks while all that goes on.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from handsfree.ears.blocks import Block
from handsfree.ears.recogniser import Decoding, Expected, VoskRecogniser, _Loaded
from handsfree.ears.source import FileSource
from handsfree.hearing import Hearing, hearing
from handsfree.journal.memory import MemoryJournal
from handsfree.judgement.limits import Limits
from handsfree.nouns import Context, EarChanged, Heard
from handsfree.session import Session
from handsfree.settings import Settings
from handsfree.words.plans import EVERY_KEY

RECORDING = Path(__file__).parents[2] / "demo" / "recording.flac"


class Watched(VoskRecogniser):
    """Writes down when what happened; milliseconds."""

    def watch(self) -> None:
        self.work: list[float] = []
        self.taken_over: list[float] = []
        self.after_turn: list[float] = []
        self.begun = self.too_soon = 0
        self._since = time.perf_counter()

    def expect(self, context: Context, expected: Expected, wait: bool = False) -> None:
        self._since = time.perf_counter()
        super().expect(context, expected, wait)

    def begin(self, context: Context) -> Decoding:
        began = time.perf_counter()
        decoding = super().begin(context)
        self.taken_over.append(1000 * (time.perf_counter() - began))
        wanted = self._wanted
        if wanted is not None and wanted[0] is context and wanted[1] is not None:
            self.begun += 1
            self.too_soon += self._expecting.get(context) is not self._cached.get(wanted, "not yet")
        return decoding

    def _load(self, context: Context, expected: Expected) -> _Loaded:
        since, began = self._since, time.perf_counter()
        loaded = super()._load(context, expected)
        if expected is not None:
            self.work.append(1000 * (time.perf_counter() - began))
            self.after_turn.append(1000 * (time.perf_counter() - since))
        return loaded


class TimedSource(FileSource):
    """A recording in real time that notes how long the ear is busy with each block."""

    busy: list[float]

    def blocks(self) -> Iterator[Block | EarChanged]:
        self.busy = []
        for block in super().blocks():
            given = time.perf_counter()
            yield block
            self.busy.append(1000 * (time.perf_counter() - given))


def sitting(ears: Hearing, leaning: bool) -> list[float]:
    """-> milliseconds that each block took."""
    session = Session(MemoryJournal(), Limits(lean=0.5))
    session.set_plan(EVERY_KEY)
    with TimedSource(RECORDING, realtime=True) as source:
        expected = (lambda: session.expected) if leaning else (lambda: None)
        for event in ears.listener(source, lambda: session.context, expected).events():
            if isinstance(event, Heard):
                session.hear(event)
        return source.busy


def line(name: str, found: list[float]) -> None:
    low, middle, high = np.percentile(found, [50, 99, 100])
    print(f"{name:44}{len(found):>6}{low:>9.2f}{middle:>9.2f}{high:>9.2f} ms (50, 99, 100 %)")


def main() -> None:
    with hearing(Settings()) as ears:
        recogniser = ears.recogniser
        recogniser.__class__ = Watched
        assert isinstance(recogniser, Watched)
        recogniser.watch()
        line("a block, nothing expected", sitting(ears, leaning=False))
        recogniser.watch()
        line("a block, with expectations", sitting(ears, leaning=True))
    line("taking a grammar over (the ear waits)", recogniser.taken_over)
    line("making and loading one (a thread)", recogniser.work)
    line("it serves after the turn", recogniser.after_turn)
    print(f"{recogniser.too_soon} of {recogniser.begun} utterances began before the newest one was ready")


if __name__ == "__main__":
    main()
