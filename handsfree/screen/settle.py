"""The "to settle" list: what was asked and not answered, so that nothing open is forgotten at the end of the pass."""

from __future__ import annotations

from handsfree.nouns import OpenQuestion, Proposal, Sheet
from handsfree.reckoning.compass import note_name
from handsfree.screen.rows import number
from handsfree.screen.styled import Line, Piece, Role, fitted


def proposal(p: Proposal) -> str:
    """ "61 down"; "no return" has no number."""
    return "no return" if p.value is None else f"{number(p.value)} {p.quantity.value}"


def question(q: OpenQuestion) -> str:
    """ "C5 61 down?"."""
    proposals = q.question.proposals
    if not proposals:
        return q.question.line
    return f"{note_name(proposals[0].key)} {', '.join(map(proposal, proposals))}?"


def waiting(sheet: Sheet) -> tuple[OpenQuestion, ...]:
    """Questions put off; the one being asked now stands in big numerals instead."""
    return tuple(q for q in sheet.questions if q.put_off)


def settle_lines(sheet: Sheet, columns: int, rows: int) -> list[Line]:
    """At most `rows` lines: one a question with its reason; in a single line, the questions alone.

    What does not fit is counted, never silently left out.
    """
    queue = waiting(sheet)
    if not queue or rows < 1:
        return []
    head = Piece("to settle  ", Role.ASK)
    if rows == 1 or len(queue) == 1:
        text = "  ·  ".join(question(q) for q in queue)
        if len(queue) > 1 and len(head.text) + len(text) > columns:
            text = f"{len(queue)}: {text}"
        return [fitted((head, Piece(text, Role.STRONG)), columns)]
    shown = queue if len(queue) <= rows else queue[: rows - 1]
    lines: list[Line] = []
    for i, q in enumerate(shown):
        lead = head if i == 0 else Piece(" " * len(head.text))
        why = Piece(f"   {q.question.why.value}", Role.FAINT)
        lines.append(fitted((lead, Piece(question(q), Role.STRONG), why), columns))
    if len(shown) < len(queue):
        lines.append((Piece(f"{' ' * len(head.text)}and {len(queue) - len(shown)} more", Role.STRONG),))
    return lines
