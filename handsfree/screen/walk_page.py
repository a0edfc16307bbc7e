"""The walkthrough on the screen: where it is, what was found of each part and how bad, what was not looked at.

Grades stand as number and word; colour only adds to them. Pure: a `Walk` in, lines out.
"""

from __future__ import annotations

from collections import defaultdict

from handsfree.nouns import (
    Circumstance,
    FindingAsked,
    FindingTook,
    Item,
    Settled,
    Standing,
    Turn,
    Walk,
    Withdrew,
)
from handsfree.screen.spotlight import ROLE_OF_OUTCOME, Spot
from handsfree.screen.styled import Line, Piece, Role, fitted, wrapped
from handsfree.words import parts

_PART = 18
"""Columns of a part's name."""
TELLING = (FindingTook, FindingAsked, Withdrew, Settled)
"""Facts that say what became of a finding."""
_UNITS = {Circumstance.TEMPERATURE: " °C", Circumstance.HUMIDITY: " %"}


def walk_now(walk: Walk) -> Spot:
    """The part that is looked at."""
    if walk.standing_by:
        return Spot("standing by", "", "", Role.FAINT)
    if walk.awaiting_remark:
        return Spot("remark: speak", "", "", Role.ASK)
    return Spot(walk.part or "name a part", "", "", Role.STRONG)


def walk_last(walk: Walk, turn: Turn | None) -> Spot:
    """The question that waits, else what became of the last finding; its grade stands big."""
    if walk.asking is not None:
        asked = walk.asking.asked.finding
        return Spot(
            f"asking: {_words(asked.part, asked.finding, asked.place)}", "", _grade(asked.grade) + "?", Role.ASK
        )
    if turn is None or turn.finding is None or not any(isinstance(f, TELLING) for f in turn.facts):
        return _latest(walk)
    found = turn.finding
    words = _words(found.part, found.finding, found.place)
    return Spot(f"{turn.outcome.value}: {words}", "", _grade(found.grade), ROLE_OF_OUTCOME[turn.outcome])


def _latest(walk: Walk) -> Spot:
    """After a move, a remark or talk: the newest finding that stands."""
    item = max(walk.stands, key=lambda i: i.n, default=None)
    if item is None:
        return Spot("", "", "", Role.FAINT)
    found = item.finding
    words = _words(found.part, found.finding, found.place)
    return Spot(f"{item.standing.value}: {words}", "", _grade(found.grade), Role.GOOD)


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
    found = [p for p in parts.BY_NAME if p != walk.part and _shown(walk, p)]
    if found:
        lines.append((Piece("Found", Role.STRONG),))
        for part in found:
            lines += _items(walk, part, columns)
        lines.append(())
    lines += _not_looked_at(walk, columns)
    if walk.noted:
        said = ", ".join(f"{what.value} {value}{_UNITS.get(what, '')}" for what, value in walk.noted.items())
        lines += [(), *_block("Noted", said, columns, Role.PLAIN)]
    return lines


def _shown(walk: Walk, part: str) -> list[Item]:
    kept = (i for i in walk.items if i.stands or i.standing is Standing.UNSETTLED)
    return [i for i in kept if i.finding.part == part]


def _items(walk: Walk, part: str, columns: int) -> list[Line]:
    lines: list[Line] = [_item(walk, item, columns) for item in _shown(walk, part)]
    loose = [r for r in walk.remarks if not r.withdrawn and r.part == part and r.item is None]
    return lines + [fitted((Piece(f"  {part:<{_PART}}"), Piece("remark", Role.FAINT)), columns) for _ in loose]


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
