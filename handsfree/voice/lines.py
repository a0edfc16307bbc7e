"""What to say: a turn into one spoken line, numbers as words, the place always first.

Pure. The judgement decides what happened, the words for it are chosen here and nowhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from handsfree.nouns import (
    Amount,
    Asked,
    Disregard,
    Doubt,
    GoAhead,
    GoTo,
    Move,
    Outcome,
    Pass,
    PassWanted,
    Plan,
    PlanWanted,
    Proposal,
    PutOff,
    Puzzle,
    Quantity,
    Question,
    ReadBack,
    Settled,
    Sheet,
    Speech,
    StandBy,
    Took,
    Turn,
    Went,
    Withdrew,
)
from handsfree.words.notes import spoken_note
from handsfree.words.spoken import number_words

PASS_NAMES = {Pass.TOUCH: "touch pass", Pass.SWINGS: "swing pass", Pass.WALKTHROUGH: "walkthrough"}
LAST_KEY = "that was the last key"
NAMED = 3
"""Notes that are said one by one; of more only how many."""
REASONS = frozenset(doubt.value for doubt in Doubt)
"""Reasons of questions: for the screen; a question says itself what it must."""


def voiced(turn: Turn, before: Sheet) -> Turn:
    """The same turn with its lines: the question's own, as it is kept, and the one to speak now. `before`: the sheet
    that it was judged on."""
    facts = tuple(
        Asked(replace(f.question, line=question_line(f.question, before))) if isinstance(f, Asked) else f
        for f in turn.facts
    )
    turn = replace(turn, facts=facts)
    asked = next((f.question.line for f in facts if isinstance(f, Asked)), "")
    if isinstance(turn.said, GoTo) and before.doing is Pass.SWINGS and not asked:
        # somebody is about to count: nothing is said over it
        return turn
    told = [*_sentences(turn, before, asked != ""), _still_due(turn, before)]
    said = [*told, on_to := _on_to(turn, before), _to_settle(turn, before), asked]
    speech = Speech.REPLY if on_to and turn.speech is Speech.READ_BACK else turn.speech
    return replace(turn, line=" ".join(filter(None, said)), speech=speech)


def question_line(question: Question, sheet: Sheet) -> str:
    """ "C five, sixty one down?", with the reason where it does not show."""
    key = question.proposals[0].key
    line = f"{spoken_note(key)}, {proposals_words(question.proposals)}?"
    if question.why is Doubt.UP_ABOVE_DOWN:
        both_said = len(question.proposals) > 1
        stands = None if both_said else sheet.standing.get((key, Quantity.DOWN))
        against = f" Down is {value_words(stands.value)}." if stands else ""
        return f"{line} Up is above down.{against}"
    if question.why is Doubt.FAR_FROM_BEFORE:
        earlier = [sheet.standing.get((key, p.quantity)) for p in question.proposals]
        were = ", ".join(amount_words(Amount(e.quantity, e.value)) for e in earlier if e is not None)
        return f"{line} It was {were}." if were else line
    return line


def amounts_words(amounts: Sequence[Amount]) -> str:
    """ "fifty two down, twenty eight up"."""
    return ", ".join(map(amount_words, amounts))


def proposals_words(proposals: Sequence[Proposal]) -> str:
    return amounts_words([Amount(p.quantity, p.value) for p in proposals])


def amount_words(amount: Amount) -> str:
    if amount.value is None:
        return "no return"
    if amount.quantity is Quantity.SWINGS and amount.value == 1:
        return "one swing"
    return f"{value_words(amount.value)} {amount.quantity.value}" if amount.quantity else value_words(amount.value)


def value_words(value: Decimal | None) -> str:
    """ "fifty two and a half"."""
    return "no return" if value is None else number_words(value)


def greeting(sheet: Sheet) -> str:
    """What a sitting says when it is opened again: where the pass goes on, and what is open."""
    said = []
    begun = bool(sheet.entries)
    if sheet.doing is Pass.SWINGS:
        said.append("Swing pass.")
    if sheet.plan.keys and not begun:
        said.append(_planned(sheet.plan, sheet.place))
    elif sheet.place is not None:
        said.append(f"Going on at {spoken_note(sheet.place)}.")
    if sheet.standing_by:
        said.append("Standing by.")
    waiting = sum(q.put_off for q in sheet.questions)
    if waiting:
        said.append(f"{_count(waiting)} to settle.")
    if sheet.asking and not sheet.standing_by:
        said.append(sheet.asking.question.line)
    return " ".join(said)


def _sentences(turn: Turn, before: Sheet, asks: bool) -> list[str]:
    """What happened, without the question."""
    note = spoken_note(turn.key) if turn.key is not None else ""
    match turn.outcome:
        case Outcome.ASKED:
            return [_sentence(turn.why)] if turn.why not in REASONS else []
        case Outcome.IGNORED:
            return [] if turn.earcon is None else [_refusal(turn, note)]
        case Outcome.WITHDRAWN:
            if isinstance(turn.said, Disregard):
                return [_sentence(f"{note}, {_part_of(turn, before)}withdrawn"), _sentence(turn.why)]
            return [_sentence(turn.why)]
        case _:
            return [_followed(turn, note, asks), _sentence(turn.why)]


def _followed(turn: Turn, note: str, asks: bool) -> str:
    match turn.said:
        case StandBy():
            return "Standing by."
        case GoAhead():
            return _sentence(f"going on at {note}") if note and not asks else "Going on."
        case PlanWanted(plan) if not plan.keys:
            return "No plan."
        case PlanWanted(plan):
            return _planned(plan, turn.key)
        case PassWanted(wanted):
            name = PASS_NAMES[wanted]
            return _sentence(f"{name}, from {note}" if note else name)
        case GoTo():
            return _sentence(note)
        case Move():
            return "" if turn.why else _sentence(note)
        case ReadBack() if not turn.amounts:
            return _sentence(f"{note}, nothing yet")
        case _:
            corrected = "correct, " if turn.outcome is Outcome.CORRECTED else ""
            return _sentence(f"{note}, {corrected}{amounts_words(turn.amounts)}")


def _planned(plan: Plan, start: int | None) -> str:
    """ "Octave four, from C four."; of a list, how many: nobody wants to hear it all."""
    name = plan.name
    if name.startswith("keys "):
        name = f"{_count(len(plan.keys))} {'key' if len(plan.keys) == 1 else 'keys'}"
    return _sentence(name if start is None else f"{name}, from {spoken_note(start)}")


def _part_of(turn: Turn, before: Sheet) -> str:
    """ "thirty up, ", where another value of the key goes on standing: else it would seem to be gone, too."""
    gone = {f.n for f in turn.facts if isinstance(f, Withdrew)}
    counts = before.doing is Pass.SWINGS
    kept = any(
        key == turn.key and entry.n not in gone and (quantity is Quantity.SWINGS) is counts
        for (key, quantity), entry in before.standing.items()
    )
    return f"{amounts_words(turn.amounts)}, " if kept and turn.amounts else ""


def _refusal(turn: Turn, note: str) -> str:
    if turn.why in REASONS:
        return "Which key?" if turn.why == Doubt.NO_PLACE else ""
    if isinstance(turn.said, Puzzle):
        return "Say down and up." if turn.said.why.startswith("could be") else ""
    why = turn.why[:1].upper() + turn.why[1:]
    return f"{note}, {amounts_words(turn.amounts)} cannot be." if note and turn.amounts else f"{why}."


def _on_to(turn: Turn, before: Sheet) -> str:
    """Where the pass goes on, when it is not the next key of the plan: it had jumped back, and leaves out what is
    done."""
    went = next((f.key for f in turn.facts if isinstance(f, Went)), None)
    target = went if went is not None else before.place if turn.outcome is Outcome.TAKEN else None
    keys = before.plan.keys
    took = any(isinstance(f, Took) and f.key == turn.key for f in turn.facts)
    if not took or turn.key not in keys or target not in keys:
        return ""
    expected = keys.index(turn.key) + 1
    if target is None or target == turn.key or (expected < len(keys) and keys[expected] == target):
        return ""
    return f"On to {spoken_note(target)}."


def _still_due(turn: Turn, before: Sheet) -> str:
    """At the end of the plan, its keys that lack what the last one has: passed by, or withdrawn since."""
    if turn.why != LAST_KEY or turn.key is None:
        return ""
    counts = before.doing is Pass.SWINGS
    taken = {f.quantity for f in turn.facts if isinstance(f, Took) and f.key == turn.key}
    whole = taken | {q for key, q in before.standing if key == turn.key and (q is Quantity.SWINGS) is counts}
    asked = {q.question.proposals[0].key for q in before.questions}
    rest = [key for key in before.plan.keys if key not in asked | {turn.key}]
    due = [key for key in rest if any((key, quantity) not in before.standing for quantity in whole)]
    if not due:
        return ""
    named = ", ".join(map(spoken_note, due)) if len(due) <= NAMED else f"{number_words(Decimal(len(due)))} keys"
    return f"Still due: {named}."


def _to_settle(turn: Turn, before: Sheet) -> str:
    """ "Two to settle.", before the first of them; not where the one under way is only asked once more."""
    facts = turn.facts
    asked = next((f.question for f in facts if isinstance(f, Asked)), None)
    settled = {f.n for f in facts if isinstance(f, Settled)}
    put_off = {f.n for f in facts if isinstance(f, PutOff)}
    waiting = [q for q in before.questions if (q.put_off or q.n in put_off) and q.n not in settled]
    back = asked is not None and any(
        q.question.proposals == asked.proposals and (q.put_off or turn.outcome is not Outcome.ASKED) for q in waiting
    )
    coming_back = before.asking is not None and before.asking.came_back and not put_off
    return f"{_count(len(waiting))} to settle." if back and not coming_back else ""


def _count(number: int) -> str:
    words = number_words(Decimal(number))
    return words[:1].upper() + words[1:]


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}." if text else ""
