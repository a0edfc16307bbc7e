"""Asking about a finding: as little as is needed, once more, and what closes the question or makes it wait. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from handsfree.judgement.walk_doubt import Slot, agreeing, doubtful, rivals, without
from handsfree.judgement.walk_meanings import Meant, same_place
from handsfree.nouns import (
    Doubt,
    Earcon,
    Fact,
    Finding,
    FindingAsked,
    FindingTook,
    Outcome,
    PutOff,
    Said,
    Settled,
    Speech,
    Standing,
    Turn,
    Walk,
    WentTo,
)


def ask(meant: Meant, why: Doubt, walk: Walk) -> Turn:
    """All of it is asked about, however well it was heard; a question that it answers otherwise is closed by it."""
    assert meant.finding is not None
    return _asking(meant, FindingAsked(meant.finding, why, "", meant.share, None, meant.replaces), (), walk)


def ask_unsure(weighed: Sequence[Meant], walk: Walk, take: float) -> Turn:
    """What was not heard surely, best first: where only one thing of it is in doubt, that alone is asked about, and
    where it is the grade, the finding stands without it meanwhile."""
    best = weighed[0]
    assert best.finding is not None
    about = _about(best, weighed, walk, take)
    finding, share, other = best.finding, best.share, _likeliest(best.finding, weighed, about)
    if about == "grade" and finding.grade is None and other is not None:
        (finding, share), other = other, None  # to no grade nobody can say yes
    otherwise, instead = other or (None, 0.0)
    asked = FindingAsked(finding, Doubt.UNSURE, "", share, otherwise, best.replaces, about, instead)
    known = without(finding, "grade")
    if about != "grade" or not known.finding or same_place(known, walk) is not None:
        return _asking(best, asked, (), walk)
    sure = min(1.0, agreeing(finding, weighed, "grade"))
    return _asking(best, asked, (FindingTook(known, Standing.TAKEN, sure),), walk)


def _likeliest(finding: Finding, weighed: Sequence[Meant], about: Slot) -> tuple[Finding, float] | None:
    """What else it may have been: of the thing in doubt, else anything."""
    return next(iter(rivals(finding, weighed, about) or rivals(finding, weighed, "")), None)


def _about(best: Meant, weighed: Sequence[Meant], walk: Walk, take: float) -> Slot:
    assert best.finding is not None
    if best.corrects or regrades(best.finding, best.replaces, walk):
        return ""  # a yes to half of it would change the grade, too
    if best.share >= take:
        return ""  # whether it was meant for the tool is what is not sure
    if isinstance(best.said, Finding) and not (best.said.part or best.said.finding) and best.finding.finding:
        return "grade"  # said alone, of a finding that is known
    return doubtful(best.finding, weighed, take)


def regrades(finding: Finding, replaces: int | None, walk: Walk) -> bool:
    """Whether it takes over from another grade."""
    older = next((i.finding.grade for i in walk.stands if i.n == replaces), None)
    return older not in (None, 0, finding.grade)


def _asking(meant: Meant, asked: FindingAsked, before: tuple[Fact, ...], walk: Walk) -> Turn:
    same = walk.asking is not None and walk.asking.asked.finding == asked.finding
    closes: tuple[Fact, ...] = () if same else close(walk, meant)
    facts = (*closes, *before, asked, *went(asked.finding.part, walk))
    return asking_turn(meant.said, facts, asked.finding, asked.why)


def asking_turn(said: Said, facts: tuple[Fact, ...], finding: Finding, why: Doubt) -> Turn:
    return Turn(Outcome.ASKED, facts, speech=Speech.QUESTION, earcon=Earcon.QUESTION, said=said, finding=finding,
                why=why.value)  # fmt: skip


def ask_again(said: Said, walk: Walk) -> Turn:
    """The question under way, once more."""
    assert walk.asking is not None
    asked = walk.asking.asked
    return asking_turn(said, (asked,), asked.finding, asked.why)


def close(walk: Walk, meant: Meant, *, yes: bool = False) -> tuple[Fact, ...]:
    """The question under way is settled by an answer to it, and waits when something else comes: another part, or
    another finding of the same one."""
    asking = walk.asking
    if asking is None or meant.finding is None:
        return ()
    if not meant.corrects and not yes and not _is_answer(meant, meant.finding, asking.asked):
        return (PutOff(asking.n),)
    return (Settled(asking.n, "yes" if yes else "other value"),)


def _is_answer(meant: Meant, finding: Finding, asked: FindingAsked) -> bool:
    if asked.about == "part" and without(finding, "part") == without(asked.finding, "part"):
        return True
    if finding.part != asked.finding.part:
        return False
    another = finding.finding != asked.finding.finding and asked.why is not Doubt.CONTRADICTS
    named = isinstance(meant.said, Finding) and meant.said.part != ""
    return not (another and (named or asked.about in ("place", "grade")))


def waiting(walk: Walk) -> Walk:
    """The walkthrough as it would be had the question under way been put off."""
    return replace(walk, questions=tuple(replace(q, put_off=True) for q in walk.questions))


def asked_after(turn: Turn, walk: Walk) -> Turn:
    """`turn` came of what was said before the question under way can have been heard, judged without it: that is
    asked once more, named whole, or waits where there is something else to ask."""
    asking = walk.asking
    if asking is None or turn.outcome is Outcome.IGNORED:
        return turn
    again = () if any(isinstance(f, FindingAsked) for f in turn.facts) else (asking.asked,)
    facts = (PutOff(asking.n), *turn.facts, *again)
    return replace(turn, facts=facts, speech=Speech.QUESTION, earcon=Earcon.QUESTION) if again else replace(
        turn, facts=facts
    )  # fmt: skip


def put_off(walk: Walk) -> tuple[Fact, ...]:
    return (PutOff(walk.asking.n),) if walk.asking else ()


def went(part: str, walk: Walk) -> tuple[Fact, ...]:
    return (WentTo(part),) if part != walk.part else ()
