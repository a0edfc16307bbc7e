"""The two questions that everything else in this room answers: what do these readings mean, and what changed.

    figures(sitting, settings) -> Figures
    compare(first, second, settings) -> Comparison
"""

from __future__ import annotations

from typing import Literal

from handsfree.reckoning.readings import Sitting
from handsfree.reckoning.results import Comparison, Figures
from handsfree.reckoning.touch_settings import TouchSettings


def figures(sitting: Sitting, settings: TouchSettings = TouchSettings()) -> Figures:  # noqa: B008 (frozen)
    """All figures of one sitting; never raises on readings, see `Figures.notes` for what could not be used."""
    raise NotImplementedError


def compare(
    first: Sitting,
    second: Sitting,
    settings: TouchSettings = TouchSettings(),  # noqa: B008 (frozen)
    kind: Literal["before and after", "two instruments"] = "before and after",
) -> Comparison:
    """Second against first, key by key; never raises on readings."""
    raise NotImplementedError
