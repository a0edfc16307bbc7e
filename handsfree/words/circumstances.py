"""What is noted of a sitting: the room's climate and the kind of piano, spoken; all else is typed, in any words.

A temperature without a unit is in what the settings say (the judgement knows); one with a unit keeps it.
"""

from __future__ import annotations

import re
from functools import cache

from handsfree.nouns import Circumstance, Noted
from handsfree.words.expressions import EMPTY, Act, Alt, Word, meaning, perhaps, phrase, seq
from handsfree.words.spoken import figures, number

UNITS = {"celsius": " °C", "c": " °C", "fahrenheit": " °F", "f": " °F"}
"""How the unit of a temperature is said or typed, and how it is noted. The model knows none of these words: they are
typed (see models/training/vocabulary.txt for what it knows)."""
FREE = {
    "place": Circumstance.PLACE,
    "instrument": Circumstance.INSTRUMENT,
    "hammer weights": Circumstance.HAMMERS,
    "action ratio": Circumstance.RATIO,
    "humidity history": Circumstance.HISTORY,
    "history": Circumstance.HISTORY,
}
"""How typed free text begins, and what it is."""
_BEGINS = re.compile(rf"(?P<what>{'|'.join(FREE)})[:,]? (?P<text>.+)", re.IGNORECASE)


@cache
def climate() -> Alt:
    """ "temperature twenty one degrees", "humidity forty five percent", "humidity from thirty to sixty": a Noted."""
    said = number(figures(lambda value: 1.0 if value <= 100 else 0.0).all)
    percent = perhaps(0.4, Alt(((1.0, Word("percent")), (0.0, phrase("per cent")))))
    between = seq(phrase("humidity from"), said, percent, Word("to"), said, percent)
    return Alt((
        (0.45, Act(seq(Word("temperature"), said, perhaps(0.4, Word("degrees")), _unit()),
                   lambda v, unit: Noted(Circumstance.TEMPERATURE, f"{v:f}{unit}"))),
        (0.45, Act(seq(Word("humidity"), said, percent), lambda v: Noted(Circumstance.HUMIDITY, f"{v:f}"))),
        (0.1, Act(between, lambda low, high: Noted(Circumstance.HISTORY, f"from {low:f} to {high:f} %"))),
    ))  # fmt: skip


def _unit() -> Alt:
    return Alt(((1.0, meaning("", EMPTY)), *((0.0, meaning(noted, word)) for word, noted in UNITS.items())))


def kind() -> Alt:
    """ "grand" or "upright": a Noted."""
    return Alt(tuple((0.5, meaning(Noted(Circumstance.KIND, name), name)) for name in ("grand", "upright")))


def free_note(text: str) -> Noted | None:
    """A circumstance in words of one's own, exactly as typed; None for all else."""
    found = _BEGINS.match(text)
    return Noted(FREE[found["what"].lower()], found["text"]) if found else None
