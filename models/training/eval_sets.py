"""What the evaluation listens to: human speech of people who were never heard in training, by split (dev or test).

Readings are spliced from one person's words (rough word times, fades, the person's own room between them): nobody has
recorded whole readings. The splices are harder than flowing speech: their cut marks are heard too.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile

from corpora import Clip
from hmm import Slots, as_slots

RATE = 16000
DIGITS = "zero one two three four five six seven eight nine".split()
TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
NOTES = list("abcdefg")
SPELLING = "alfa bravo charlie delta echo foxtrot golf hotel india juliett kilo lima mike november oscar papa".split()
SPELLING += "quebec romeo sierra tango uniform victor whiskey x-ray yankee zulu".split()


@dataclass(frozen=True, slots=True)
class Item:
    """Something said, and what was said."""

    name: str
    speaker: str
    about: dict[str, str]
    """Accent group, gender and device, where the corpus tells."""
    samples: np.ndarray
    """16-bit, 16 kHz."""
    slots: Slots
    """Lower case; alternatives where several wordings are right."""

    @property
    def words(self) -> list[str]:
        return [word for alternatives in self.slots for word in alternatives[0]]


def read_sound(path: Path) -> np.ndarray:
    samples, rate = soundfile.read(path, dtype="int16")
    if rate != RATE or samples.ndim != 1:
        raise ValueError(f"{path}: 16 kHz mono is needed")
    return samples


def lowered(slots: Slots) -> Slots:
    return [[[word.lower() for word in words] for words in alternatives] for alternatives in slots]


def whole_clips(clips: Iterable[Clip], corpus: str, split: str, kind: str = "") -> list[Item]:
    return [
        Item(clip.name, clip.speaker, clip.about, read_sound(clip.path), lowered(clip.slots))
        for clip in clips
        if clip.corpus == corpus and clip.split == split and kind in clip.name
    ]


@dataclass(frozen=True, slots=True)
class Voice:
    """One person's words, cut out, and a piece of that person's silence."""

    speaker: str
    about: dict[str, str]
    words: dict[str, list[np.ndarray]]
    room: np.ndarray


def quietest(samples: np.ndarray, length: int = 1600) -> np.ndarray:
    starts = range(0, max(1, len(samples) - length), length // 4)
    return min((samples[start : start + length] for start in starts), key=lambda piece: float((piece**2.0).mean()))


def voices(clips: Iterable[Clip], corpus: str, split: str) -> list[Voice]:
    words: dict[str, dict[str, list[np.ndarray]]] = defaultdict(lambda: defaultdict(list))
    rooms: dict[str, np.ndarray] = {}
    about: dict[str, dict[str, str]] = {}
    for clip in clips:
        if clip.corpus != corpus or clip.split != split:
            continue
        sound = read_sound(clip.path)
        rooms.setdefault(clip.speaker, quietest(sound))
        about[clip.speaker] = clip.about
        for said in clip.spoken:
            if 0.1 <= said.end - said.start <= 1.0:
                piece = sound[max(0, int((said.start - 0.03) * RATE)) : int((said.end + 0.04) * RATE)]
                words[clip.speaker][said.word.lower()].append(piece)
    return [Voice(speaker, about[speaker], dict(found), rooms[speaker]) for speaker, found in words.items()]


def faded(piece: np.ndarray, samples: int = 160) -> np.ndarray:
    shaped = piece.astype(np.float32)
    ramp = np.linspace(0, 1, samples)
    shaped[:samples] *= ramp
    shaped[-samples:] *= ramp[::-1]
    return shaped


def said(voice: Voice, groups: Sequence[Sequence[str]], rng: np.random.Generator) -> np.ndarray:
    """Words of a group 20 to 60 ms apart, groups 180 to 350 ms."""
    pieces: list[np.ndarray] = [room(voice, 0.25, rng)]
    for group in groups:
        for word in group:
            takes = voice.words[word]
            pieces += [faded(takes[rng.integers(len(takes))]), room(voice, rng.uniform(0.02, 0.06), rng)]
        pieces.append(room(voice, rng.uniform(0.16, 0.3), rng))
    pieces.append(room(voice, 0.35, rng))
    return np.concatenate(pieces).astype(np.int16)


def room(voice: Voice, seconds: float, rng: np.random.Generator) -> np.ndarray:
    need = int(seconds * RATE)
    tiled = np.tile(np.concatenate([voice.room, voice.room[::-1]]), need // (2 * len(voice.room)) + 2)
    start = rng.integers(len(tiled) - need + 1)
    return tiled[start : start + need].astype(np.float32)


def framed(voice: Voice, piece: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """One word alone in the person's own silence."""
    return np.concatenate([room(voice, 0.3, rng), faded(piece), room(voice, 0.4, rng)]).astype(np.int16)


