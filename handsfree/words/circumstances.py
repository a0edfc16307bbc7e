"""What is noted of a sitting: the room's climate and the kind of piano, spoken; all else is typed, in any words.

A temperature without a unit is in what the settings say (the judgement knows); one with a unit keeps it.
"""

from __future__ import annotations

import re
from functools import cache

from handsfree.nouns import Circumstance, Noted
from handsfree.words.expressions import EMPTY, Act, Alt, Word, meaning, perhaps, phrase, seq
from handsfree.words.likely import Chance, Spread, around, mixed
from handsfree.words.spoken import figures, number

UNITS = {"": (0.7, ""), "fahrenheit": (0.2, " °F"), "celsius": (0.1, " °C"), "f": (0.0, " °F"), "c": (0.0, " °C")}
"""How the unit of a temperature is said or typed ("" = not at all), how often, and how it is noted."""
ROOM, HUMID = mixed(0.7, around(Spread(20.0, 4.0)), around(Spread(68.0, 7.0))), around(Spread(45.0, 12.0))
"""What rooms with a piano have: degrees of either unit, per cent. It helps to hear "seventeen" or "seventy"."""
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
    humidity = seq(_up_to_100(HUMID), perhaps(0.4, Alt(((1.0, Word("percent")), (0.0, phrase("per cent"))))))
    between = seq(phrase("humidity from"), humidity, Word("to"), humidity)
    return Alt((
        (0.45, Act(seq(Word("temperature"), _up_to_100(ROOM), perhaps(0.4, Word("degrees")), _unit()),
                   lambda v, unit: Noted(Circumstance.TEMPERATURE, f"{v:f}{unit}"))),
        (0.45, Act(seq(Word("humidity"), humidity), lambda v: Noted(Circumstance.HUMIDITY, f"{v:f}"))),
        (0.1, Act(between, lambda low, high: Noted(Circumstance.HISTORY, f"from {low:f} to {high:f} %"))),
    ))  # fmt: skip


def _up_to_100(chance: Chance) -> Alt:
    return number(figures(lambda value: chance(value) if value <= 100 else 0.0).all)


def _unit() -> Alt:
    return Alt(tuple((often, meaning(noted, said or EMPTY)) for said, (often, noted) in UNITS.items()))


def kind() -> Alt:
    """ "grand" or "upright": a Noted."""
    return Alt(tuple((0.5, meaning(Noted(Circumstance.KIND, name), name)) for name in ("grand", "upright")))


def free_note(text: str) -> Noted | None:
    """A circumstance in words of one's own, exactly as typed; None for all else."""
    found = _BEGINS.match(text)
    return Noted(FREE[found["what"].lower()], found["text"]) if found else None
