"""What the synthetic voices say: sentences of the tool's language, drawn at random, for words that no corpus has.

Pure: a random generator in, a sentence out. "," marks a short pause. Shares follow need: readings in natural flow
first, single letters next (they sound alike: B C D E G, A/eight), then everything else at least now and then.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

ONES = "zero one two three four five six seven eight nine".split()
TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
NOTES = list("abcdefg")
OTHER_LETTERS = list("hijklmnopqrstuvwxyz")
SPELLED = "alfa bravo charlie delta echo foxtrot golf".split()
SPELLED_REST = (
    "hotel india juliett kilo lima mike november oscar papa quebec romeo sierra tango uniform victor whiskey x-ray"
    " yankee zulu"
).split()
PARTS = (
    "action|hammers|hammer heads|hammer shanks|hammer flanges|centre pins|center pins|key bushings|bushing cloth|"
    "keytops|balance holes|balance rail pins|front rail pins|balance rail|front rail|backchecks|checks|dampers|"
    "damper felts|damper wires|damper levers|wippens|repetition levers|repetition springs|jacks|knuckles|rollers|"
    "springs|capstans|let off buttons|set-off buttons|drop screws|screws|regulation|strings|bass strings|"
    "treble strings|bass bridge|treble bridge|bridges|bridge pins|soundboard|ribs|plate|frame|pinblock|"
    "wrest plank|wrest pins|tuning pins|tuning|agraffes|capo bar|hitch pins|duplex|plain strings|wound strings|"
    "understring felt|pedals|lyre|pedal rods|trapwork|case|lid|prop|fallboard|music desk|key slip|key blocks|"
    "bottom board|legs|castors|casters|stickers|hammer butts|butt springs|catchers|bridle straps|tapes|"
    "hammer rail|damper spoons|spring rail|rest cushions|punchings|una corda|sostenuto|sustain pedal|"
    "practice pedal|celeste rail|keybed|keyframe|finish|polish|veneer|hinges|lock|bench|stool|cheeks"
).split("|")
FINDINGS = (
    "good|fair|poor|bad|fine|new|light wear|worn|heavily worn|failing|unsafe|unusable|not looked at|"
    "heavily grooved|grooved|lightly grooved|hard|soft|cracked|split|loose|slightly loose|too tight|tight|seized|"
    "stiff|sluggish|slow|sticking|sticky|clicking|buzzing|rattling|rusty|dusty|dirty|moth eaten|missing|broken|"
    "chipped|scratched|dented|faded|replaced|original|clean|corroded|flat sided|uneven|noisy|squeaking|warped|"
    "swollen|dry|damp|damaged|worn-out|frayed|torn|bent|twisted|leaning|separated|stained|repaired|shaped|"
    "misaligned|even|weak|brittle|yellowed|blocking|rubbing|touching|lost motion|one broken|two missing|"
    "three cracked"
).split("|")
PLACES = (
    "bass|tenor|treble|left|right|middle|front|back|inside|outside|bass cheek|treble cheek|top|bottom|left side|"
    "right side|bass end|treble end|front edge|back corner|bass break"
).split("|")


def number(n: int) -> str:
    """0..199 in words, without "and"."""
    if n >= 100:
        return "one hundred" + (f" {number(n - 100)}" if n > 100 else "")
    if n < 20:
        return ONES[n] if n < 10 else TEENS[n - 10]
    return TENS[n // 10 - 2] + (f" {ONES[n % 10]}" if n % 10 else "")


def weight(rng: Random, low: int, high: int) -> str:
    """Grams as people say them."""
    n = rng.randint(low, high)
    way = rng.random()
    if way < 0.62:
        return number(n)
    if way < 0.72:
        unit = rng.choice(["oh", "zero"]) if n % 10 == 0 else ONES[n % 10]
        return f"{ONES[n // 10]} {unit}" if n < 100 else number(n)
    if way < 0.86:
        return f"{number(n)} and a half"
    point = rng.choice(["point", "point", "point", "decimal"])
    return f"{number(n)} {point} {rng.choice(['five', 'five', 'five', *ONES])}"


def note(rng: Random) -> str:
    """A note in one of the three ways."""
    if rng.random() < 0.08:
        return f"key {rng.choice(['', 'number '])}{number(rng.randint(1, 88))}"
    name = rng.choice(NOTES) if rng.random() < 0.78 else rng.choice(SPELLED)
    accidental = rng.choices(["", " sharp", " flat", " natural"], [60, 24, 11, 5])[0]
    octave = rng.choice(ONES[:9]) if rng.random() < 0.95 else rng.choice(["tree", "fower", "fife", "zero"])
    return f"{name}{accidental} {octave}"


def values(rng: Random) -> str:
    way = rng.random()
    down, up = weight(rng, 40, 75), weight(rng, 8, 45)
    if way < 0.5:
        return f"{down}, {up}"
    if way < 0.62:
        return down
    if way < 0.78:
        return f"down {down}, up {up}"
    if way < 0.84:
        return f"down {down}"
    if way < 0.9:
        return f"up {up}"
    if way < 0.95:
        return f"{down}, no return"
    return f"{weight(rng, 20, 120)}, {weight(rng, 0, 60)}"


def reading(rng: Random) -> str:
    return f"{note(rng)}, {values(rng)}"


def letters(rng: Random) -> str:
    """Letters alone, note names mostly, often with their octave."""
    said = []
    for _ in range(rng.randint(2, 6)):
        letter = rng.choice(NOTES) if rng.random() < 0.75 else rng.choice(OTHER_LETTERS)
        said.append(letter + (f" {rng.choice(ONES[:9])}" if rng.random() < 0.4 else ""))
    return ", ".join(said)


def letter_by_letter(rng: Random) -> str:
    """A name spelled out, slowly or in one go."""
    pool = NOTES * 2 + OTHER_LETTERS
    return rng.choice([" ", ", "]).join(rng.choice(pool) for _ in range(rng.randint(3, 8)))


def spelled(rng: Random) -> str:
    pool = SPELLED * 2 + SPELLED_REST
    octaves = [f" {octave}" for octave in ONES[:9]]
    return ", ".join(rng.choice(pool) + rng.choice(["", rng.choice(octaves)]) for _ in range(rng.randint(1, 4)))


def procedure(rng: Random) -> str:
    fixed = (
        "yes|no|affirm|affirmative|negative|disregard|disregard that|say again|read back|stand by|go ahead|same|"
        "same as before|next|back|skip|repeat|over|okay|go back|next key|go to|help|stop|undo|settle"
    ).split("|")
    way = rng.random()
    if way < 0.55:
        return ", ".join(rng.sample(fixed, rng.randint(1, 3)))
    if way < 0.75:
        return f"correction, {rng.choice([weight(rng, 10, 75), values(rng), reading(rng)])}"
    if way < 0.85:
        return f"read back {note(rng)}"
    if way < 0.95:
        return f"{rng.choice(['negative', 'no'])}, {weight(rng, 10, 75)}"
    return f"{note(rng)} same"


LONE = (
    "yes|no|affirm|affirmative|negative|disregard|next|back|same|good|fair|poor|worn|repeat|skip|over|okay|undo|stop|"
    "go ahead|stand by|say again|read back|settle|help|done|seized|again|swings|loose|zero|remark|end remark"
).split("|")


def lone(rng: Random) -> str:
    """One word and nothing else: the shortest sentences are the easiest to take for other talk."""
    way = rng.random()
    if way < 0.7:
        return rng.choice(LONE)
    if way < 0.8:
        return rng.choice(SPELLED)
    return number(rng.randint(1, 12)) if way < 0.9 else rng.choice(NOTES)


def plan(rng: Random) -> str:
    keys = "every key|the naturals|all naturals|the sharps|naturals|sharps|white keys|black keys|no plan".split("|")
    one, other = rng.choice(NOTES), rng.choice(NOTES)
    some = [f"octave {rng.choice(ONES[:9])}", f"each {one} and {other}", f"each {one}"]
    some += [f"list {note(rng)}, {note(rng)}, {note(rng)}", f"from {note(rng)} to {note(rng)}"]
    what = rng.choice(keys + some)
    way = rng.choice(["", "", ", up the compass", ", down the compass", ", up", ", down"])
    return f"{rng.choice(['plan ', 'plan ', ''])}{what}{way}"


def walkthrough(rng: Random) -> str:
    if rng.random() < 0.12:
        plain = "remark|end remark|done|lead me|next item|walkthrough|back|skip|next|not looked at|finish walkthrough"
        return rng.choice(plain.split("|"))
    place = f", {rng.choice(PLACES)}" if rng.random() < 0.35 else ""
    grade = f", {rng.choice(['', 'grade '])}{rng.choice(ONES[:6])}" if rng.random() < 0.6 else ""
    return f"{rng.choice(PARTS)} {rng.choice(FINDINGS)}{place}{grade}"


def swings(rng: Random) -> str:
    way = rng.random()
    if way < 0.4:
        last = rng.randint(2, 12)
        pause = rng.choice([", ", " ", ", "])
        return f"{note(rng)}, " + pause.join(number(n) for n in range(1, last + 1))
    if way < 0.8:
        return f"{note(rng)}, {number(rng.randint(0, 16))}{rng.choice(['', '', ' and a half', ' swings'])}"
    total = f"total {number(rng.randint(0, 14))}"
    return rng.choice(["swings", "count again", "seized", f"{note(rng)}, seized", "loose", "swing count", total])


def rare_words(rng: Random, words: Sequence[str]) -> str:
    return ", ".join(rng.sample(list(words), 4))


KINDS: tuple[tuple[float, Callable[[Random], str]], ...] = (
    (0.37, reading),
    (0.03, values),
    (0.18, letters),
    (0.07, letter_by_letter),
    (0.05, spelled),
    (0.07, procedure),
    (0.08, lone),
    (0.02, plan),
    (0.09, walkthrough),
    (0.04, swings),
)


def sentence(rng: Random, vocabulary: Sequence[str]) -> str:
    """One sentence; what is left of the shares goes to words of the whole vocabulary."""
    way = rng.random()
    for share, kind in KINDS:
        if way < share:
            return kind(rng)
        way -= share
    return rare_words(rng, vocabulary)


def spoken_words(text: str) -> str:
    """The transcript: the words alone."""
    return " ".join(text.replace(",", " ").split())
