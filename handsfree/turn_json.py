"""One turn as one line of JSON: what was heard, what became of it, and how long that took."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from handsfree.nouns import Alternative, Amount, Finding, Heard, Turn
from handsfree.reckoning.compass import note_name


def turn_line(heard: Heard, turn: Turn, *, at: str, ms: float, last_n: int) -> str:
    """No line break in it.

    `at`: RFC 3339. `ms`: milliseconds from the end of speech to kept. `last_n`: number of the last fact in the
    journal, 0 for none.
    """
    first = turn.amounts[0] if turn.amounts else None
    return json.dumps(
        {
            "at": at,
            "heard": heard.text,
            "alternatives": [_alternative(a) for a in heard.alternatives],
            "sureness": round(heard.sureness, 4),
            "context": heard.context.value,
            "via": heard.via,
            "said": _kind(turn),
            "outcome": turn.outcome.value,
            "key": turn.key,
            "note": None if turn.key is None else note_name(turn.key),
            **_amount(first),
            "readings": [_amount(a) for a in turn.amounts],
            **_finding(turn.finding),
            "line": turn.line,
            "speech": turn.speech.value if turn.line else None,
            "earcon": turn.earcon.value if turn.earcon else None,
            "why": turn.why,
            "last_n": last_n,
            "ms": round(ms, 1),
        },
        ensure_ascii=False,
    )


def _alternative(alternative: Alternative) -> Mapping[str, Any]:
    return {
        "text": alternative.text,
        "share": round(alternative.share, 4),
        "words": [
            {"text": w.text, "start": round(w.start, 3), "end": round(w.end, 3), "sureness": round(w.sureness, 4)}
            for w in alternative.words
        ],
    }


def _amount(amount: Amount | None) -> Mapping[str, Any]:
    """Values are text, as said: "52.5"."""
    if amount is None:
        return {"quantity": None, "value": None, "no_return": False}
    return {
        "quantity": amount.quantity.value if amount.quantity else None,
        "value": None if amount.value is None else f"{amount.value:f}",
        "no_return": amount.value is None,
    }


def _finding(finding: Finding | None) -> Mapping[str, Any]:
    """What a turn of the walkthrough was about; no keys in the other passes. Grades are 0..5."""
    if finding is None:
        return {}
    return {"part": finding.part, "finding": finding.finding, "place": finding.place, "grade": finding.grade}


def _kind(turn: Turn) -> str | None:
    """ "reading", "plan wanted" ...: the meaning that was acted on."""
    if turn.said is None:
        return None
    return re.sub(r"(?<=.)(?=[A-Z])", " ", type(turn.said).__name__).lower()
