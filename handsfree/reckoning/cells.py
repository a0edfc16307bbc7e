"""One cell of a table from elsewhere: what it says, or why it cannot be read. Nothing is guessed."""

from __future__ import annotations

import re
from decimal import Decimal

from handsfree.reckoning.compass import KEYS, key_of

COLUMNS = {
    "key": ("key", "key number", "key no"),
    "note": ("note", "note name", "name"),
    "down": ("down", "down weight", "downweight"),
    "up": ("up", "up weight", "upweight"),
    "swings": ("swings", "swing"),
    "no_return": ("no return",),
}
"""What a column may be called, apart from capitals, a unit and underscores."""

_NUMBER = re.compile(r"(\d{1,6})(?:([.,])(\d{1,6}))?\s*g?", re.IGNORECASE)
_NO_RETURN = {"no return", "no_return", "none", "nr"}
_YES = {"true", "yes", "y", "1", "x"}
_NO = {"false", "no", "n", "0", ""}


class Unreadable(ValueError):
    """Carries the reason, in words for the person who typed the table."""


def column_of(header: str) -> str | None:
    """Which of COLUMNS a heading names; None: one that is not needed."""
    plain = re.sub(r"[\s_]+", " ", re.sub(r"\(.*?\)", " ", header.lower())).strip()
    plain = re.sub(r"\s(g|grams|gram)$", "", plain)
    return next((column for column, names in COLUMNS.items() if plain in names), None)


def number(cell: str) -> Decimal | None:
    """52, 52.5, 52,5 (decimal comma), "52 g"; None of an empty cell. Raises Unreadable."""
    text = cell.strip().lstrip("'").strip()
    if not text or text in ("-", "–"):
        return None
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise Unreadable(f'"{text[:20]}" is no number')
    whole, mark, rest = match.groups()
    if mark == "," and len(rest) == 3:
        raise Unreadable(f'"{text}" can be read two ways: write a decimal point')
    return Decimal(f"{whole}.{rest}") if rest else Decimal(whole)


def up_weight(cell: str) -> tuple[Decimal | None, bool]:
    """(grams or None, does not return); "no return" in words stands for the latter."""
    if cell.strip().lower() in _NO_RETURN:
        return None, True
    return number(cell), False


def yes(cell: str) -> bool:
    text = cell.strip().lower()
    if text in _YES:
        return True
    if text in _NO:
        return False
    raise Unreadable(f'"{text[:20]}" is neither true nor false')


def place(key: str, note: str) -> int:
    """Key number from either column or both; they must agree. Raises Unreadable."""
    key, note = key.strip().lstrip("'"), note.strip().lstrip("'")
    from_key = int(key) if re.fullmatch(r"\d{1,3}", key) else None
    from_note = key_of(note) if note else None
    if key and from_key is None:
        # a note in the key column is what many would write there
        from_key = key_of(key)
        if from_key is None:
            raise Unreadable(f'"{key[:20]}" is neither a key number nor a note')
    if note and from_note is None:
        raise Unreadable(f'"{note[:20]}" is no note: write it like F#4')
    if from_key is not None and from_note is not None and from_key != from_note:
        raise Unreadable(f"key {key} is not {note}")
    found = from_key if from_key is not None else from_note
    if found is None:
        raise Unreadable("no key is named")
    if found not in KEYS:
        raise Unreadable(f"{key or note} is not on a keyboard of 88 keys")
    return found
