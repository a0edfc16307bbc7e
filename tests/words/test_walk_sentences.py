"""The walkthrough's language: walk.txt by example, the tables of parts.py, and what the ear is given."""

from __future__ import annotations

from math import exp

import pytest

from handsfree import nouns
from handsfree.nouns import Completeness, Context, Finding, Puzzle, RemarkSaid, Said
from handsfree.words import guide, parts
from handsfree.words.grammar import automaton, completeness, sample, understand, vocabulary
from tests.words.choosing import as_likely
from tests.words.showing import cases, shown

GRADE = {text: number for number, text in enumerate(parts.GRADES)}


def walk_shown(said: Said) -> str:
    match said:
        case Finding(part, finding, place, grade):
            return " | ".join([part, finding, place, "-" if grade is None else str(grade)]).replace("  ", " ").strip()
        case nouns.FindingCorrected(finding):
            return f"FindingCorrected {walk_shown(finding)}"
        case nouns.PartNamed(part) | nouns.ReadPart(part):
            return f"{type(said).__name__} {part}".strip()
        case nouns.LeadMe(on):
            return f"LeadMe {on}"
        case nouns.Noted(what, value):
            return f"Noted {what.value} {value}"
        case nouns.PassWanted(wanted):
            return f"PassWanted {wanted.value}"
        case RemarkSaid(text):
            return f"RemarkSaid {text}".strip()
        case _:
            return shown(said)


@pytest.mark.parametrize(("context", "text", "meaning"), cases("walk.txt"))
def test_a_text_means(context: Context, text: str, meaning: str) -> None:
    assert walk_shown(understand(text, context)) == meaning


@pytest.mark.parametrize("part", parts.PARTS, ids=lambda p: p.name)
def test_every_name_of_a_part_means_it(part: parts.Part) -> None:
    for name in (part.name, *part.also):
        assert understand(name, Context.WALKTHROUGH) == nouns.PartNamed(part.name)


@pytest.mark.parametrize("part", parts.PARTS, ids=lambda p: p.name)
def test_every_finding_of_a_part_is_understood_in_all_its_ways(part: parts.Part) -> None:
    for found in parts.findings_of(part):
        for way in (found.name, *found.also):
            said = understand(f"{part.name} {way}", Context.WALKTHROUGH)
            assert said == Finding(part.name, found.name, "", found.implied), way


@pytest.mark.parametrize("found", parts.all_findings(), ids=lambda f: f.name)
def test_a_finding_may_be_said_before_its_part_and_a_place_after_it_is_still_one(found: parts.Found) -> None:
    names = {name for part in parts.PARTS for name in (part.name, *part.also)}
    for way in (found.name, *found.also):
        for part in parts.PARTS:
            said = understand(f"{way} {part.name}", Context.WALKTHROUGH)
            assert said == Finding(part.name, found.name, "", found.implied), said
        for name in {f"{way} {name}" for name in names} & names:
            assert isinstance(understand(name, Context.WALKTHROUGH), nouns.PartNamed)
        for place in parts.PLACES:
            said = understand(f"{way} {place}", Context.WALKTHROUGH)
            assert said == Finding("", found.name, place, found.implied), said


def test_no_name_stands_for_two_things() -> None:
    names = [name for part in parts.PARTS for name in (part.name, *part.also)]
    ways = [way for found in parts.all_findings() for way in (found.name, *found.also)]
    assert len(names) == len(set(names))
    assert len(ways) == len(set(ways))
    assert not set(ways) & set(names)


LISTED = {
    "": "keys: key; keytops: keytop; front pins: front rail pin; balance pins: balance rail pin; key "
    "bushings: key bushing; punchings: punching; key weights: key lead, key leads; capstans: capstan; "
    "wippens: wippen, lever; jacks: jack; let off buttons: regulating button, let off button, set-off "
    "button; hammer shanks: hammer shank; hammer flanges: hammer flange; centre pins: centre pin, center "
    "pin; flange bushings: bushing cloth; hammers: hammer head, hammer felt; checks: backcheck, check; "
    "rest rail: rest cushion, rest rail, hammer rail; dampers: damper head; damper felts: damper felt; "
    "damper wires: damper wire; damper levers: damper lever; lid: lid; fallboard: fallboard; music desk: "
    "music desk; key slip: key slip; key blocks: key blocks; legs: legs; castors: castors, caster; pedal "
    "rods: pedal rod; trapwork: trapwork; soundboard: soundboard; ribs: ribs; bridges: bridges; bridge "
    "pins: bridge pins; frame: plate, frame; wrest plank: pinblock, wrest plank; tuning pins: tuning "
    "pins, wrest pins, wrest pin; agraffes: agraffes; capo bar: capo, pressure bar; hitch pins: hitch "
    "pins; plain strings: plain strings; wound strings: wound strings; understring felt: understring "
    "felt; soft pedal: una corda, half blow; sustain pedal: sustain pedal",
    "grand": "repetition levers: repetition lever; repetition springs: repetition spring; drop screws: drop screw; "
    "knuckles: knuckle, roller; sostenuto: sostenuto rod, sostenuto; lyre: lyre; duplex: duplex; lid "
    "prop: prop",
    "upright": "stickers: sticker; butts: hammer butt; butt springs: butt spring; catchers: catcher; bridle straps: "
    "bridle strap, tape; spoons: damper spoon; spring rail: spring rail; practice pedal: practice pedal; "
    "bottom board: bottom board",
}
"""General dictionary names of the trade, British and American (common practice, no source), by who has the part."""


