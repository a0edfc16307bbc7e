"""The two lines between the big letters and the table: what was last heard, and what the tool says to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handsfree.nouns import OTHER_TALK, Context, Doubt, Heard, Outcome, RemarkKept, Speech, Turn
from handsfree.reckoning.compass import note_name
from handsfree.screen.rows import number
from handsfree.screen.spotlight import ROLE_OF_OUTCOME
from handsfree.screen.styled import Line, Piece, Role, fitted, wrapped

_LABEL = 11
"""Columns of the label."""


_WHY = {Doubt.UNSURE.value: "perhaps not heard rightly, or not whole"}
"""In words that do not contradict the line above: the words may be sure, and others missing before them."""
_FIRST_HINT = "say a plan (“every key”), or a note and its weights; F1 helps"
_PLANNED_HINT = "say its weights: down, then up (“fifty two twenty eight”); F1 helps"
_HINTS = {
    Context.STANDING_BY: "say or type “go ahead”",
    Context.ANSWER: "say or type yes, no, or the right value",
    Context.SWINGS_ANSWER: "say or type yes, no, or the right count",
    Context.WALK_ANSWER: "say or type yes, no, or what is right",
    Context.WALKTHROUGH: "say or type a part and what is seen of it, or “lead me”",
    Context.REMARK: "say the remark; a pause of two seconds ends it",
    Context.SWINGS: "name a key, let the hammer fall, count its swings aloud",
}


@dataclass(frozen=True, slots=True)
class Last:
    """The last thing said."""

    text: str
    via: Literal["voice", "keyboard"]
    sureness: float
    """0..1."""
    heard: Heard | None = None
    """All that it may have been; None: it was typed."""


def labelled(label: str, text: str, role: Role, *more: Piece) -> Line:
    return (Piece(f"{label:<{_LABEL}}", Role.FAINT), Piece(text, role), *more)


def _readable(text: str) -> str:
    """The recogniser's sign for other talk is for machines."""
    return text.replace(OTHER_TALK, "…")


def heard_line(
    last: Last | None,
    partial: str,
    context: Context,
    turn: Turn | None = None,
    opened: str = "",
    planned: bool = False,
) -> Line:
    """Speech under way, else what was heard last, with how sure the recogniser was of it; `turn` came of it.
    `opened`: what to know of the sitting before the first thing is said; `planned`: the key is known."""
    if partial:
        return labelled("hearing", f"{_readable(partial)} …", Role.PLAIN)
    if last is None and opened:
        return labelled("sitting", opened, Role.PLAIN)
    if last is None:
        return labelled("heard", _HINTS.get(context, _PLANNED_HINT if planned else _FIRST_HINT), Role.FAINT)
    if last.via == "keyboard":
        return labelled("typed", last.text, Role.PLAIN)
    if turn is not None and any(isinstance(fact, RemarkKept) for fact in turn.facts):
        return labelled("heard", "a remark, kept as sound", Role.PLAIN)
    if not _readable(last.text).strip("… "):
        return labelled("heard", "talk that is no reading", Role.FAINT)
    return labelled("heard", _readable(last.text), Role.PLAIN, Piece(f"   {last.sureness:.0%} sure", Role.FAINT))


def tool_line(turn: Turn | None, opening: str) -> Line:
    """What the tool answers: the line as spoken, with the outcome as a word in front."""
    if turn is None:
        return labelled("says", opening, Role.PLAIN)
    # a move or "stand by" that was followed is `taken` too, but nothing was taken down
    followed = turn.outcome is Outcome.TAKEN and (turn.speech is Speech.REPLY or not (turn.amounts or turn.finding))
    outcome = "says" if followed else turn.outcome.value
    role = Role.PLAIN if followed else ROLE_OF_OUTCOME[turn.outcome]
    text = turn.line or turn.why or summary(turn)
    told = "? " in turn.line or turn.why.rstrip(".").casefold() in turn.line.casefold()
    more = bool(turn.why) and not told  # some questions are followed by their reason aloud
    if turn.line and more and turn.outcome in (Outcome.ASKED, Outcome.IGNORED):
        return labelled(outcome, turn.line, role, Piece(f"   {_WHY.get(turn.why, turn.why)}", Role.FAINT))
    return labelled(outcome, text, role)


def summary(turn: Turn) -> str:
    """What a turn that says nothing was about: "F#4  52.5 down, 28 up"."""
    if turn.key is None:
        return ""
    amounts = (
        "no return" if a.value is None else f"{number(a.value)} {a.quantity.value if a.quantity else ''}".strip()
        for a in turn.amounts
    )
    return f"{note_name(turn.key)}  {', '.join(amounts)}".strip()


def trouble_lines(message: str, columns: int, rows: int) -> list[Line]:
    """The message over at most `rows` lines: it ends with what to do, so it must not be cut where it need not."""
    if not message:
        return []
    parts = wrapped(message, columns - 2)
    if len(parts) > rows:
        parts = [*parts[: rows - 1], " ".join(parts[rows - 1 :])]
    leads = ["! ", *["  "] * len(parts)]
    return [fitted((Piece(lead + part, Role.BAD),), columns) for lead, part in zip(leads, parts, strict=False)]
