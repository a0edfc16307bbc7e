"""Short sounds that say what happened, told apart by their shape alone: pure.

    accepted    one short note
    question    two notes, rising, the second held
    withdrawn   two notes, falling
    refused     two low notes, the same, with a gap

They are soft, begin at once (a sign within 100 ms of the event is felt as immediate: CHECKS 7, the 0.1 s limit of
user-interface practice) and are over in a third of a second, since the ears may be closed meanwhile. The pitches
lie between the keys of a piano tuned to 440 Hz, so that none is taken for a string that still sounds.
"""

from __future__ import annotations

import math
from array import array
from collections.abc import Mapping
from dataclasses import dataclass

from handsfree.nouns import Earcon
from handsfree.voice.sound import Sound

RATE = 48_000
PEAK_DBFS = -18.0
"""Soft: far below speech, which comes at about -6."""
EDGE = 0.004
"""Seconds of rise at the beginning of a note, against clicks."""


@dataclass(frozen=True, slots=True)
class Note:
    semitones: float
    """Above A4; quarter tones lie between the keys."""
    seconds: float
    gap: float = 0.0
    """Silence after it, seconds."""


SHAPES: Mapping[Earcon, tuple[Note, ...]] = {
    Earcon.ACCEPTED: (Note(14.5, 0.07),),
    Earcon.QUESTION: (Note(7.5, 0.08), Note(14.5, 0.16)),
    Earcon.WITHDRAWN: (Note(12.5, 0.09), Note(0.5, 0.14)),
    Earcon.REFUSED: (Note(-9.5, 0.09, 0.05), Note(-9.5, 0.12)),
}


def earcon_sound(which: Earcon) -> Sound:
    """The earcon at 48 kHz."""
    samples = array("h")
    for note in SHAPES[which]:
        samples.extend(_samples(note))
        samples.extend([0] * round(note.gap * RATE))
    return Sound(samples.tobytes(), RATE)


def _samples(note: Note) -> list[int]:
    """A tone with an octave above it, soft edges, dying away."""
    count = round(note.seconds * RATE)
    pitch = 440.0 * 2 ** (note.semitones / 12)
    peak = 32767 * 10 ** (PEAK_DBFS / 20)
    samples = []
    for i in range(count):
        at = i / RATE
        left = note.seconds - at
        edge = min(1.0, at / EDGE, left / (note.seconds / 2))
        wave = 0.8 * math.sin(2 * math.pi * pitch * at) + 0.2 * math.sin(4 * math.pi * pitch * at)
        samples.append(round(peak * edge * wave))
    return samples
