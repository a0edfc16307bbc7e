"""judge(): what one thing said comes to. The whole of the judgement in one pure function."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import assert_never

from handsfree.judgement import answers, commands, taking, unsure
from handsfree.judgement.counted_key import next_key
from handsfree.judgement.limits import HEARD_WELL, Limits
from handsfree.judgement.pass_order import after, gone_on
from handsfree.judgement.taking import Sure, putting_off, refuse, without_question
from handsfree.judgement.this_pass import in_pass
from handsfree.judgement.too_soon import asked_after
from handsfree.judgement.undoing import disregard
from handsfree.judgement.weighing import Weighed, heard_enough, needed, sounds_like_talk, weigh
from handsfree.nouns import (
    OTHER_TALK,
    Answer,
    Asked,
    Correction,
    Counted,
    Disregard,
    Doubt,
    Earcon,
    Finding,
    FindingCorrected,
    GoAhead,
    GoTo,
    InOneBreath,
    LeadMe,
    Move,
    NewSitting,
    Noted,
    OffKeyboard,
    Outcome,
    PartNamed,
    Pass,
    PassWanted,
    PlanWanted,
    Puzzle,
    ReadBack,
    Reading,
    ReadPart,
    RemarkBegun,
    RemarkSaid,
    Said,
    Same,
    SayAgain,
    Sheet,
    Speech,
    StandBy,
    Took,
    Turn,
)


def judge(said: Sequence[tuple[Said, float]], sheet: Sheet, limits: Limits) -> Turn:
    """What becomes of one thing said, in the pass under way. `said`: the meanings of the recogniser's alternatives
    with their shares (0..1), best first; equal ones may come several times. Lines are left empty: words are not
    chosen here."""
    turn = _judged_in_time(said, *in_pass(sheet, limits))
    if isinstance(turn.said, PassWanted) and turn.outcome is Outcome.TAKEN:
        return commands.set_pass(turn.said, sheet, limits)
    if isinstance(turn.said, GoTo) and sheet.doing is Pass.SWINGS and turn.earcon is Earcon.ACCEPTED:
        # the hammer is falling: a sound of ours would close the ears to the first numbers
        return replace(turn, earcon=None)
    return _leading_on(turn, said, sheet, limits) if isinstance(turn.said, Counted) else turn


def _leading_on(turn: Turn, said: Sequence[tuple[Said, float]], sheet: Sheet, limits: Limits) -> Turn:
    """A count that the next note ended: where it was named, and surely enough, the pass goes on there."""
    assert isinstance(turn.said, Counted)
    named = [(one.then, share) for one, share in said if isinstance(one, Counted)]
    if sum(share for key, share in named if key is not None) < HEARD_WELL * sum(share for _, share in named):
        return turn
    expected = after(turn.key, sheet) if turn.key is not None else None
    then = next_key(named, expected, limits.take_counted_key)
    return turn if then is None else taking.going_on(replace(turn, said=replace(turn.said, then=then)), then, sheet)


def _judged_in_time(said: Sequence[tuple[Said, float]], sheet: Sheet, limits: Limits) -> Turn:
    """What was begun before the question under way can have been heard is judged as if nothing had been asked, if
    values of another key come of it."""
    if sheet.asking is None or not limits.unheard:
        return _judged(said, sheet, replace(limits, unheard=False))
    place = gone_on(sheet.asking, sheet, limits)
    limits = replace(limits, gone_on=place)
    there = replace(sheet, place=sheet.place if place is None else place)
    turn = _judged(said, there, limits)
    values = any(isinstance(f, Took | Asked) for f in turn.facts)
    if values and turn.key != sheet.asking.question.proposals[0].key:
        return asked_after(turn, sheet, place)
    return _judged(said, sheet, limits)


def _judged(said: Sequence[tuple[Said, float]], sheet: Sheet, limits: Limits) -> Turn:
    weighed = weigh(said, sheet, limits)
    if not weighed:
        return Turn(Outcome.IGNORED, why="nothing was heard")
    if sheet.standing_by:
        return _standing_by(weighed, sheet, limits)
    talk = sum(w.share for w in weighed if isinstance(w.said, Puzzle))
    if talk >= HEARD_WELL:
        return _puzzled(next(w for w in weighed if isinstance(w.said, Puzzle)), sheet)
    if sounds_like_talk(weighed):
        return answers.repeat(sheet.asking, weighed[0].said) if sheet.asking else _not_taken(weighed[0].said)
    if not _clear(weighed, sheet, limits):
        return unsure.turn(weighed, sheet, limits)
    return act(weighed[0], sheet, limits)


def _clear(weighed: Sequence[Weighed], sheet: Sheet, limits: Limits) -> bool:
    """Whether the likeliest meaning may be acted on: sure, and not against what was heard much better. A yes or no
    must have been heard best by itself: that it was waited for says nothing about which of the two it is."""
    best = weighed[0]
    if isinstance(best.said, Answer):
        enough = best.share >= min(HEARD_WELL, max(w.share for w in weighed))
    else:
        enough = heard_enough([best], weighed, sheet, limits)
    return best.sureness >= max(needed(best.wanted, sheet, limits), limits.take) and enough


def act(best: Weighed, sheet: Sheet, limits: Limits) -> Turn:
    """The turn of a sentence that was surely heard."""
    meaning = best.meaning
    if meaning.refusal:
        asking = sheet.asking
        return answers.repeat(asking, best.said) if asking else refuse(meaning.refusal, best.said)
    if meaning.wanted is not None:
        sure = Sure(meaning, meaning.wanted, best.sureness, best.share)
        if meaning.otherwise is not None:
            sure = replace(sure, unsure=meaning.wanted.quantities, otherwise=meaning.otherwise)
        return unsure.values(sure, sheet, limits)
    return _without_values(best, sheet, limits)


def _without_values(best: Weighed, sheet: Sheet, limits: Limits) -> Turn:
    said, asking = best.said, sheet.asking
    match said:
        case Answer() if asking and limits.unheard:
            return answers.repeat(asking, said)
        case Answer():
            return answers.answer(said, asking, sheet, limits) if asking else _not_asked(said)
        case Disregard():
            return answers.drop(asking, said, sheet) if asking else disregard(said, sheet)
        case SayAgain():
            return commands.say_again(said, sheet)
        case StandBy():
            return commands.stand_by(said)
        case GoAhead():
            return commands.go_ahead(said, sheet)
        case OffKeyboard(name):
            return refuse(f"{name} is off the keyboard", said)
        case Puzzle():
            return _puzzled(best, sheet)
        case ReadBack():
            return commands.read_back(said, sheet)
        case GoTo(key) if asking and key == asking.question.proposals[0].key:
            return answers.repeat(asking, said)
        case GoTo():
            return putting_off(commands.go_to(said, sheet), sheet)
        case Move():
            return putting_off(commands.move(said, without_question(sheet), limits), sheet)
        case PlanWanted():
            return putting_off(commands.set_plan(said, without_question(sheet), limits), sheet)
        case PassWanted() | NewSitting():
            return commands.followed(said)
        case Counted() if not said.numbers:
            return commands.count_again(said, sheet)
        case Reading() | Same() | Correction() | Counted() | InOneBreath():
            return refuse(answers.SAY_IT_AGAIN, said)
        case (
            Finding()
            | FindingCorrected()
            | PartNamed()
            | ReadPart()
            | LeadMe()
            | RemarkBegun()
            | RemarkSaid()
            | Noted()
        ):
            return refuse("that belongs to the walkthrough", said)
    assert_never(said)


def _standing_by(weighed: Sequence[Weighed], sheet: Sheet, limits: Limits) -> Turn:
    """Nothing is taken in but a clear "go ahead"."""
    clear = next((w for w in weighed if isinstance(w.said, GoAhead) and w.share >= limits.take), None)
    if clear is None:
        return Turn(Outcome.IGNORED, said=weighed[0].said, why="standing by")
    return act(clear, sheet, limits)


def _puzzled(heard: Weighed, sheet: Sheet) -> Turn:
    """Talk never becomes a reading; a question under way is asked once more, but silence asks for nothing. Words of
    the language that make no sentence were meant for the tool: a sound tells that they were not taken."""
    puzzle = heard.said
    text, why = (puzzle.text, puzzle.why) if isinstance(puzzle, Puzzle) else ("", "")
    if sheet.asking and text:
        return answers.repeat(sheet.asking, puzzle)
    if not text or OTHER_TALK in text:
        return Turn(Outcome.IGNORED, said=puzzle, why=why)
    return refuse(why, puzzle)


def _not_taken(said: Said) -> Turn:
    """A sound alone: whoever meant it says it again, whoever was only talking is not spoken to."""
    return replace(refuse(Doubt.UNSURE.value, said), line="", speech=Speech.READ_BACK)


def _not_asked(said: Answer) -> Turn:
    return Turn(Outcome.IGNORED, said=said, why="no question is open")
