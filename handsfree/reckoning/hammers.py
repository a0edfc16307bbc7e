"""Weighed hammers as somebody types them: "A0 11 g 135 mm, C8 6.5 g 130 mm". Nothing is guessed.

Grams are what a scale shows under the hammer while its shank is held level, millimetres lead from the flange's centre
pin to where the scale touches. A hammer without a note is taken for every key.
"""

from __future__ import annotations

import re
from decimal import Decimal

from handsfree.reckoning.compass import KEYS, key_of
from handsfree.reckoning.readings import Hammer

HOW = "write it like A0 11 g 135 mm, C8 6.5 g 130 mm"
HEAVIEST, LONGEST, GREATEST_RATIO = Decimal(50), Decimal(300), Decimal(20)
"""Grams, millimetres, hammer travel over key travel: more is a slip of the keyboard (our choice)."""
_ONE = re.compile(
    r"(?:(?P<note>[a-g](?:#|♯|b|♭|\s+sharp|\s+flat)?\s*\d)[:\s]\s*)?"
    r"(?P<weight>\d{1,3}(?:\.\d{1,3})?)\s*(?:g|grams?)\s*(?:at\s+)?(?P<radius>\d{1,3}(?:\.\d{1,3})?)\s*mm",
    re.IGNORECASE,
)


def hammers_of(text: str) -> tuple[Hammer, ...]:
    """All of them, by key; () where any part cannot be read, or one key is named twice."""
    found = [_hammer(part.strip()) for part in re.split(r"[,;]", text)]
    hammers = [h for h in found if h is not None]
    named = {h.key for h in hammers}
    if len(hammers) < len(found) or len(named) < len(hammers) or (None in named and len(hammers) > 1):
        return ()
    return tuple(sorted(hammers, key=lambda h: h.key or 0))


def _hammer(text: str) -> Hammer | None:
    match = _ONE.fullmatch(text)
    if match is None:
        return None
    weight, radius = Decimal(match["weight"]), Decimal(match["radius"])
    key = key_of(match["note"]) if match["note"] else None
    if (match["note"] and key not in KEYS) or not (0 < weight <= HEAVIEST and 0 < radius <= LONGEST):
        return None
    return Hammer(weight, radius, key)


def ratio_of(text: str) -> Decimal | None:
    """None for what is no action ratio."""
    if not re.fullmatch(r"\d{1,2}(\.\d{1,3})?", text.strip()):
        return None
    ratio = Decimal(text.strip())
    return ratio if 0 < ratio <= GREATEST_RATIO else None
