"""The project's check tables, which lie beside the repository; where they do not, these tests are skipped by name."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

CHECKS = Path(__file__).parents[3] / "shared" / "checks"


def table(name: str) -> list[dict[str, str]]:
    path = CHECKS / name
    if not path.is_file():
        pytest.skip(f"no ../shared/checks/{name} on this machine")
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))
