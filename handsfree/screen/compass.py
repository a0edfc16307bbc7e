"""Where a key lies on the keyboard: places that the strip and the curve share.

88 keys from A0 to C8, 52 naturals and 36 sharps. Keys are placed in half steps of a natural's width: natural number i
at 2i, the sharp above it at 2i + 1. So a braille column, two dots wide, holds a natural and its sharp.
"""

from __future__ import annotations

from handsfree.reckoning.compass import KEYS, is_sharp

NATURALS = 52
"""Naturals on 88 keys."""


def _places() -> dict[int, int]:
    places: dict[int, int] = {}
    naturals = 0
    for key in KEYS:
        if is_sharp(key):
            places[key] = 2 * naturals - 1
        else:
            places[key] = 2 * naturals
            naturals += 1
    return places


PLACE = _places()
"""Key -> half naturals from the left edge, 0..102."""
KEY_AT = {place: key for key, place in PLACE.items()}
