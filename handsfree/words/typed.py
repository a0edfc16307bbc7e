"""Typed sentences are the spoken ones, with digits and signs: "c#4 52 28.5" is "c sharp four 52 28.5"."""

from __future__ import annotations

import re

from handsfree.words.expressions import DECIMALS
from handsfree.words.likely import HIGHEST_VALUE
from handsfree.words.spoken import UNITS

_SIGNS = str.maketrans({"♯": "#", "♭": "b", "♮": "n", "’": "'", "–": "-", "—": "-", "−": "-", "\u00a0": " ",
                         "°": " degrees ", "%": " percent "})  # fmt: skip
_ACCIDENTAL = {"": "", "#": "sharp", "b": "flat", "n": "natural"}
_SYNONYM = {"alpha": "alfa", "y": "yes", "n": "no"}

_ATTACHED = re.compile(r"(?<![\w#])([a-g])([#bn]?)(\d)(?![\w.#]|,\d)")
"""A note in signs: c4, c#4, bb3."""
_LETTER_SIGN = re.compile(r"(?<![\w#])([a-g])([#b])(?=\s|,|$)")
"""A letter with a sign and its octave apart: "c# 4", "each c# and f#"."""
_OCTAVE = re.compile(
    r"\b([a-g]|alfa|bravo|charlie|delta|echo|foxtrot|golf|octave)( sharp| flat| natural|) (\d)(?![\w.]|,\d)"
)
_SEPARATOR = re.compile(r"\s*[,;:!?]+(?=\s|$)|\.(?=\s|$)|\s+/\s+")
"""Punctuation between words or at the end: it means nothing. A comma inside a number stays, and puzzles: 52,5 may be
one number or two."""
_HYPHEN = re.compile(r"(?<=[a-z])-(?=[a-z])")
_BARE_POINT = re.compile(r"(?<![\w.,])\.(?=\d)")
_HALF = re.compile(r"(?<=\d) ?½")
_UNIT = re.compile(r"(?<=\d)(?=[cf]$)")
"""A temperature with its unit: 70F."""


def typed_to_spoken(text: str) -> str:
    """Lower-case words with single spaces; spoken sentences come back as they are. Numbers stay digits."""
    text = text.translate(_SIGNS).lower()
    text = _HALF.sub(".5", text)
    text = _BARE_POINT.sub("0.", text)
    text = _SEPARATOR.sub(" ", text)
    text = _UNIT.sub(" ", text.strip())
    text = _HYPHEN.sub(" ", text)
    text = _ATTACHED.sub(lambda m: f"{m[1]} {_ACCIDENTAL[m[2]]} {m[3]}", text)
    text = _LETTER_SIGN.sub(lambda m: f"{m[1]} {_ACCIDENTAL[m[2]]}", text)
    text = " ".join(_SYNONYM.get(word, word) for word in text.split())
    return _OCTAVE.sub(lambda m: f"{m[1]}{m[2]} {UNITS[int(m[3])]}", text)


_COMMA = re.compile(r"([0-9]+),([0-9]+)")
_ABOVE = re.compile(r"[0-9]{4,}|[2-9][0-9]{2}(\.[0-9]+)?")
_TOO_FINE = re.compile(rf"[0-9]*\.[0-9]{{{DECIMALS + 1},}}")
_BELOW = re.compile(r"-[0-9.]+")


def typing_trouble(words: list[str]) -> str | None:
    """What is wrong with a number in words that are no sentence, and what to type; None: no number is."""
    for word in words:
        if found := _COMMA.fullmatch(word):
            return f"{word} could be one number or two: type {found[1]}.{found[2]} or {found[1]} {found[2]}"
        if _ABOVE.fullmatch(word):
            return f"{word} is too high: numbers go up to {HIGHEST_VALUE}"
        if _TOO_FINE.fullmatch(word):
            return f"{word} is finer than weights are: type {DECIMALS} decimals at most"
        if _BELOW.fullmatch(word):
            return f"{word} is below zero"
    return None
