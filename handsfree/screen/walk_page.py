"""The walkthrough on the screen: where it is, what was found of each part and how bad, what was not looked at.

Grades stand as number and word; colour only adds to them. Pure: a `Walk` in, lines out.
"""

from __future__ import annotations

from collections import defaultdict

from handsfree.nouns import (
    Circumstance,
    Context,
    Finding,
    FindingAsked,
    FindingTook,
    Item,
    Remark,
    Settled,
    Standing,
    Turn,
    Walk,
    Withdrew,
    asks_kind,
    noted_words,
)
from handsfree.reports.walk_section import climate_told
from handsfree.screen.spotlight import ROLE_OF_OUTCOME, Spot
from handsfree.screen.styled import Line, Piece, Role, fitted, wrapped
from handsfree.words import parts
from handsfree.words.remark_places import INSTRUMENT, standing, words_of
from handsfree.words.walk_sentences import begins_remark

_PART = 19
"""Columns of a part's name."""
TELLING = (FindingTook, FindingAsked, Withdrew, Settled)
"""Facts that say what became of a finding."""


def walk_spot(walk: Walk, turn: Turn | None, partial: str = "") -> Spot:
    """The part that is looked at, big enough for two metres, with the grade that it was given last; over it, what
    became of the last finding, or what is asked."""
    if walk.awaiting_remark or begins_remark(partial, Context.WALKTHROUGH):
        return Spot("recording, a pause of two seconds ends it", "REMARK", "", Role.ASK)
    if walk.standing_by:
        return Spot("standing by", walk.part.upper(), "", Role.FAINT)
    if walk.asking is not None:
        asked = walk.asking.asked.finding
        return _finding_spot("asking", asked, f"{_grade(asked.grade)}?", Role.ASK)
    if turn is None or turn.finding is None or not any(isinstance(f, TELLING) for f in turn.facts):
        return _here(walk)
    return _finding_spot(turn.outcome.value, turn.finding, _grade(turn.finding.grade), ROLE_OF_OUTCOME[turn.outcome])


def _finding_spot(what: str, found: Finding, grade: str, role: Role) -> Spot:
    return Spot(f"{what}: {_words(found.part, found.finding, found.place)}", found.part.upper(), grade, role)


def _here(walk: Walk) -> Spot:
    """After a move, a remark or talk: the part that is at hand, with what stands of it."""
    if not walk.part:
        if asks_kind(walk):
            return Spot("say which it is, or “next”", "GRAND/UPRIGHT?", "", Role.ASK)
        return Spot("name a part, or say “lead me”", "", "", Role.STRONG)
    those = (item.finding for item in walk.of(walk.part))
    found = [_words(one.finding, one.place, _grade(one.grade)) for one in those]
    told = "asked about now" if walk.led else "now"
    return Spot(": ".join(filter(None, (told, "; ".join(found)))), walk.part.upper(), "", Role.STRONG)


def walk_progress(walk: Walk) -> Line:
    """ "7 of 65 parts", and how many wait."""
    route = parts.route(walk.noted.get(Circumstance.KIND, ""))
    counted = Piece(f"{sum(walk.looked_at(p) for p in route)} of {len(route)} parts")
    waiting = sum(q.put_off for q in walk.questions)
    return (counted, Piece(f"   {waiting} to settle", Role.ASK)) if waiting else (counted,)


def walk_lines(walk: Walk, columns: int) -> list[Line]:
    """The part under way first, then all that was found in the order of a walk round, then what was not looked at."""
    lines: list[Line] = []
    if walk.part:
        head = f"{'asked about now' if walk.led else 'now'}: {walk.part}"
        lines += [(Piece(head, Role.STRONG),), *_items(walk, walk.part, columns), ()]
    there = ("", *parts.BY_NAME)
    found = [p for p in there if (p != walk.part or not p) and (_shown(walk, p) or _loose(walk, p))]
    if found:
        lines.append((Piece("Found", Role.STRONG),))
        for part in found:
            lines += _items(walk, part, columns)
        lines.append(())
    lines += _not_looked_at(walk, columns)
    if walk.noted:
        said = ", ".join(f"{what.value} {noted_words(what, value)}" for what, value in walk.noted.items())
        lines += [(), *_block("Noted", said, columns, Role.PLAIN)]
        lines += _block("", " ".join(climate_told(walk.noted)), columns, Role.FAINT)
    return lines


