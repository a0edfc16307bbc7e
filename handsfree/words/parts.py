"""What a walkthrough looks at, as data: the parts of a grand and an upright, what may be found of them, where, and
how bad it is. British and American names meet at one part.

Names are general dictionary terms of the trade. The grades are our own; so is which grades a finding can go with
(common practice, no source): beyond them the tool asks. Nothing here is a verdict.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

Kind = Literal["", "grand", "upright"]

NOT_LOOKED_AT, GOOD, LIGHT_WEAR, WORN, FAILING, UNSAFE = range(6)

GRADES = ("not looked at", "good", "light wear", "worn", "failing", "unsafe")
"""What each grade is called; their numbers are 0..5."""
GRADE_MEANS = (
    "not looked at: nothing is claimed of it",
    "good",
    "light wear, usable",
    "worn, plan work",
    "failing, affects use",
    "unsafe or unusable",
)


@dataclass(frozen=True, slots=True)
class Part:
    name: str
    """Canonical, in the plural where there are many."""
    also: tuple[str, ...]
    """Other names, singular and plural, British and American."""
    group: str
    kind: Kind
    """ "": in both."""
    families: tuple[str, ...]
    """Of findings, beside those that any part may have."""

    def belongs_to(self, kind: str) -> bool:
        """Whether an instrument of this kind ("" = not known) can have it."""
        return not (self.kind and kind) or self.kind == kind


@dataclass(frozen=True, slots=True)
class Found:
    """A finding."""

    name: str
    also: tuple[str, ...]
    least: int
    """The best grade that it can go with ..."""
    most: int
    """... and the worst."""
    implied: int | None = None
    """The grade that it means where none is said."""

    def fits(self, grade: int | None) -> bool:
        return grade is None or self.least <= grade <= self.most


def _parts(group: str, table: str) -> tuple[Part, ...]:
    """Lines of `name | other names | kind | families`."""
    rows = [[cell.strip() for cell in line.split("|")] for line in table.strip().splitlines()]
    return tuple(Part(name, _names(also), group, _kind(kind), tuple(families.split()))
                 for name, also, kind, families in rows)  # fmt: skip


def _kind(text: str) -> Kind:
    match text:
        case "grand" | "upright" | "":
            return text
    raise ValueError(f"no kind of piano: {text}")


def _names(text: str) -> tuple[str, ...]:
    return tuple(name.strip() for name in text.split(",") if name.strip())


PARTS: tuple[Part, ...] = (
    *_parts("case", """
        case         | rim, cheek, cheeks, veneer                  |         | wood surface
        finish       | polish, lacquer                             |         | surface
        lid          | lids, top lid                               |         | wood surface joint
        lid prop     | prop                                        | grand   | wood joint
        hinges       | hinge, lock, locks                          |         | metal joint
        fallboard    | fall                                        |         | wood surface joint
        music desk   | desk                                        |         | wood surface joint
        key slip     |                                             |         | wood surface joint
        key blocks   | key block                                   |         | wood surface joint
        top door     | upper panel                                 | upright | wood surface joint
        bottom board | bottom boards, bottom door, lower panel     | upright | wood joint
        legs         | leg                                         |         | wood surface joint
        castors      | castor, casters, caster                     |         | metal joint moving
        bench        | stool                                       |         | wood surface joint
    """),
    *_parts("keys", """
        keytops      | keytop                                      |         | surface joint even
        keys         | key                                         |         | wood moving even
        front pins   | front pin, front rail pins, front rail pin  |         | metal
        balance pins | balance pin, balance rail pins, balance rail pin |    | metal
        key bushings | key bushing                                 |         | felt moving
        balance holes | balance hole                               |         | wood moving
        punchings    | punching, front punchings                   |         | felt
        key weights  | key weight, lead weights, lead weight, key leads, key lead | | metal joint
        keyframe     | keybed                                      |         | wood joint
    """),
    *_parts("action", """
        capstans     | capstan, capstan screws, capstan screw, pilots, pilot | | metal moving
        wippens      | wippen, whippens, whippen, levers, lever    |         | wood moving
        stickers     | sticker                                     | upright | wood moving
        repetition levers | repetition lever                       | grand   | wood moving
        repetition springs | repetition spring                     | grand   | metal spring
        jacks        | jack                                        |         | wood moving
        jack springs | jack spring                                 | upright | metal spring
  let off buttons | let off button, set-off buttons, set-off button, regulating buttons, regulating button|| felt even
        drop screws  | drop screw                                  | grand   | metal even
        knuckles     | knuckle, rollers, roller                    | grand   | felt
        butts        | butt, hammer butts, hammer butt             | upright | felt moving
        butt springs | butt spring                                 | upright | metal spring
        catchers     | catcher                                     | upright | felt joint
        bridle straps | bridle strap, bridle tapes, bridle tape, tapes, tape, straps, strap | upright | felt
        spring rail  |                                             | upright | wood joint
        hammer shanks | hammer shank, shanks, shank                |         | wood joint
        hammer flanges | hammer flange, flanges, flange            |         | wood moving joint
        centre pins  | centre pin, center pins, center pin         |         | metal moving
        flange bushings | flange bushing, bushing cloth, bushings  |         | felt moving
        hammers      | hammer, hammer heads, hammer head, hammer felts, hammer felt | | felt wood joint moving even
        checks       | check, backchecks, backcheck                |         | felt even
        rest rail    | hammer rail, rest cushions, rest cushion    |         | felt joint
        regulation   |                                             |         | even
    """),
    *_parts("dampers", """
        dampers      | damper, damper heads, damper head           |         | felt wood moving even
        damper felts | damper felt                                 |         | felt
        damper wires | damper wire                                 |         | metal
        damper levers | damper lever                               |         | wood moving
        spoons       | spoon, damper spoons, damper spoon          | upright | metal
    """),
    *_parts("strings and belly", """
        strings      | string                                      |         | metal string
        wound strings | wound string, covered strings, covered string |      | metal string
        plain strings | plain string, plain wire                   |         | metal string
        understring felt | understring cloth                       |         | felt
        tuning pins  | tuning pin, wrest pins, wrest pin           |         | metal turning
        wrest plank  | pinblock                                    |         | wood joint
        soundboard   | belly                                       |         | wood joint
        ribs         | rib                                         |         | wood joint
        bridges      | bridge                                      |         | wood joint
        bridge pins  | bridge pin                                  |         | metal
        frame        | plate                                       |         | metal
        agraffes     | agraffe                                     |         | metal
        capo bar     | capo, pressure bar                          |         | metal
        hitch pins   | hitch pin                                   |         | metal
        duplex       |                                             | grand   | metal string
        pitch        | tuning                                      |         | even string
        tone         | voicing                                     |         | string even
    """),
    *_parts("pedals", """
        lyre         |                                             | grand   | wood joint
        pedals       | pedal                                       |         | metal moving
        pedal rods   | pedal rod                                   |         | metal moving
        trapwork     |                                             |         | wood moving joint
        sustain pedal | damper pedal, loud pedal, right pedal      |         | moving
        soft pedal   | una corda, half blow, celeste, left pedal   |         | moving
        sostenuto    | sostenuto pedal, sostenuto rod              | grand   | moving
        practice pedal |                                           | upright | moving
    """),
)  # fmt: skip


def _found(table: str) -> tuple[Found, ...]:
    """Lines of `name | other ways to say it | grades it can go with | the grade it means`."""
    rows = [[cell.strip() for cell in line.split("|")] for line in table.strip().splitlines()]
    return tuple(Found(name, _names(also), int(grades[0]), int(grades[-1]), int(implied) if implied else None)
                 for name, also, grades, implied in rows)  # fmt: skip


ANY = "any"
FINDINGS: dict[str, tuple[Found, ...]] = {
    ANY: _found("""
        not looked at |                                | 0   | 0
        good          | fine, okay, very good          | 1   | 1
        light wear    | slight wear, lightly worn, slightly worn, usable, fair | 2 | 2
        worn          | wear                           | 2-4 | 3
        heavily worn  | heavy wear, very worn          | 3-4 |
        failing       | poor, bad                      | 4   | 4
        unsafe        | unusable                       | 5   | 5
        worn-out      |                                | 3-5 |
        clean         |                                | 1-3 |
        dirty         |                                | 1-4 |
        dusty         | dust                           | 1-4 |
        damaged       | damage                         | 2-5 |
        broken        |                                | 3-5 |
        missing       |                                | 2-5 |
        loose         |                                | 2-5 |
        noisy         | noise                          | 2-4 |
        repaired      | repair, repairs                | 1-4 |
        replaced      |                                | 1-4 |
        original      |                                | 1-5 |
        water damage  |                                | 2-5 |
        damp          |                                | 2-5 |
        mould         | mold                           | 2-5 |
        insects       | mice, mouse, woodworm          | 2-5 |
    """),
    "felt": _found("""
        grooved       | grooves, groove                | 2-5 |
        hard          | hardened                       | 2-4 |
        soft          |                                | 2-4 |
        compacted     |                                | 2-4 |
        moth eaten    | moth, moths                    | 2-5 |
        frayed        |                                | 2-4 |
        torn          |                                | 2-5 |
        thin          |                                | 2-5 |
        flat          |                                | 2-4 |
        reshaped      |                                | 1-4 |
        swollen       |                                | 2-4 |
        unglued       |                                | 2-5 |
        brittle       | perished                       | 2-5 |
    """),
    "wood": _found("""
        cracked       | crack, cracks                  | 2-5 |
        split         | splits                         | 2-5 |
        warped        |                                | 2-5 |
        twisted       |                                | 2-4 |
        delaminated   |                                | 3-5 |
        separated     |                                | 3-5 |
        unglued       |                                | 2-5 |
    """),
    "surface": _found("""
        scratched     | scratch, scratches             | 1-3 |
        dented        | dent, dents                    | 1-4 |
        chipped       | chip, chips                    | 1-4 |
        faded         |                                | 1-3 |
        stained       | stain, stains                  | 1-4 |
        bubbled       |                                | 2-4 |
        lifting       | lifted, peeling, flaking       | 2-4 |
        crazed        |                                | 1-4 |
        burnt         |                                | 1-4 |
        yellowed      |                                | 1-3 |
        discoloured   | discolored                     | 1-3 |
        cracked       | crack, cracks                  | 2-5 |
        worn through  |                                | 3-4 |
    """),
    "metal": _found("""
        rusty         | rust, rusted                   | 2-5 |
        corroded      | corrosion                      | 2-5 |
        verdigris     |                                | 3-5 |
        bent          |                                | 2-5 |
        cracked       | crack, cracks                  | 3-5 |
    """),
    "joint": _found("""
        wobbly        | wobbling                       | 2-5 |
        gap           | gaps                           | 2-5 |
        leaning       |                                | 2-4 |
        rattling      | rattle, rattles                | 2-4 |
    """),
    "moving": _found("""
        free          | freely                         | 1-2 |
        tight         |                                | 2-5 |
        seized        |                                | 3-5 |
        stiff         |                                | 2-4 |
        sluggish      | slow                           | 2-4 |
        sticking      | stuck, sticky                  | 2-5 |
        binding       | rubbing                        | 2-4 |
        blocking      |                                | 3-5 |
        clicking      | click, clicks                  | 2-4 |
        squeaking     | squeak, squeaks                | 2-4 |
        wobbly        | wobbling                       | 2-5 |
        lost motion   |                                | 2-4 |
        weak          |                                | 2-4 |
    """),
    "turning": _found("""
        tight         |                                | 2-5 |
        jumping       |                                | 2-4 |
    """),
    "spring": _found("""
        weak          | slack                          | 2-4 |
        strong        |                                | 2-4 |
        corroded      | corrosion                      | 2-5 |
        sluggish      | slow                           | 2-4 |
    """),
    "string": _found("""
        false         |                                | 2-4 |
        dull          | dead                           | 2-4 |
        bright        |                                | 1-4 |
        buzzing       | buzz                           | 2-4 |
        rattling      | rattle, rattles                | 2-4 |
        flat          |                                | 2-4 |
        low           |                                | 2-4 |
    """),
    "even": _found("""
        even          | level                          | 1-2 |
        uneven        |                                | 2-4 |
        misaligned    |                                | 2-4 |
    """),
}  # fmt: skip

USUAL = {
    "good": 40.0, "worn": 6.0, "light wear": 5.0, "loose": 3.0, "cracked": 3.0, "missing": 3.0, "broken": 2.0,
    "dirty": 2.0, "grooved": 2.0, "rusty": 2.0, "not looked at": 2.0, "tight": 2.0, "replaced": 2.0, "damp": 0.5,
    "noisy": 0.5, "insects": 0.3, "mould": 0.3, "unglued": 0.4, "verdigris": 0.5, "burnt": 0.4, "bubbled": 0.4,
    "water damage": 0.5, "delaminated": 0.5, "even": 0.5, "bright": 0.5, "soft": 0.5,
}  # fmt: skip
"""How often a finding is said beside the others (1): a guess that only helps to hear."""
GRADED_SO = {NOT_LOOKED_AT: 0.02, GOOD: 0.28, LIGHT_WEAR: 0.32, WORN: 0.26, FAILING: 0.09, UNSAFE: 0.03}
"""How often each grade is said as a number after a finding: another guess."""
GRADED_ALONE = {NOT_LOOKED_AT: 0.02, GOOD: 0.06, LIGHT_WEAR: 0.38, WORN: 0.34, FAILING: 0.15, UNSAFE: 0.05}
"""The same where nothing else is said of the part: whoever means 1 says "good", and "one" sounds like "worn"."""
USUAL_PLACES = {"bass": 4.0, "treble": 4.0, "left": 2.0, "right": 2.0, "front": 2.0, "middle": 2.0, "tenor": 2.0}
"""How often a place is said beside the others (1): another guess."""
SPELT_OTHERWISE = frozenset({"mold", "center", "caster", "casters", "whippen", "whippens", "discolored"})
"""Words that sound like another spelling of theirs: read when typed, never expected by ear."""

TYPED_OTHERWISE = {
    "soundboard": "sound board", "backcheck": "back check", "backchecks": "back checks", "keytop": "key top",
    "keytops": "key tops", "pinblock": "pin block", "fallboard": "fall board", "trapwork": "trap work",
    "keyframe": "key frame", "keybed": "key bed", "key slip": "keyslip", "key blocks": "keyblocks",
}  # fmt: skip
"""Names that some write apart and others together: they sound the same, and are read when typed."""

PLACES: tuple[str, ...] = (
    "bass", "tenor", "middle", "treble", "left", "right", "front", "back", "top", "bottom", "inside", "outside",
    "bass cheek", "treble cheek", "left cheek", "right cheek", "bass side", "treble side", "left side", "right side",
    "bass end", "treble end", "left end", "right end", "bass section", "treble section", "bass break", "treble break",
    "upper treble", "lower bass", "upper side", "under side", "front edge", "back edge", "corner", "all",
)  # fmt: skip
"""Where, beside single notes and stretches from note to note."""
BEFORE_THE_PART: tuple[str, ...] = ("bass", "tenor", "middle", "treble")
"""What may also stand first: "treble bridge cracked"."""

BY_NAME = {part.name: part for part in PARTS}


def findings_of(part: Part) -> tuple[Found, ...]:
    """Each once, those that any part may have first."""
    return _each_once(tuple(found for family in (ANY, *part.families) for found in FINDINGS[family]))


def all_findings() -> tuple[Found, ...]:
    return _each_once(tuple(found for family in FINDINGS.values() for found in family))


ONE_FOR_MANY_KEYS = frozenset({
    *(part.name for part in PARTS if part.group in ("case", "pedals")),
    "keyframe", "rest rail", "spring rail", "wrest plank", "ribs", "frame", "capo bar",
})  # fmt: skip
"""Parts that nobody places by the note of a key. Cracks of soundboard and bridges are."""


def ordinary(part: str, finding: str, place: str) -> bool:
    """Whether the part can have the finding, and there, by these tables ("" = whatever is not said)."""
    if part in ONE_FOR_MANY_KEYS and place and place not in PLACES:
        return False
    return not (part and finding) or finding in _names_of_findings(part)


@cache
def _names_of_findings(part: str) -> frozenset[str]:
    return frozenset(found.name for found in findings_of(BY_NAME[part]))


def _each_once(findings: tuple[Found, ...]) -> tuple[Found, ...]:
    """By name; the first one stands, with all ways to say it and the widest grades."""
    merged: dict[str, Found] = {}
    for found in findings:
        old = merged.get(found.name, found)
        merged[found.name] = Found(
            old.name,
            tuple(dict.fromkeys((*old.also, *found.also))),
            min(old.least, found.least),
            max(old.most, found.most),
            old.implied,
        )
    return tuple(merged.values())


FOUND = {found.name: found for found in all_findings()}


def contradictory(finding: str, grade: int | None) -> bool:
    """Whether a finding and a grade cannot both be meant."""
    return finding in FOUND and not FOUND[finding].fits(grade)


def implied_grade(finding: str) -> int | None:
    return FOUND[finding].implied if finding in FOUND else None


def belongs(part: str, kind: str) -> bool:
    """Whether an instrument of this kind ("" = not known) can have a part."""
    return part not in BY_NAME or BY_NAME[part].belongs_to(kind)


def route(kind: str) -> tuple[str, ...]:
    """The parts of a grand or an upright ("" = of any), in the order of a walk round the instrument."""
    return tuple(part.name for part in PARTS if part.belongs_to(kind))
