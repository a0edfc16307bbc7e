"""Helpers of the screen's tests."""

from __future__ import annotations

import pytest
from scripted import FULL, ScriptedSession, asked, taken

from handsfree.nouns import Outcome, Speech, StoodBy, Turn, WentAhead


@pytest.fixture
def session() -> ScriptedSession:
    """Answers to a handful of sentences; the figures are made up."""
    return ScriptedSession(
        {
            "c4 52 28": taken(40, "52", "28", go=41),
            "52.5": taken(41, "52.5", go=41),
            "c#4 53 25": taken(41, "53", "25", go=42),
            "d4 58 no return": taken(42, "58", "no return", go=43),
            "c5 91": asked(52, "91", "C five, ninety one down?"),
            "stand by": Turn(Outcome.TAKEN, (StoodBy(),), "Standing by.", Speech.REPLY),
            "go ahead": Turn(Outcome.TAKEN, (WentAhead(),), "Going on.", Speech.REPLY),
            "a4 50 20": FULL,
        }
    )
