"""`handsfree figures --explain`: every number on that page against where it is known from."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from handsfree.reckoning.worked import worked_examples

PAGE = " ".join(" ".join(worked_examples()).split())


@pytest.mark.parametrize(
    "said",
    [
        # worked example of a public college technicians' list (informal)
        "Down 52 g, up 28 g: friction (D - U)/2 = 12 g, balance (D + U)/2 = 40 g.",
        # statics: half a gram is kept
        "Down 52.5 g, up 24 g: friction (D - U)/2 = 14.25 g, balance (D + U)/2 = 38.25 g.",
        # bias s/2, sd s/sqrt(24): computed and simulated
        "steps of 1 g friction reads 0.5 g too high on average, balance nothing",
        "0.5 g too high on average, balance nothing; the standard uncertainty of each is 0.204 g",
        "steps of 2 g friction reads 1 g too high",
        # statics: a key that lifts nothing
        "friction is at least 25 g and balance at most 25 g",
        # statics: impossible
        "Up 45 g is above down 30 g, which cannot be",
        # computed: energy relation and SciPy solve_ivp agree
        "a swing being one pass: 6 passes, mu 0.0978 to 0.1140",
        "a swing being to and fro: 12 or 13 passes, mu 0.0489 to 0.0571",
        # statics
        "100 gf mm at a hammer of 130 mm and an action ratio of 5 is 3.85 g at the key",
        # NIST/SEMATECH e-Handbook 1.3.5.17, its rule on these values computed
        "the modified z-score of 19 is 4.0470",
        "mean absolute deviation (the median one is 0): 5.585",
        # ISO 5725 (secondary source): s_r 0.912871, r 2.556
        "s_r 0.91 g from 6 keys",
        "differ by 2.6 g at most",
        # paired job on five keys (technicians' list 2010, informal), intervals computed with SciPy
        "friction: mean change +2.800 g, 2.4600 to 3.1400 g.",
        "balance: mean change +1.000 g, 0.5610 to 1.4390 g.",
        "Balance is not called changed",
    ],
)
def test_what_is_known_stands_there(said: str) -> None:
    assert said in PAGE


def test_torque_on_the_page() -> None:
    """10 gf at 130 mm, 5 to 7 passes: 0.085573 to 0.136667 times 1300 gf mm (computed)."""
    found = re.search(r"6 passes, mu .*? the torque is (\d+) to (\d+) gf mm", PAGE)
    assert found is not None
    assert (int(found[1]), int(found[2])) == (round(0.085573 * 1300), round(0.136667 * 1300))


def test_every_verdict_is_shown_once() -> None:
    for verdict in ("friction", "weight or leverage", "both", "light and slow", "light", "loose", "fine"):
        assert f": {verdict}. " in PAGE


def test_it_fits_a_terminal() -> None:
    lines = list(worked_examples())
    assert max(map(len, lines)) <= 100
    assert not any(a == b == "" for a, b in pairwise(lines))
    assert "local codes" in PAGE
