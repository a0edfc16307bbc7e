"""Lines as the synthesiser must have them to say note letters as letters: pure."""

from __future__ import annotations

import re

_OCTAVE = "zero|one|two|three|four|five|six|seven|eight|nine"
_NOTE_A = re.compile(
    rf"\bA(?=(?: sharp| flat| natural)? (?:{_OCTAVE})\b)|\bA(?= sharp\b| flat\b| natural\b|[,.?!;:]|$)"
)
_COMMAND = re.compile(r"\[\[|\]\]")


def for_espeak(line: str) -> str:
    """espeak-ng's input: "A four" with the letter's own phonemes, or it would say "uh four" (the article).

    The other note letters are read as letters anyway. Double brackets would be read as phonemes and are taken out.
    """
    return _NOTE_A.sub("[[eI]]", _COMMAND.sub(" ", line))


def for_natural_voice(line: str) -> str:
    """The same for piper, whose double brackets hold phonemes of the IPA."""
    return _NOTE_A.sub("[[ ˈeɪ ]]", _COMMAND.sub(" ", line))
