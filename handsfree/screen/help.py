"""The help page: what can be said, the keys, and the caution that belongs to the work."""

from __future__ import annotations

from collections.abc import Sequence

from handsfree.screen.strip import legend
from handsfree.screen.styled import Line, Piece, Role, fitted, wrapped
from handsfree.words import guide
from handsfree.words.sentence import Sentence

KEYS = (
    ("Enter", "takes the typed line as if it had been said"),
    ("F1", "this page, and back"),
    ("F2", "figures: what the readings mean, and back"),
    ("F3", "light or dark"),
    ("F4", "mute the microphone, and open it again"),
    ("F5", "stand by, and go ahead"),
    (
        "F6",
        "remarks, and back; there: up and down choose one, Enter keeps what you typed as its words, F7 plays it, "
        "F8 puts it at another finding or part, F9 lets your general speech model write it down",
    ),
    ("Page up, down", "through the readings or the page"),
    ("Esc", "empties the typed line; on a page, back to the readings"),
    ("Ctrl+N", "twice: a new sitting at this instrument, after a treatment, with the same plan; the old one stays"),
    ("Ctrl+Q", "quit; everything taken is already on disk"),
)
CAUTION = (
    "The strings pull with some 16 to 20 tonnes-force in all. Key leads are lead: wash your hands, do not sweep dry.",
    "While an action slides out or in, press no key: a raised hammer breaks. Two people for lifting.",
    "The tool advises, a qualified technician decides; local codes and licensed practice come first.",
)


def help_lines(columns: int) -> list[Line]:
    """The page at a given width; the sentences come from the grammar itself."""
    lines: list[Line] = [(Piece("Say, or type and press Enter", Role.STRONG),)]
    lines += _said(guide.sentences(), columns)
    lines += [(), (Piece("In the swing pass, instead of weights", Role.STRONG),)]
    lines += _said(guide.swing_sentences(), columns)
    lines += [(), (Piece("In the walkthrough", Role.STRONG),), *_said(guide.walk_sentences(), columns)]
    lines += [(), (Piece("Keys", Role.STRONG),), *_pairs(KEYS, columns)]
    lines += [(), (Piece("Keyboard strip", Role.STRONG),), *((Piece("  "), *shapes) for shapes in legend())]
    lines += [(), (Piece("Caution", Role.STRONG),)]
    for caution in CAUTION:
        lines += [(Piece(f"  {part}"),) for part in wrapped(caution, columns - 2)]
    return lines


def _said(sentences: Sequence[Sentence], columns: int) -> list[Line]:
    """Each with an example where it is no word to be said as it stands."""
    pairs: list[tuple[str, str]] = []
    for one in sentences:
        example = f" “{one.examples[0]}”" if "*" in one.say and one.examples else ""
        pairs.append((one.say.replace("*", ""), one.does + example))
    return _pairs(pairs, columns)


def _pairs(pairs: Sequence[tuple[str, str]], columns: int) -> list[Line]:
    lead = min(max((len(left) for left, _ in pairs), default=0), max(columns // 4, 10)) + 4
    made: list[Line] = []
    for left, right in pairs:
        head: Line = (Piece(f"  {left}"),)
        first, *rest = wrapped(right, max(columns - lead, 10)) or [""]
        if len(left) + 4 > lead:
            made += [fitted(head, columns), (Piece(" " * lead + first, Role.FAINT),)]
        else:
            made.append((Piece(f"  {left}".ljust(lead)), Piece(first, Role.FAINT)))
        made += [(Piece(" " * lead + more, Role.FAINT),) for more in rest]
    return made
