"""Yes, no and disregard in the walkthrough. Silence is never yes. Pure."""

from __future__ import annotations

from dataclasses import replace

from handsfree.judgement.walk_doubt import without
from handsfree.judgement.walk_meanings import Meant, last_item, same_place
from handsfree.judgement.walk_questions import ask_again, asking_turn, regrades
from handsfree.judgement.walk_steps import followed, refused, take
from handsfree.nouns import (
    Doubt,
    Earcon,
    Fact,
    Finding,
    FindingAsked,
    OpenFinding,
    Outcome,
    Said,
    Settled,
    Speech,
    Turn,
    Walk,
    Withdrew,
)


def answer(yes: bool, said: Said, walk: Walk, surely: float) -> Turn:
    """`surely`: the sureness from which on a finding stands without a question."""
    asking = walk.asking
    if asking is None:
        return Turn(Outcome.IGNORED, said=said, why="no question is open")
    if not yes:
        return _no(asking, said, walk, surely)
    asked = asking.asked
    if asked.why is Doubt.CONTRADICTS and asking.times == 1:
        return ask_again(said, walk)  # which of the two it is, a yes does not say; who insists is believed
    if asked.about == "grade" and asked.finding.grade is None:
        return ask_again(said, walk)
    return take(Meant(said, asked.sureness, asked.finding, _replaces(asked, walk)), walk)


def _replaces(asked: FindingAsked, walk: Walk) -> int | None:
    return same_place(asked.finding, walk) if asked.replaces is None else asked.replaces


def _no(asking: OpenFinding, said: Said, walk: Walk, surely: float) -> Turn:
    """What else it may have been is asked next, or stands where hardly anything else is left."""
    asked, settled = asking.asked, Settled(asking.n, "no")
    if asked.otherwise is not None:
        left = asked.instead / max(1 - asked.sureness, asked.instead, 1e-9)
        replaces = same_place(asked.otherwise, walk)
        regraded = regrades(asked.otherwise, replaces, walk)
        if left >= surely and not regraded:
            meant = Meant(said, left, asked.otherwise, replaces)
            other = take(meant, replace(walk, questions=()))
            return replace(other, facts=(settled, *other.facts), speech=Speech.REPLY)
        same_rest = without(asked.otherwise, asked.about) == without(asked.finding, asked.about)
        alike = asked.about if same_rest and not regraded else ""
        second = FindingAsked(asked.otherwise, Doubt.UNSURE, "", left, None, replaces, alike)
        return asking_turn(said, (settled, second), asked.otherwise, Doubt.UNSURE)
    if asked.about != "grade":
        return _withdrawn(said, (settled,), asked.finding)
    known = without(asked.finding, "grade")
    if asked.finding.grade is None:
        return followed(said, (settled,), known)
    return asking_turn(
        said, (settled, FindingAsked(known, Doubt.UNSURE, "", 0.0, about="grade")), known, Doubt.UNSURE
    )


def disregard(said: Said, walk: Walk) -> Turn:
    """The question under way, else what was said last: a finding or a remark."""
    if walk.asking:
        asked = walk.asking.asked
        known = same_place(asked.finding, walk) if asked.about == "grade" else None
        facts: tuple[Fact, ...] = (Settled(walk.asking.n, "disregarded"),)
        return _withdrawn(said, facts if known is None else (*facts, Withdrew(known)), asked.finding)
    item = last_item(walk)
    remark = max((r for r in walk.remarks if not r.withdrawn), key=lambda r: r.n, default=None)
    if remark is not None and (item is None or remark.n > item.n):
        return _withdrawn(said, (Withdrew(remark.n),), Finding(remark.part), "remark")
    if item is None:
        return refused("there is nothing to withdraw", said)
    return _withdrawn(said, (Withdrew(item.n),), item.finding)


def _withdrawn(said: Said, facts: tuple[Fact, ...], finding: Finding, why: str = "") -> Turn:
    return Turn(Outcome.WITHDRAWN, facts, speech=Speech.REPLY, earcon=Earcon.WITHDRAWN, said=said, finding=finding,
                why=why)  # fmt: skip