def a_value(voice: Voice, rng: np.random.Generator, down: bool) -> list[str]:
    """Two figures: tens and unit, a teen, or digit by digit, whatever the person has words for."""
    have = voice.words
    tens = [word for word in (TENS[2:7] if down else TENS[:3]) if word in have]
    units = [digit for digit in DIGITS[1:] if digit in have]
    teens = [word for word in TEENS if word in have]
    way = rng.random()
    if tens and way < 0.7:
        ten = tens[rng.integers(len(tens))]
        return [ten] if way < 0.1 else [ten, units[rng.integers(len(units))]]
    if teens and not down and way < 0.85:
        return [teens[rng.integers(len(teens))]]
    first = [d for d in (DIGITS[4:8] if down else DIGITS[1:4]) if d in have] or units
    return [first[rng.integers(len(first))], units[rng.integers(len(units))]]


def readings(people: Sequence[Voice], count: int, values: int, seed: int) -> list[Item]:
    """`count` readings of each person: a note letter, an octave, and one or two values (`values`)."""
    items = []
    for voice in people:
        rng = np.random.default_rng([seed, *voice.speaker.encode()])
        letters = [note for note in NOTES if note in voice.words]
        octaves = [digit for digit in DIGITS[:9] if digit in voice.words]
        if not letters or len(octaves) < 3:
            continue
        for number in range(count):
            groups = [[letters[rng.integers(len(letters))], octaves[rng.integers(len(octaves))]]]
            groups += [a_value(voice, rng, down=place == 0) for place in range(values)]
            words = [word for group in groups for word in group]
            name = f"{voice.speaker}-{number}"
            items.append(Item(name, voice.speaker, voice.about, said(voice, groups, rng), as_slots(words)))
    return items


def announcer(folder: Path) -> Voice:
    """The voice of Debian's asterisk-core-sounds-en-g722: one woman, studio; letters, spelling words, numbers.

    `folder`: where its files were unpacked, with letters/, phonetic/ and digits/ below. Needs the package G722.
    """
    words: dict[str, list[np.ndarray]] = {}
    for path in sorted(folder.rglob("*.g722")):
        name = path.stem
        if path.parent.name == "letters" and len(name) == 1:
            words[name] = [decoded(path)]
        elif path.parent.name == "phonetic" and name[1:] == "_p" and name[0].isalpha():
            words[SPELLING["abcdefghijklmnopqrstuvwxyz".index(name[0])]] = [decoded(path)]
        elif path.parent.name == "digits" and name.isdigit() and int(name) <= 90:
            number = int(name)
            word = DIGITS[number] if number < 10 else TEENS[number - 10] if number < 20 else TENS[number // 10 - 2]
            words[word] = [decoded(path)]
    if not words:
        raise ValueError(f"{folder}: no letters/, phonetic/ or digits/ with .g722 files below it")
    return Voice("announcer", {}, words, np.zeros(1600, np.int16))


def decoded(path: Path) -> np.ndarray:
    """A G.722 file, silence at both ends cut down to 40 ms."""
    from G722 import G722

    samples = np.asarray(G722(RATE, 64000).decode(path.read_bytes()), dtype=np.int16)
    loud = np.flatnonzero(np.abs(samples.astype(np.int32)) > 250)
    return samples[max(0, loud[0] - 640) : loud[-1] + 640]
