"""Counts as they sound, with what goes wrong with them made on purpose; see counted_speech.py for the words."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from random import Random

import count_sounds as sounds
from counted_speech import (
    DIGITS,
    EDGE,
    RATE,
    Pcm,
    Piece,
    Wave,
    Words,
    attack,
    cut,
    end,
    faded,
    highest,
    mixed,
    murmur,
    notes,
    onsets,
    people,
    saying,
)

BEATS = (0.40, 0.78)
"""Seconds a count when the hammer hardly swings any more: from passes as fast as these words can be said up to to and
fro of the longest hammer (reckoning/hammer_period.py)."""
SLOW_BEATS = (0.75, 0.95)
BEFORE, AFTER = 1.0, 4.0
"""Seconds of silence around a count."""


class Trouble(StrEnum):
    NONE = "clean"
    DROPPED = "dropped, beat kept"
    """One in the middle is not spoken up; the next comes a beat later."""
    KNOCK = "covered by a knock"
    """A knock falls on one of them, any but the last."""
    KNOCK_LAST = "knock on the last"
    SOFTER = "softer and softer"
    """The voice falls away with the swings: the last one at a fifth of the loudness of the first (14 dB)."""
    NEXT_NOTE = "next note at once"
    """The next note of the plan is named before the silence is over: 0.8 to 1.5 beats after the last number."""
    NEXT_JUMP = "a jump at once"
    """The same, of a note that no plan knows of."""
    KNOCK_AFTER = "knock afterwards"
    """The action is knocked 0.3 to 1.5 s after the last one."""
    STUTTERED = "doubled within a beat"
    SLOW = "slow"
    """A large hammer to and fro, and slower still."""
    COUGH = "a cough afterwards"
    KEYS = "keys and action handled"
    """Soft knocks throughout."""
    MURMUR = "talk under the breath afterwards"
    TOTALS = "two totals in a breath"
    COUNTS = "two counts in a breath"
    DOUBLED = "doubled, a beat each"
    """Two totals are possible: only a question is right."""
    SKIPPED = "left out, no beat"
    """ "one two four", evenly: only a question is right."""
    FIRST_GONE = "the first not heard"
    """A question, or the right total."""
    WHISPERED = "whispered"
    """Taken rightly, asked about or not taken at all."""


ONLY_A_QUESTION = frozenset({Trouble.DOUBLED, Trouble.SKIPPED})
"""No total is right."""
NOT_COUNTED = ONLY_A_QUESTION | {Trouble.FIRST_GONE, Trouble.WHISPERED}
"""Where a question is no fault."""


@dataclass(frozen=True)
class Take:
    """What is said of one hammer, or of two, as it sounds."""

    speaker: str
    trouble: Trouble
    note: str
    """ "a four", "" = none said."""
    total: int
    wave: Pcm
    ends: tuple[tuple[int, float], ...]
    """(number, seconds at which its word ends), of what was spoken."""
    then: str = ""
    """The note that was named right after it."""
    second: int | None = None
    """The total said of `then` in the same breath."""


@dataclass
class _Making:
    """A take under way."""

    words: Words
    rng: Random
    pieces: list[Piece] = field(default_factory=list)
    at: float = BEFORE
    ends: list[tuple[int, float]] = field(default_factory=list)

    def say(self, text: str) -> None:
        said, self.at = saying(text, self.words, self.at, self.rng)
        self.pieces += said

    def count(self, spoken: list[tuple[int, float, Wave]], trouble: Trouble) -> None:
        """(number, beat's time, sound) from here on."""
        spoken.sort(key=lambda one: one[1])
        # the first word's attack is on the first beat: what is before it still needs room after the note
        self.at += max(0.0, attack(spoken[0][2]) - EDGE)
        begins = [self.at + onset - attack(voice) for _, onset, voice in spoken]
        for i, (number, _, voice) in enumerate(spoken):
            room = begins[i + 1] - begins[i] if i + 1 < len(spoken) else 9.0
            voice = faded(voice[: round((room + EDGE) * RATE)])
            if trouble is Trouble.SOFTER:
                voice = voice * 0.2 ** (i / (len(spoken) - 1))
            if trouble is Trouble.WHISPERED:
                voice = sounds.whispered(voice, self.rng)
            self.pieces.append((begins[i], voice))
            self.ends.append((number, begins[i] + end(voice)))


def take(
    speaker: str, split: str, trouble: Trouble, rng: Random, noise: float = 60.0, named: bool | None = None
) -> Take:
    """A count of two to nine swings, as far as the speaker has digits; `noise`: its root mean square, everywhere;
    `named`: with a note (where the speaker has one) or without; None: as chance will."""
    words = people(split)[speaker]
    make, known, note = _Making(words, rng), notes(words), ""
    together = trouble in (Trouble.TOTALS, Trouble.COUNTS)
    if known and (together or (rng.random() < 0.5 if named is None else named)):
        note = rng.choice(known)
        make.say(note)
        make.at += 0.0 if trouble is Trouble.TOTALS else _pause(rng)
    if together and len(known) > 1:
        return _two(speaker, trouble, make, note, rng.choice([n for n in known if n != note]), noise)
    total = _total(words, trouble, rng)
    beat = _beat(trouble, rng)
    spoken, odd, beats = _spoken(words, total, trouble, beat, rng)
    began = make.at + max(0.0, attack(spoken[0][2]) - EDGE)
    make.count(spoken, trouble)
    last = spoken[-1][1] + began
    then = ""
    if trouble is Trouble.KNOCK:
        make.pieces.append((began + beats[odd] + rng.uniform(-0.1, 0.1), sounds.knock(rng)))
    elif trouble is Trouble.KNOCK_LAST:
        make.pieces.append((last + rng.uniform(-0.1, 0.1), sounds.knock(rng)))
    elif trouble is Trouble.KEYS:
        make.pieces.append((BEFORE / 2, sounds.keys(rng, last + 1)))
    elif trouble in (Trouble.NEXT_NOTE, Trouble.NEXT_JUMP) and (others := [n for n in known if n != note]):
        then = rng.choice(others)
        make.at = max(last + rng.uniform(0.8, 1.5) * beat, make.ends[-1][1] + 0.1)
        make.say(then)
        last = make.at
    elif (afterwards := _afterwards(trouble, split, rng)) is not None:
        make.pieces.append((make.ends[-1][1] + rng.uniform(0.3, 1.5), afterwards))
    wave = mixed(make.pieces, last + AFTER, noise, rng)
    return Take(speaker, trouble, note, total, wave, tuple(make.ends), then)


def _pause(rng: Random) -> float:
    """Between the note and the count: the hammer is let fall; now and then it has to be found first."""
    return rng.uniform(0.15, 1.2) if rng.random() < 0.75 else rng.uniform(1.2, 3.0)


def _total(words: Words, trouble: Trouble, rng: Random) -> int:
    return min(highest(words), max(4 if trouble is not Trouble.NONE else 2, round(rng.gauss(6.5, 1.7))))


def _beat(trouble: Trouble, rng: Random) -> float:
    if trouble is Trouble.SLOW:
        return rng.uniform(*SLOW_BEATS)
    return rng.uniform(0.68 if trouble is Trouble.STUTTERED else BEATS[0], BEATS[1])


def _spoken(
    words: Words, total: int, trouble: Trouble, beat: float, rng: Random
) -> tuple[list[tuple[int, float, Wave]], int, list[float]]:
    """What is said when, which number the trouble is with (its place, from 0), and the beats."""
    voices = [cut(rng.choice(words[d])) for d in DIGITS[:total]]
    beats = onsets(total + 1, beat, rng)
    odd = rng.randrange(1, total - 1) if total > 2 else 0
    spoken = [(n, beats[n - 1], voices[n - 1]) for n in range(1, total + 1)]
    if trouble is Trouble.DROPPED:
        del spoken[odd]
    elif trouble is Trouble.FIRST_GONE:
        del spoken[0]
    elif trouble is Trouble.SKIPPED:
        spoken = [(n, beats[n - 1 - (n > odd)], voices[n - 1]) for n in range(1, total + 1) if n != odd + 1]
    elif trouble is Trouble.DOUBLED:
        spoken = [(n, beats[n - 1 + (n > odd)], voices[n - 1]) for n in range(1, total + 1)]
        spoken.insert(odd, (odd, beats[odd], voices[odd - 1]))
    elif trouble is Trouble.STUTTERED:
        spoken.insert(odd, (odd, beats[odd - 1] + 0.45 * beat, voices[odd - 1]))
    return spoken, odd, beats


def _afterwards(trouble: Trouble, split: str, rng: Random) -> Wave | None:
    if trouble is Trouble.KNOCK_AFTER:
        return sounds.knock(rng)
    if trouble is Trouble.COUGH:
        return sounds.cough(rng)
    return murmur(split, rng) if trouble is Trouble.MURMUR else None


def _two(speaker: str, trouble: Trouble, make: _Making, note: str, then: str, noise: float) -> Take:
    """ "A four seven B four six", or the same counted, with hardly a pause before the second note."""
    rng, totals = make.rng, [_total(make.words, trouble, make.rng) for _ in range(2)]
    for named, total in ((note, totals[0]), (then, totals[1])):
        if named is then:
            make.at += rng.uniform(0.0, 0.25)
            make.say(named)
        if trouble is Trouble.TOTALS:
            make.say(DIGITS[total - 1])
        else:
            make.at += rng.uniform(0.0, 0.25) if named is then else 0.0
            make.count(_spoken(make.words, total, trouble, _beat(trouble, rng), rng)[0], trouble)
            make.at = make.ends[-1][1]
    wave = mixed(make.pieces, make.at + AFTER, noise, rng)
    ends = tuple(make.ends) or ((totals[1], make.at),)
    return Take(speaker, trouble, note, totals[0], wave, ends, then, totals[1])
