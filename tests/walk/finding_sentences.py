"""What is said in a walkthrough, drawn at random for measuring; the seed is the caller's.

Not drawn from the grammar: its chances are what the ear expects, and a measure that follows them would follow every
change of them. Here each part is as likely as any other, and so is each name of it but the usual one; of the findings
either all are alike but "good" (hard: most are rare), or they come as often as parts.py guesses (usual).
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from handsfree.nouns import Context, Finding, Said
from handsfree.reckoning.compass import note_name
from handsfree.words import parts
from handsfree.words.grammar import understand

STEERING = (
    "next", "back", "skip", "remark", "disregard", "lead me", "stop leading", "say again", "read back", "stand by",
    "grand", "upright", "temperature twenty one", "humidity forty five percent", "humidity thirty eight",
    "correction two", "correction worn", "touch pass", "read back hammers", "temperature eighteen point five degrees",
)  # fmt: skip
USUAL_NAME, GOOD, PLACE, NOTE, GRADE, GRADE_NAMED = 0.7, 0.25, 0.3, 0.2, 0.6, 0.2
"""Chances: a part or finding by its usual name, the finding "good", a place, a note for a place, a grade, its name
instead of its number."""
KINDS = {"with its part": 5, "finding first": 1, "of the part at hand": 3, "steering": 1}
"""In which way it is said, and how often."""
DIGITS = ("zero", "one", "two", "three", "four", "five")


@dataclass(frozen=True, slots=True)
class Line:
    kind: str
    """One of KINDS."""
    at: str
    """The part where the walkthrough is; "" = at none."""
    text: str
    said: Said
    graded: str
    """How a grade was said after the finding: "number", "name", or "" = not at all."""


def lines(count: int, seed: int, *, usual: bool = False) -> list[Line]:
    """Each text once for each part."""
    chance, found = Random(seed), dict[tuple[str, str], Line]()
    while len(found) < count:
        kind = chance.choices(list(KINDS), list(KINDS.values()))[0]
        part = chance.choice(parts.PARTS)
        name, (finding, *rest), graded = _name(chance, part.name, part.also), *_seen(chance, part, usual)
        match kind:
            case "with its part":
                at, words = "", [name, finding, *rest]
            case "finding first":
                at, words = "", [finding, name, *rest]
            case "of the part at hand":
                at, words = part.name, [finding, *rest]
            case _:
                at, words, graded = part.name, [chance.choice(STEERING)], ""
        text = " ".join(words)
        said = understand(text, Context.WALKTHROUGH)
        if kind == "finding first" and not (isinstance(said, Finding) and said.part == part.name):
            continue  # "soft pedal" is a part
        found.setdefault((at, text), Line(kind, at, text, said, graded))
    return list(found.values())


def _name(chance: Random, name: str, also: tuple[str, ...]) -> str:
    return chance.choice(also) if also and chance.random() > USUAL_NAME else name


def _seen(chance: Random, part: parts.Part, usual: bool) -> tuple[list[str], str]:
    """Finding, where, grade, never two that contradict each other; and how the grade is said."""
    findings = parts.findings_of(part)
    if usual:
        (found,) = chance.choices(findings, [parts.USUAL.get(one.name, 1.0) for one in findings])
    else:
        found = parts.FOUND["good"] if chance.random() < GOOD else chance.choice(findings)
    said = [_name(chance, found.name, found.also)]
    if chance.random() < PLACE:
        said.append(_spoken_note(chance) if chance.random() < NOTE else chance.choice(parts.PLACES))
    if found.implied is not None or chance.random() >= GRADE:
        return said, ""
    graded, grade = "name" if chance.random() < GRADE_NAMED else "number", chance.randint(found.least, found.most)
    return [*said, (parts.GRADES if graded == "name" else DIGITS)[grade]], graded


def _spoken_note(chance: Random) -> str:
    name = note_name(chance.randint(4, 87))
    octave = ("zero", *DIGITS[1:], "six", "seven", "eight")[int(name[-1])]
    return f"{name[0].lower()} {'sharp ' if '#' in name else ''}{octave}"
