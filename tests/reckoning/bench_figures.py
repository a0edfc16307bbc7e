"""How long all figures of two full sittings take, beside statsmodels' LOWESS on the same curves as the measure.

    python tests/reckoning/bench_figures.py

Not a test: a shared machine is no clock. What counts is the ratio to the peer (compiled C) and that the live view,
which works out one sitting after each reading, never waits; the goal is 50 ms for two sittings compared.
"""

from __future__ import annotations

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")

import random
from decimal import Decimal
from statistics import median
from time import perf_counter

import numpy as np
from statsmodels.nonparametric.smoothers_lowess import lowess as theirs

from handsfree.reckoning import pendulum
from handsfree.reckoning.lowess import lowess
from handsfree.reckoning.readings import KeyReading, Sitting
from handsfree.reckoning.summary import compare, figures

ROUNDS = 40


def full(label: str, seed: int) -> Sitting:
    """88 made-up keys, each with down, up and swings."""
    chance = random.Random(seed)
    readings = []
    for key in range(1, 89):
        friction, balance = 15 - key * 0.06 + chance.gauss(0, 1.5), 40 - key * 0.02 + chance.gauss(0, 1)
        down, up = Decimal(round(balance + friction)), Decimal(round(balance - friction))
        readings.append(KeyReading(key, down, up, False, Decimal(chance.choice((3, 4, 5, 6, 7, 7, 8, 12)))))
    return Sitting(label, tuple(readings))


def timed(work: object, rounds: int = ROUNDS) -> tuple[float, float, float]:
    """Milliseconds: least, median, most."""
    taken = []
    for _ in range(rounds):
        start = perf_counter()
        work()  # type: ignore[operator]
        taken.append((perf_counter() - start) * 1000)
    return min(taken), median(taken), max(taken)


def main() -> None:
    before, after = full("before", 1), full("after", 2)
    start = perf_counter()
    compare(before, after)
    print(f"first time, nothing remembered: {(perf_counter() - start) * 1000:.1f} ms")

    def forgetful() -> None:
        pendulum.greatest_mu.cache_clear()
        compare(before, after)

    keys = [[float(r.key) for r in before.readings[start::2]] for start in (0, 1)]
    downs = [[float(r.down or 0) for r in before.readings[start::2]] for start in (0, 1)]

    def ours() -> None:
        for x, y in zip(keys, downs, strict=True):
            lowess(x, y)

    arrays = [(np.array(y), np.array(x)) for x, y in zip(keys, downs, strict=True)]

    def peer() -> None:
        for y, x in arrays:
            theirs(y, x)

    peer_median = timed(peer)[1]
    for name, work in (
        ("two full sittings compared", lambda: compare(before, after)),
        ("the same, swing table worked out anew", forgetful),
        ("one full sitting", lambda: figures(before)),
        ("our two curves alone", ours),
        ("statsmodels' two curves", peer),
    ):
        least, middle, most = timed(work)
        print(f"{name:<40} {least:6.2f} {middle:6.2f} {most:6.2f} ms   {middle / peer_median:6.2f} times the peer")


if __name__ == "__main__":
    main()
