"""What sounded beside the words of an utterance and got no word: a knock, or something that was said? Pure.

After the last word: wood on wood begins at its loudest and dies away within a tenth of a second or two; a word swells
and lasts. Where both are heard at once the recogniser nearly always finds the word; this is for what it gave no word
to at all. Before a word: the letter of a note, perhaps.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from handsfree.ears.blocks import BLOCK_SECONDS
from handsfree.ears.level import levels_of

ABOVE_FLOOR = 10.0
"""dB above the softest moments that count as sound ..."""
BELOW_WORDS = 20.0
"""... and at most so far below the loudest before it: what is softer is breath or echo."""
SHORTEST = 0.08
"""Seconds; no number is shorter."""
APART = 0.06
"""Seconds after a word that still belong to it."""
LASTS_WITHIN = 12.0
"""dB below its loudest block within which a sound is said to last."""
LASTS = 0.14
"""Seconds that a word lasts so; a knock that loses 100 dB a second, a slow one, lasts 0.12 s."""
BLOWS = 15.0
"""dB above the words: a blow that may cover a word whole."""
CUT_OFF = 0.15
"""Seconds from the start of an utterance: there is more sound than that before the first word of one."""
UNCLEAR = 0.17
"""Seconds of sound before a word that are more than its own first consonant: of 363 digits said alone by 55
people 1 in 100 had more than 0.14 s, the two notes of 360 whose letter was not heard had 0.20 and 0.34 s."""


def sounds_after(pcm: bytes, at: float) -> tuple[float, ...]:
    """When each sound after `at` seconds began that may have been a word, seconds; `pcm`: 16-bit mono at 16 kHz."""
    levels = levels_of(pcm)
    first = math.ceil((at + APART) / BLOCK_SECONDS)
    if not 0 < first < len(levels):
        return ()
    words = max(levels[:first])
    least = _least(levels, words)
    # what sounds at once still belongs to the last word
    while first < len(levels) and levels[first] > least:
        first += 1
    runs = _runs(levels, first, least)
    return tuple(start * BLOCK_SECONDS for start, end in runs if _may_be_a_word(levels[start:end], words))


def unclear_before(pcm: bytes, at: float, since: float = -APART) -> bool:
    """Whether something sounded before `at` seconds, where a word begins, that may have been said; `since`: where the
    word before it ends. A first word that begins at once is the rest of something that was cut off."""
    levels = levels_of(pcm)
    if not levels or (since < 0 and at < CUT_OFF):
        return bool(levels)
    first, last = math.ceil((since + APART) / BLOCK_SECONDS), min(int(at / BLOCK_SECONDS), len(levels))
    least = _least(levels, max(levels))
    while since >= 0 and first < last and levels[first] > least:
        first += 1  # what sounds on still belongs to the word before
    return sum(level > least for level in levels[first:last]) * BLOCK_SECONDS > UNCLEAR


def _least(levels: Sequence[float], words: float) -> float:
    """What counts as sound, dBFS."""
    return max(sorted(levels)[len(levels) // 10] + ABOVE_FLOOR, words - BELOW_WORDS)


def _runs(levels: Sequence[float], first: int, least: float) -> list[tuple[int, int]]:
    """Stretches of blocks above `least`, from block `first` on."""
    found: list[tuple[int, int]] = []
    for i in range(first, len(levels)):
        if levels[i] > least:
            if found and found[-1][1] == i:
                found[-1] = (found[-1][0], i + 1)
            else:
                found.append((i, i + 1))
    return found


def _may_be_a_word(sound: Sequence[float], words: float) -> bool:
    if len(sound) * BLOCK_SECONDS < SHORTEST:
        return False
    lasting = sum(level > max(sound) - LASTS_WITHIN for level in sound) * BLOCK_SECONDS
    return lasting >= LASTS or max(sound) > words + BLOWS
