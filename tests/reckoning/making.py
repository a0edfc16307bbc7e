"""Short ways to write readings in tests, and the check tables that lie beside the repository."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path

import pytest

from handsfree.reckoning.readings import KeyReading, Method, Sitting
from handsfree.reckoning.results import KeyFigures
from handsfree.reckoning.summary import figures
from handsfree.reckoning.touch_settings import TouchSettings

CHECKS = Path(__file__).parents[3] / "shared" / "checks"
MIDDLE_C = 40

WORKED = [
    # worked example of a public college technicians' list (informal)
    ("52", "28", "40", "12"),
    # arithmetic examples of a technicians' mailing list, 1998 (informal)
    ("50", "20", "35", "15"),
    ("50", "26", "38", "12"),
    ("47", "23", "35", "12"),
    # "one gram more friction: D+1, U-1, B unchanged", technicians' mailing list (informal)
    ("53", "27", "40", "13"),
    # statics: half a gram must not be rounded
    ("52.5", "24", "38.25", "14.25"),
    # statics: the legal boundary
    ("40", "40", "40", "0"),
]
"""Down, up, balance and friction in grams, as text: whoever shows them must show these."""


def check_table(name: str) -> list[dict[str, str]]:
    """A table of outside check values; skipped by name on a machine without it."""
    path = CHECKS / name
    if not path.exists():
        pytest.skip(f"needs ../shared/checks/{name}")
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def decimal(value: float | str | None) -> Decimal | None:
    return None if value is None else Decimal(str(value))


def read(
    down: float | str | None, up: float | str | None = None, swings: float | str | None = None, key: int = MIDDLE_C
) -> KeyReading:
    return KeyReading(key, decimal(down), decimal(up), False, decimal(swings))


def one(reading: KeyReading, method: Method | None = None, settings: TouchSettings | None = None) -> KeyFigures:
    """The figures of a single key."""
    return figures(Sitting("one", (reading,), (), method or Method()), settings or TouchSettings()).keys[0]


def sitting(rows: Iterable[tuple[int, float | None, float | None]], label: str = "made up") -> Sitting:
    """(key, down, up) rows."""
    return Sitting(label, tuple(read(d, u, key=k) for k, d, u in rows))
