"""Where what was heard is not sure: ask about as little as needed, with the likeliest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from handsfree.judgement import answers
from handsfree.judgement.limits import HEARD_WELL, Limits
from handsfree.judgement.taking import Sure, ask, putting_off, refuse, settle_others, take, without_question
from handsfree.judgement.wanted import Value, Wanted
from handsfree.judgement.weighing import Weighed, heard_enough, needed
from handsfree.nouns import Counted, Doubt, GoTo, Outcome, Pass, Puzzle, Quantity, Sheet, Turn

NOTE_ALONE = 0.3
"""Share from which on what may have been a note alone is waited with, and no total asked about: the hammer is about
to fall, and the question would come into its count. Of 1,600 counts one lay between this and a half ("B six" and a
knock, "B six six" with 0.47): asked about, its count went to the next key."""
WORTH_OFFERING = 0.02
"""Probability from which on the second likeliest meaning is offered after a no."""


def values(sure: Sure, sheet: Sheet, limits: Limits) -> Turn:
    """Values for a key that is sure: an answer where that key is asked about, else a reading."""
    asking = sheet.asking
    if asking is None or sure.wanted.note_was_wrong:
        return take(sure, sheet, limits)
    if sure.wanted.key == asking.question.proposals[0].key:
        if not sure.wanted.quantities & answers.as_wanted(asking).quantities:
            return answers.goes_on(sure, asking, sheet, limits)
        return answers.right_value(sure, asking, sheet, limits)
    turn = take(sure, without_question(sheet), limits)
    return turn if limits.unheard else putting_off(turn, sheet)


def turn(weighed: Sequence[Weighed], sheet: Sheet, limits: Limits) -> Turn:
    """A question where there are values to ask about; else the person is asked to say it again."""
    best = next((w for w in weighed if not isinstance(w.said, Puzzle)), weighed[0])
    if limits.taking is Pass.SWINGS and sheet.asking is None:
        notes = [w for w in weighed if isinstance(w.said, GoTo)]
        if sum(w.share for w in notes) >= NOTE_ALONE:
            # a note alone, whichever it was: its octave is no total
            return Turn(Outcome.IGNORED, said=notes[0].said, why=Doubt.UNSURE.value)
    if limits.taking is Pass.SWINGS and best.wanted is None and best.share < limits.overrule:
        # a count that was heard well is asked about, whatever little else it may have been
        best = next((w for w in weighed if isinstance(w.said, Counted) and w.wanted and w.share >= HEARD_WELL), best)
    if best.wanted is None:
        if sheet.asking:
            return answers.repeat(sheet.asking, best.said)
        counting = limits.taking is Pass.SWINGS and isinstance(best.said, GoTo)
        # a count follows such a note: the question then is about both
        if isinstance(best.said, Puzzle) or best.share < limits.overrule or counting:
            return Turn(Outcome.IGNORED, said=best.said, why=Doubt.UNSURE.value)
        return refuse(answers.SAY_IT_AGAIN, best.said)
    same_key = [w for w in weighed if w.wanted is not None and w.wanted.key == best.wanted.key]
    of_a_key = replace(limits, take=needed(best.wanted, sheet, limits))
    if _sure_enough(same_key, weighed, sheet, of_a_key):
        return values(_partly_sure(best, best.wanted, same_key, weighed, sheet, limits), sheet, limits)
    return _which_key(best, best.wanted, weighed, sheet, limits)


def _sure_enough(some: Sequence[Weighed], weighed: Sequence[Weighed], sheet: Sheet, limits: Limits) -> bool:
    """Whether `some` meanings have together what one must have to be taken."""
    return sum(w.sureness for w in some) >= limits.take and heard_enough(some, weighed, sheet, limits)


def _partly_sure(
    best: Weighed,
    wanted: Wanted,
    same_key: Sequence[Weighed],
    weighed: Sequence[Weighed],
    sheet: Sheet,
    limits: Limits,
) -> Sure:
    """Each value by itself: sure when the meanings that hold it are."""
    doubtful: set[Quantity] = set()
    weakest = 1.0
    for quantity, value in wanted.values:
        holding = [w for w in same_key if w.wanted is not None and _holds(w.wanted, quantity, value, wanted)]
        if _sure_enough(holding, weighed, sheet, limits):
            weakest = min(weakest, sum(w.sureness for w in holding))
        else:
            doubtful.add(quantity)
    if not doubtful and best.sureness < limits.take:
        # every value is sure, but not that no more was said: the values are taken as they are
        return Sure(best.meaning, wanted, weakest, best.share)
    otherwise = _next_best(wanted, frozenset(doubtful), same_key)
    if otherwise is None and limits.taking is Pass.SWINGS:
        # what makes the total doubtful is its key
        otherwise = _next_best(wanted, frozenset(doubtful), weighed)
    sureness = best.sureness if doubtful == wanted.quantities else weakest
    return Sure(best.meaning, wanted, sureness, best.share, frozenset(doubtful), otherwise)


def _holds(one: Wanted, quantity: Quantity, value: Value, wanted: Wanted) -> bool:
    """Whether `one` has that value, and no doubt that `wanted` is free of."""
    return one.get(quantity) == (value,) and (wanted.out_of_rhythm or not one.out_of_rhythm)


def _next_best(wanted: Wanted, doubtful: frozenset[Quantity], among: Sequence[Weighed]) -> Wanted | None:
    """What the doubtful values are in the next likeliest meaning."""
    for other in among:
        if other.wanted is None or other.sureness < WORTH_OFFERING:
            continue
        values_there = other.wanted.only(doubtful)
        if values_there.quantities == doubtful and values_there != wanted.only(doubtful):
            return values_there
    return None


def _which_key(best: Weighed, wanted: Wanted, weighed: Sequence[Weighed], sheet: Sheet, limits: Limits) -> Turn:
    """The key itself is not sure: everything is asked about, and the pass stays where it is."""
    others = (w.wanted for w in weighed if w.wanted not in (None, wanted) and w.sureness >= WORTH_OFFERING)
    sure = Sure(best.meaning, wanted, best.sureness, best.share, wanted.quantities)
    facts = settle_others(wanted, sheet)
    turn = ask(wanted, Doubt.UNSURE, sure, sheet, (), next(others, None), goes=False, closes=tuple(facts))
    elsewhere = sheet.asking is not None and wanted.key != sheet.asking.question.proposals[0].key
    return putting_off(turn, sheet) if elsewhere and not limits.unheard else turn
