"""The recogniser's alternatives and what is expected, together: a probability for each meaning.

share x likelihood, normalised. What is not among the alternatives is never made up; it only takes its part of the
probability, so that a weakly heard surprise is not sure of itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import exp

from handsfree.judgement.counted_key import against_the_plan, key_likelihood, may_stand
from handsfree.judgement.counting import OUT_OF_RHYTHM
from handsfree.judgement.expectation import expects, place_likelihood, value_likelihood
from handsfree.judgement.limits import HEARD_WELL, Limits
from handsfree.judgement.meanings import meaning_of
from handsfree.judgement.pass_order import after
from handsfree.judgement.plausible import impossible, up_above_down
from handsfree.judgement.wanted import Meaning, Wanted
from handsfree.nouns import (
    Answer,
    Correction,
    Counted,
    Disregard,
    GoAhead,
    GoTo,
    InOneBreath,
    Move,
    OffKeyboard,
    Pass,
    PassWanted,
    PlanWanted,
    Puzzle,
    ReadBack,
    Reading,
    Said,
    Same,
    SayAgain,
    Sheet,
    StandBy,
)

UNLISTED = 0.01
"""Likelihood, for each part of share that the best key does not have, that something else was said."""
CANNOT_BE = 1e-6
FITS_NOTHING = 0.003
"""Share x likelihood, summed, below which nothing expected was heard. On 200 stretches of talk (people ordering, read
books) three quarters of what the grammar made of it lay below, and one in twenty of 400 noisy readings."""
USUAL: dict[type, float] = {
    Reading: 1.0,
    Counted: 1.0,
    InOneBreath: 1.0,
    Same: 0.2,
    Correction: 0.2,
    GoTo: 0.3,
    Move: 0.3,
    Disregard: 0.2,
    SayAgain: 0.2,
    ReadBack: 0.2,
    StandBy: 0.2,
    PlanWanted: 0.2,
    PassWanted: 0.2,
    GoAhead: 0.05,
    Answer: 0.05,
    Puzzle: 0.3,
    OffKeyboard: 0.001,
}
"""How usual each kind of sentence is in a pass, beside a reading for the key where the pass is."""
WORST_TIMING = 0.001
"""A count out of time is no less likely than by this: what was heard may have been heard at a wrong moment."""
PLANNED_NOTE, OTHER_NOTE = 10.0, 0.3
"""How likely the note named right after a count is the plan's next key, or another, beside any of all keys."""
ELSEWHERE = 0.01
"""A sentence that belongs to no pass over the keys."""


@dataclass(frozen=True, slots=True)
class Weighed:
    meaning: Meaning
    share: float
    """Of the recogniser, 0..1, equal meanings added."""
    likelihood: float
    """How well it fits what is expected, whatever was heard: 0..1."""
    sureness: float
    """Probability, 0..1."""

    @property
    def said(self) -> Said:
        return self.meaning.said

    @property
    def wanted(self) -> Wanted | None:
        return self.meaning.wanted

    @property
    def key(self) -> int | None:
        """The key that it is about, None: none."""
        return self.wanted.key if self.wanted else self.said.key if isinstance(self.said, GoTo) else None


def heard_enough(some: Sequence[Weighed], weighed: Sequence[Weighed], sheet: Sheet, limits: Limits) -> bool:
    """Whether `some` meanings of one key, or one of any kind, were heard well enough together to be acted on against
    what else was heard: what was expected may not win by that alone."""
    share, others = sum(w.share for w in some), [w for w in weighed if w not in some]
    key = some[0].key
    if limits.taking is Pass.SWINGS and key is not None:
        if _named_anew(some[0], sheet) and against_the_plan(key, share, sheet):
            return False
        elsewhere = [(w.key, w.share) for w in others if w.key not in (None, key)]
        if not may_stand(key, share, [(k, s) for k, s in elsewhere if k is not None], sheet):
            return False
        if isinstance(some[0].said, Reading | Counted) and some[0].said.key is None:
            # that no note was said must be heard by itself, and better than that one was, whichever
            named = sum(heard for _, heard in elsewhere)
            return share >= max(named, min(limits.overrule, max((w.share for w in others), default=0.0)))
        others = [w for w in others if w.key in (None, key)]
    least = limits.overrule if limits.taking is Pass.SWINGS else limits.overrule_weights
    return share >= min(least, max((w.share for w in others), default=0.0))


def _named_anew(one: Weighed, sheet: Sheet) -> bool:
    """Whether its key was named, neither meant by itself nor asked about."""
    asked = {p.key for q in sheet.questions for p in q.question.proposals}
    named = one.said.key is not None if isinstance(one.said, Reading | Counted | GoTo) else False
    return named and one.key not in asked


def needed(wanted: Wanted | None, sheet: Sheet, limits: Limits) -> float:
    """How sure a key must be: surer where nothing led one to expect it."""
    if limits.taking is Pass.SWINGS:
        return limits.take_counted_key
    led = wanted is None or wanted.corrects or expects(wanted.key, sheet)
    return limits.take if led else max(limits.take, limits.take_note)


def weigh(said: Iterable[tuple[Said, float]], sheet: Sheet, limits: Limits) -> tuple[Weighed, ...]:
    """The meanings, likeliest first; never empty when `said` is not."""
    found = [(meaning_of(sentence, sheet, limits), share) for sentence, share in said]
    in_time = _in_time([meaning for meaning, _ in found])
    first: dict[object, Meaning] = {}
    shares: dict[object, float] = {}
    weights: dict[object, float] = {}
    for whole, heard in found:
        fits = in_time.get(whole.said.numbers, 1.0) if isinstance(whole.said, Counted) else 1.0
        for meaning, chance in _ways(whole):
            same, share = _identity(meaning), heard * chance
            first.setdefault(same, meaning)
            shares[same] = shares.get(same, 0.0) + share
            weights[same] = weights.get(same, 0.0) + share * fits * _likelihood(meaning, sheet, limits)
    total = sum(weights.values()) + _unlisted([(meaning, shares[same]) for same, meaning in first.items()])
    weighed = [
        Weighed(meaning, shares[same], _part(weights[same], shares[same]), _part(weights[same], total))
        for same, meaning in first.items()
    ]
    return tuple(sorted(weighed, key=lambda w: (-w.sureness, -w.share)))


