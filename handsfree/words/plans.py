"""Plans: which keys to go through, and in which order, as spoken and as given to `--plan`.

A plan's name is also a sentence: `plan_named(plan.name)` is the plan again.
"""

from __future__ import annotations

import re
from typing import Literal

from handsfree.nouns import HIGHEST_KEY, LOWEST_KEY, OffKeyboard, Plan
from handsfree.reckoning.compass import SEMITONE, is_sharp, note_name
from handsfree.words.expressions import (
    EMPTY,
    Act,
    Alt,
    Expression,
    Word,
    meaning,
    meanings,
    perhaps,
    phrase,
    seq,
)
from handsfree.words.notes import (
    accidental_or_none,
    any_note,
    key_of,
    letter,
)
from handsfree.words.spoken import UNITS, digit_of
from handsfree.words.typed import typed_to_spoken

ALL_KEYS = tuple(range(LOWEST_KEY, HIGHEST_KEY + 1))
LONGEST_SPOKEN_LIST = 8
"""Notes in one breath; a longer list can be typed or given to --plan."""
MOST_PITCHES = 4
""" "each C, E, G and B"."""

Way = Literal["", "up", "down"]

NO_PLAN = Plan("none", ())
EVERY_KEY = Plan("every key", ALL_KEYS)
NATURALS = Plan("naturals", tuple(k for k in ALL_KEYS if not is_sharp(k)))
SHARPS = Plan("sharps", tuple(k for k in ALL_KEYS if is_sharp(k)))


def octave_plan(octave: int) -> Plan:
    """C to B of one octave, as far as the keyboard goes (octave 0 is A0 to B0, octave 8 is C8)."""
    lowest = 12 * octave - 8
    return Plan(f"octave {UNITS[octave]}", tuple(k for k in ALL_KEYS if lowest <= k < lowest + 12))


def each_plan(pitches: tuple[tuple[str, str], ...]) -> Plan:
    """All keys of some pitches, each a letter A..G and an accidental, from the lowest up."""
    keys = {
        key
        for name, accidental in pitches
        for octave in range(9)
        if (key := key_of(name, accidental, octave)) is not None
    }
    names = [" ".join(filter(None, pitch)) for pitch in pitches]
    return Plan("each " + _listed(names), tuple(sorted(keys)))


def list_plan(keys: tuple[int, ...]) -> Plan:
    """These keys in this order."""
    return Plan("keys " + ", ".join(note_name(k) for k in keys), keys)


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def directed(plan: Plan | OffKeyboard, way: Way) -> Plan | OffKeyboard:
    """The plan along the compass; without a way it stays as it is (a list in the order said, else upwards)."""
    if not way or isinstance(plan, OffKeyboard) or not plan.keys:
        return plan
    keys = tuple(sorted(plan.keys, reverse=way == "down"))
    return plan if keys == plan.keys else Plan(f"{plan.name}, {way} the compass", keys)


# ---------------------------------------------------------------- as sentences


def _joined(items: list[Expression], last: Expression) -> Alt:
    """1..n items; "and" may stand before the last of several."""
    ways: list[tuple[float, Expression]] = [(1.0, last)]
    and_last = seq(perhaps(0.7, Word("and")), last)
    ways += [(1.0, seq(*items[:count], and_last)) for count in range(1, len(items) + 1)]
    return Alt(tuple(ways))


def _each() -> Act:
    pitch = Act(
        seq(
            Alt(tuple((1.0, meaning(name, letter(name))) for name in SEMITONE)),
            accidental_or_none(),
        ),
        lambda name, accidental: (name, accidental),
    )
    pitches = _joined([pitch] * (MOST_PITCHES - 1), pitch)
    return Act(seq(Word("each"), pitches), lambda *found: each_plan(found))


def _list() -> Act:
    note = any_note()

    def make(*keys: int | OffKeyboard) -> Plan | OffKeyboard:
        off = next((k for k in keys if isinstance(k, OffKeyboard)), None)
        return off or list_plan(tuple(k for k in keys if isinstance(k, int)))

    return Act(seq(Word("keys"), _joined([note] * (LONGEST_SPOKEN_LIST - 1), note)), make)


def plan_expression() -> Alt:
    """All plan sentences, meaning a Plan (or OffKeyboard, where a list names a note that no piano has)."""
    return Alt(((0.95, keys_expression()), (0.05, meaning(NO_PLAN, phrase("no plan")))))


def keys_expression() -> Act:
    """Those that name keys."""
    the = perhaps(0.7, Word("the"))
    octave = Act(seq(Word("octave"), digit_of(lambda _: 1.0, range(9), oh=True)), octave_plan)
    base = Alt(
        (
            (0.2, meaning(EVERY_KEY, "every key")),
            (0.15, meaning(NATURALS, seq(the, Word("naturals")))),
            (0.15, meaning(SHARPS, seq(the, Word("sharps")))),
            (0.2, octave),
            (0.15, _each()),
            (0.1, _list()),
        )
    )
    way = Alt(
        (
            (0.7, meaning("", EMPTY)),
            (0.1, meaning("up", "up the compass")),
            (0.2, meaning("down", "down the compass")),
        )
    )
    return Act(seq(base, way), directed)


_PLAN = plan_expression()
_SHORT = {"none": "no plan", "every": "every key", "all": "every key", "all keys": "every key"}
_WAY = re.compile(r"^(?P<base>.*?)[\s,]+(?P<way>up|down)( the compass)?$")


def plan_named(text: str) -> Plan | None:
    """A plan as given to `--plan`, spoken, or named in a journal; None: no such plan.

    "none", "every", "naturals", "sharps", "octave four", "each C and F", a list "A0, C1, 49" of any length; all of
    them also with "up" or "down" ("the compass").
    """
    text = " ".join(text.lower().split())
    found = _WAY.match(text)
    base, way = (found["base"], found["way"]) if found else (text, "")
    plan = _undirected(base)
    if plan is None:
        return None
    done = directed(plan, "up" if way == "up" else "down" if way == "down" else "")
    return done if isinstance(done, Plan) else None


def _undirected(text: str) -> Plan | None:
    words = typed_to_spoken(_SHORT.get(text, text)).split()
    if words:
        for plan in meanings(_PLAN, words):
            return plan if isinstance(plan, Plan) else None
    return _written_list(text.removeprefix("keys "))


def _written_list(text: str) -> Plan | None:
    keys = [_written_key(item) for item in re.split(r"[\s,;]+", text) if item]
    known = tuple(k for k in keys if k is not None)
    return list_plan(known) if known and len(known) == len(keys) else None


def _written_key(item: str) -> int | None:
    """ "49", "c#4" or "bb3"."""
    if re.fullmatch(r"[0-9]{1,2}", item):
        return int(item) if LOWEST_KEY <= int(item) <= HIGHEST_KEY else None
    found = re.fullmatch(r"([a-g])([#♯b♭]?)([0-8])", item)
    if not found:
        return None
    accidental = {"": "", "#": "sharp", "♯": "sharp", "b": "flat", "♭": "flat"}[found[2]]
    return key_of(found[1], accidental, int(found[3]))