def _shown(walk: Walk, part: str) -> list[Item]:
    kept = (i for i in walk.items if i.stands or i.standing is Standing.UNSETTLED)
    return [i for i in kept if i.finding.part == part]


def _items(walk: Walk, part: str, columns: int) -> list[Line]:
    lines: list[Line] = [_item(walk, item, columns) for item in _shown(walk, part)]
    return lines + [_remark(remark, part, columns) for remark in _loose(walk, part)]


def _loose(walk: Walk, part: str) -> list[Remark]:
    """Remarks on a part ("" = the instrument) that stand beside its findings."""
    shown = {item.n for item in _shown(walk, part)}
    return [r for r in standing(walk) if r.part == part and r.item not in shown]


def _remark(remark: Remark, part: str, columns: int) -> Line:
    text = f"remark: {words_of(remark)}"
    return fitted((Piece(f"  {part or INSTRUMENT:<{_PART}}"), Piece(text, Role.FAINT)), columns)


def _item(walk: Walk, item: Item, columns: int) -> Line:
    finding = item.finding
    asked = item.standing is Standing.UNSETTLED
    remarked = sum(r.item == item.n and not r.withdrawn for r in walk.remarks)
    notes = [item.standing.value] if item.standing is not Standing.TAKEN else []
    notes += ["remark" if remarked == 1 else f"{remarked} remarks"] if remarked else []
    return fitted(
        (
            Piece(f"  {finding.part:<{_PART}}"),
            Piece(f"{_graded(finding.grade)}{'?' if asked else ''}".ljust(17), _role(finding.grade, asked)),
            Piece(_words("" if finding.grade == parts.NOT_LOOKED_AT else finding.finding, finding.place)),
            Piece(f"   {', '.join(notes)}" if notes else "", Role.ASK if asked else Role.FAINT),
        ),
        columns,
    )


def _not_looked_at(walk: Walk, columns: int) -> list[Line]:
    groups: dict[str, list[str]] = defaultdict(list)
    for name in parts.route(walk.noted.get(Circumstance.KIND, "")):
        if not walk.looked_at(name):
            groups[parts.BY_NAME[name].group].append(name)
    if not groups:
        return [(Piece("Every part was looked at", Role.STRONG),)]
    lines: list[Line] = [(Piece("Not looked at", Role.STRONG),)]
    for group, names in groups.items():
        lines += _block(group, ", ".join(names), columns, Role.FAINT)
    return lines


def _block(head: str, text: str, columns: int, role: Role) -> list[Line]:
    """A head of a column, and text beside it as long as it takes."""
    rows = wrapped(text, max(columns - _PART - 2, 10))
    return [
        fitted((Piece(f"  {head if i == 0 else '':<{_PART}}"), Piece(row, role)), columns)
        for i, row in enumerate(rows)
    ]


def _words(*said: str) -> str:
    return ", ".join(filter(None, said))


def _grade(grade: int | None) -> str:
    return "" if grade is None else str(grade)


def _graded(grade: int | None) -> str:
    return "not graded" if grade is None else f"{grade} {parts.GRADES[grade]}"


def _role(grade: int | None, asked: bool) -> Role:
    if asked:
        return Role.ASK
    if grade is None or grade == parts.NOT_LOOKED_AT:
        return Role.FAINT
    return Role.BAD if grade >= parts.FAILING else Role.GOOD if grade == parts.GOOD else Role.PLAIN