def _part(one: float, of: float) -> float:
    return one / of if of > 0 else 0.0


def _ways(meaning: Meaning) -> Sequence[tuple[Meaning, float]]:
    """A count as its rhythm bears it out, and the same in doubt, with their chances."""
    wanted = meaning.wanted
    if wanted is None or wanted.borne_out == 1.0:
        return [(meaning, 1.0)]
    doubtful = replace(meaning, wanted=replace(wanted, out_of_rhythm=True))
    both = ((meaning, wanted.borne_out), (doubtful, 1.0 - wanted.borne_out))
    return [(one, chance) for one, chance in both if chance > 0]


def _in_time(heard: Iterable[Meaning]) -> dict[tuple[int, ...], float]:
    """How well the numbers of each count fit a beat, as a part of the best. One that was also heard with a number
    more fits no worse than that: what sounded there sounded on the beat, number or not."""
    timings: dict[tuple[int, ...], float] = {}
    for meaning in heard:
        if isinstance(meaning.said, Counted) and meaning.wanted and meaning.wanted.timing is not None:
            numbers, timing = meaning.said.numbers, meaning.wanted.timing
            timings[numbers] = max(timing, timings.get(numbers, timing))
    for longer, timing in list(timings.items()):
        if longer[:-1] in timings:
            timings[longer[:-1]] = max(timings[longer[:-1]], timing)
    best = max(timings.values(), default=0.0)
    return {numbers: max(WORST_TIMING, exp(timing - best)) for numbers, timing in timings.items()}


def sounds_like_talk(weighed: Sequence[Weighed]) -> bool:
    """Whether a strict grammar was forced onto something else: no meaning was heard well, and what was heard fits
    nothing that is expected. A surprise that was heard well is none, it is asked about."""
    heard: dict[object, float] = {}
    for one in weighed:
        said = (one.wanted.key, one.wanted.values) if one.wanted else _identity(one.meaning)
        heard[said] = heard.get(said, 0.0) + one.share
    return max(heard.values()) < HEARD_WELL and sum(w.share * w.likelihood for w in weighed) < FITS_NOTHING


def _identity(meaning: Meaning) -> object:
    """Sentences that come to the same values are one: "C four fifty two" and "fifty two" at C four."""
    if meaning.wanted is not None:
        return meaning.wanted
    return "puzzle" if isinstance(meaning.said, Puzzle) else meaning.said


def _unlisted(meanings: Iterable[tuple[Meaning, float]]) -> float:
    by_key: dict[object, float] = {}
    for meaning, share in meanings:
        key = meaning.wanted.key if meaning.wanted else _identity(meaning)
        by_key[key] = by_key.get(key, 0.0) + share
    return UNLISTED * max(0.0, 1.0 - max(by_key.values(), default=0.0))


def _likelihood(meaning: Meaning, sheet: Sheet, limits: Limits) -> float:
    usual = 1.0 if isinstance(meaning.said, Answer) and sheet.asking else USUAL.get(type(meaning.said), ELSEWHERE)
    if isinstance(meaning.said, GoTo):
        if limits.taking is Pass.SWINGS:
            return usual * key_likelihood(meaning.said.key, sheet)
        return usual * max(place_likelihood(meaning.said.key, sheet), 0.01)
    if meaning.wanted is None:
        return CANNOT_BE if meaning.refusal and isinstance(meaning.said, Reading) else usual
    # what its rhythm leaves in doubt has its chance already
    by_order = meaning.wanted.out_of_rhythm and meaning.wanted.borne_out == 1.0
    amiss = by_order or meaning.wanted.unclear_key
    counted = _next_note(meaning, sheet) * (OUT_OF_RHYTHM if amiss else 1.0)
    return usual * _place(meaning.wanted, sheet, limits) * _values(meaning.wanted, sheet, limits) * counted


def _next_note(meaning: Meaning, sheet: Sheet) -> float:
    """How well the note named right after a count fits: the plan's next key, else any. How seldom a note comes so
    soon, the ear has weighed already."""
    if meaning.wanted is None or not isinstance(meaning.said, Counted) or meaning.said.then is None:
        return 1.0
    following = after(meaning.wanted.key, sheet)
    return PLANNED_NOTE if meaning.said.then == following else 1.0 if not sheet.plan.keys else OTHER_NOTE


def _place(wanted: Wanted, sheet: Sheet, limits: Limits) -> float:
    """A correction names no new place, and an answer lies where the question is."""
    if wanted.corrects or (sheet.asking and sheet.asking.question.proposals[0].key == wanted.key):
        return 1.0
    if limits.taking is Pass.SWINGS:
        return key_likelihood(wanted.key, sheet)
    return place_likelihood(wanted.key, sheet)


def _values(wanted: Wanted, sheet: Sheet, limits: Limits) -> float:
    if impossible(wanted, limits) or up_above_down(wanted, sheet, limits):
        return CANNOT_BE
    fit = 1.0
    for quantity, value in wanted.values:
        # "no return" is said on purpose: no neighbour makes it unlikely
        fit *= 1.0 if value is None else value_likelihood(wanted.key, quantity, value, sheet)
    return fit