@pytest.mark.parametrize(("kind", "listed"), LISTED.items())
def test_the_trades_names_are_known_and_only_asked_about_where_they_belong(kind: str, listed: str) -> None:
    for part, _, names in (one.strip().partition(": ") for one in listed.split(";")):
        for name in names.split(", "):
            assert understand(name, Context.WALKTHROUGH) == nouns.PartNamed(part)
        assert (part in parts.route("grand"), part in parts.route("upright")) == (kind != "upright", kind != "grand")


def test_a_grand_has_no_bridle_straps_and_an_upright_no_lyre() -> None:
    # general dictionary knowledge of the trade, no source
    assert "bridle straps" in parts.route("upright")
    assert "bridle straps" not in parts.route("grand")
    assert "lyre" in parts.route("grand")
    assert "lyre" not in parts.route("upright")
    assert set(parts.route("")) == set(parts.route("grand")) | set(parts.route("upright"))


@pytest.mark.parametrize(("finding", "grade"), [("good", 4), ("good", 2), ("failing", 1), ("unsafe", 1),
                                                ("not looked at", 3), ("seized", 1), ("broken", 1)])  # fmt: skip
def test_what_contradicts(finding: str, grade: int) -> None:
    assert parts.contradictory(finding, grade)


@pytest.mark.parametrize(("finding", "grade"), [("good", 1), ("grooved", 3), ("scratched", 1), ("missing", 5),
                                                ("good", None), ("", 4)])  # fmt: skip
def test_what_does_not(finding: str, grade: int | None) -> None:
    assert not parts.contradictory(finding, grade)


def test_not_looked_at_is_no_good() -> None:
    assert parts.implied_grade("not looked at") == parts.NOT_LOOKED_AT != parts.implied_grade("good") == parts.GOOD


def test_what_the_ear_is_given_is_what_is_understood() -> None:
    """Sentences drawn as likely as the ear expects them mean what they were drawn for."""
    choose = as_likely(9)
    for _ in range(400):
        text, said = sample(Context.WALK_ANSWER, choose)
        assert understand(text, Context.WALK_ANSWER) == said, text


@pytest.mark.parametrize("context", [Context.WALKTHROUGH, Context.WALK_ANSWER])
def test_the_automaton_is_deterministic_acyclic_and_adds_up(context: Context) -> None:
    machine = automaton(context)
    assert len(machine.arcs) < 30_000
    assert len({(arc.source, arc.word) for arc in machine.arcs}) == len(machine.arcs)
    leaving: dict[int, float] = {state: exp(-cost) for state, cost in machine.finals.items()}
    for arc in machine.arcs:
        leaving[arc.source] = leaving.get(arc.source, 0.0) + exp(-arc.cost)
    assert all(total == pytest.approx(1, abs=2e-4) for total in leaving.values())
    depth: dict[int, int] = {}
    order = sorted({arc.source for arc in machine.arcs}, reverse=True)
    for _ in range(40):  # longest sentences are far shorter: a cycle would go on growing
        before = dict(depth)
        for arc in machine.arcs:
            depth[arc.source] = max(depth.get(arc.source, 0), 1 + depth.get(arc.target, 0))
        if depth == before:
            break
    else:
        raise AssertionError(f"a cycle among {len(order)} states")


@pytest.mark.parametrize(("text", "how"), [
    ("", Completeness.NOTHING),
    ("grooved bass hammers", Completeness.NOTHING),
    ("correction", Completeness.BEGUN),
    ("lead", Completeness.BEGUN),
    ("hammers", Completeness.EXTENDABLE),
    ("hammers grooved", Completeness.EXTENDABLE),
    ("hammers grooved three", Completeness.CLOSED),
    ("lead me", Completeness.CLOSED),
])  # fmt: skip
def test_completeness(text: str, how: Completeness) -> None:
    assert completeness(text, Context.WALKTHROUGH) is how


def test_every_example_of_the_guide_is_understood() -> None:
    for sentence in guide.walk_sentences():
        for example in sentence.examples:
            assert not isinstance(understand(example, Context.WALK_ANSWER), Puzzle), example


def test_remarks_add_no_word_that_the_ear_would_have_to_know() -> None:
    assert vocabulary(Context.REMARK) == frozenset()


@pytest.mark.parametrize("context", [Context.WALKTHROUGH, Context.WALK_ANSWER, Context.REMARK])
def test_silence(context: Context) -> None:
    assert understand(" ", context) == Puzzle("", "silence")


def test_what_sounds_alike_is_expected_in_one_spelling_and_read_in_both() -> None:
    words = {arc.word for arc in automaton(Context.WALKTHROUGH).arcs}
    assert not words & parts.SPELT_OTHERWISE
    assert words >= {"mould", "centre", "castor", "castors", "wippens", "discoloured"}
    assert understand("casters mold", Context.WALKTHROUGH) == understand("castors mould", Context.WALKTHROUGH)
    assert understand("center pins rusty", Context.WALKTHROUGH) == Finding("centre pins", "rusty", "", None)


def test_a_grade_that_fits_the_finding_is_likelier_than_one_that_contradicts_it() -> None:
    chances = {grade: _chance(f"hammers missing {grade}") for grade in ("one", "two", "three")}
    assert chances["two"] > 10 * chances["one"] > 0
    assert chances["three"] > 10 * chances["one"]


def _chance(text: str) -> float:
    """Of the whole sentence, by the automaton."""
    machine, state, cost = automaton(Context.WALKTHROUGH), automaton(Context.WALKTHROUGH).start, 0.0
    for word in text.split():
        arc = next(a for a in machine.arcs if a.source == state and a.word == word)
        state, cost = arc.target, cost + arc.cost
    return exp(-cost - machine.finals[state])
