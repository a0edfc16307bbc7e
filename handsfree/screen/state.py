"""The state of listening, in one word and one sign, and the level of the microphone as a bar."""

from __future__ import annotations

from handsfree.nouns import Context, EarState, Level
from handsfree.screen.styled import Line, Piece, Role
from handsfree.words.walk_sentences import begins_remark

QUIET_DBFS = -60.0
"""Left end of the bar; the right end is full scale."""
HOT_DBFS = -6.0
"""From here on the word "loud" stands beside the bar: near clipping."""

_SIGNS = {
    "no microphone": ("!", Role.BAD),
    "muted": ("x", Role.BAD),
    "ended": ("-", Role.FAINT),
    "speaking": ("»", Role.UP),
    "standing by": ("=", Role.FAINT),
    "asking": ("?", Role.ASK),
    "counting": ("#", Role.GOOD),
    "recording": ("*", Role.ASK),
    "hearing": ("●", Role.GOOD),
    "listening": ("○", Role.STRONG),
}


def state_word(ear: EarState, context: Context, partial: str = "") -> str:
    """What the machine does rules over what it waits for: no words can be heard without a microphone.

    `partial`: the words so far; a remark in one breath is recorded from its first word on.
    """
    if ear in (EarState.NO_MICROPHONE, EarState.MUTED, EarState.SPEAKING):
        return ear.value
    if context is Context.STANDING_BY:
        return "standing by"
    if context is Context.REMARK or begins_remark(partial, context):
        return "recording"
    if context in (Context.ANSWER, Context.SWINGS_ANSWER, Context.WALK_ANSWER):
        return "asking"
    if context is Context.SWINGS and ear is EarState.HEARING:
        return "counting"
    return ear.value


def state_piece(word: str) -> Piece:
    """The word in capitals behind its sign, always 15 columns wide, so that nothing jumps."""
    sign, role = _SIGNS[word]
    return Piece(f"{sign} {word.upper():<13}", role)


def bar_cells(level: Level | None, columns: int) -> int:
    """Eighths of a column that are lit, 0..8 * columns."""
    if level is None:
        return 0
    share = (level.dbfs - QUIET_DBFS) / -QUIET_DBFS
    return round(min(max(share, 0.0), 1.0) * columns * 8)


def meter(level: Level | None, columns: int) -> Line:
    """The level meter: a bar over a dotted ground, and "loud" near full scale."""
    eighths = bar_cells(level, columns)
    full, part = divmod(eighths, 8)
    bar = "█" * full + ("", "▏", "▎", "▍", "▌", "▋", "▊", "▉")[part]
    loud = level is not None and level.dbfs >= HOT_DBFS
    return (
        Piece("▕", Role.FAINT),
        Piece(bar, Role.BAD if loud else Role.GOOD),
        Piece("·" * (columns - len(bar)), Role.FAINT),
        Piece("▏", Role.FAINT),
        Piece("loud" if loud else "    ", Role.BAD),
    )
