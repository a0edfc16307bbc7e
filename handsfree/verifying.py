"""Whether a report still says what its journal says: the facts by their fingerprint, the page by making it anew."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from dataclasses import dataclass

from handsfree import __version__
from handsfree.errors import BadUsage
from handsfree.journal.reader import JournalReader
from handsfree.reckoning.compass import counted
from handsfree.report_making import page, printed
from handsfree.reports.made_with import Made, made_from_text
from handsfree.reports.walk_section import MATCHED, PICTURES

_PRINT = re.compile(r'<meta name="handsfree-fingerprint-(\d+)" content="([0-9a-f]{64})">')
_MADE = re.compile(r'<meta name="handsfree-made-with" content="([^"]*)">')
_PHOTOGRAPH = (
    r'<figure><img src="data:image/[a-z]+;base64,[A-Za-z0-9+/=]*" alt="[^"<>]*">'
    r"<figcaption>[^<]*<bdi>[^<]*</bdi>, <time[^>]*>[^<]*</time></figcaption></figure>"
)
_PHOTOGRAPHS = re.compile(
    rf'<section class="{PICTURES}"><h(\d)>Pictures</h\1><p>{re.escape(MATCHED)}</p>'
    rf'<div class="pictures">(?:{_PHOTOGRAPH})+</div></section>'
)
"""Nothing but photographs and their captions: whatever else stands there is compared with the journal."""
AROUND = 40
"""Characters shown on either side of a difference."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """One line for the person, and whether it is a yes."""

    agrees: bool
    line: str


def sittings_of(text: str) -> frozenset[int]:
    """Numbers of the sittings that a report was made from."""
    return frozenset(int(number) for number, _ in _PRINT.findall(text))


def verdicts(text: str, journal: JournalReader) -> Iterator[Verdict]:
    """On each sitting of the report, then on the page itself. None at all: it carries no fingerprint."""
    prints = [(int(number), was) for number, was in _PRINT.findall(text)]
    made = next((made_from_text(html.unescape(found)) for found in _MADE.findall(text)), None)
    counts = dict(zip(made.sittings, made.facts, strict=True)) if made else {}
    facts = [_sitting(journal, number, was, counts.get(number)) for number, was in prints]
    yield from (verdict for verdict, _ in facts)
    if not facts:
        return
    if made is None or sorted(made.sittings) != sorted(number for number, _ in prints):
        yield Verdict(False, "the page: cannot be checked, it does not say how it was made; only the facts were")
    elif all(as_then for _, as_then in facts):
        yield _page(text, journal, made)


def _sitting(journal: JournalReader, number: int, was: str, count: int | None) -> tuple[Verdict, bool]:
    """And whether the facts are still there as they were then."""
    sitting = next((s for s in journal.sittings() if s.id == number), None)
    if sitting is None:
        line = f"sitting {number}: does not agree: this journal has no such sitting; it is another journal"
        return Verdict(False, line), False
    now, there = printed(journal, sitting)
    if now == was:
        return Verdict(True, f"sitting {number}: agrees, all {there} facts"), True
    if count is not None and printed(journal, sitting, count)[0] == was:
        added = there - count
        since = counted(added, "fact")
        line = f"sitting {number}: the {count} facts of the report agree, but {since} came since; write a new one"
        return Verdict(False, line), True
    line = (
        f"sitting {number}: does not agree: the facts differ from those that the report was made from. Something was "
        f"changed, removed or reordered, or this is another journal (here sitting {number} is of "
        f"{sitting.instrument or 'an instrument without a name'}, opened {sitting.opened_at})"
    )
    return Verdict(False, line), False


def _page(text: str, journal: JournalReader, made: Made) -> Verdict:
    """Made anew from the same facts, it must be the same."""
    try:
        anew = page(journal, made).decode("utf-8")
    except BadUsage as missing:
        return Verdict(False, f"the page: cannot be made anew, {missing.problem}")
    photographs = len(re.findall(_PHOTOGRAPH, text))
    text, anew = _PHOTOGRAPHS.sub("", text), _PHOTOGRAPHS.sub("", anew)
    if text == anew:
        return Verdict(True, f"the page: agrees, it says what these facts say{_not_checked(made, photographs)}")
    other = "" if made.version == __version__ else f" (made by version {made.version}, which may write otherwise)"
    says, gives = _difference(text, anew)
    return Verdict(False, f'the page: does not agree{other}. It has "{says}" where the journal gives "{gives}"')


def _not_checked(made: Made, photographs: int) -> str:
    """What stands on the page and in no journal: the word of whoever wrote it."""
    given = [name.lower() for name in made.details or {}]
    given += ["what was treated"] if made.treated else []
    if photographs:
        given.append(f"{counted(photographs, 'photograph')} with captions")
    return f"; {', '.join(given)} not checked: no journal holds that" if given else ""


def _difference(one: str, other: str) -> tuple[str, str]:
    """What stands around the first place where they differ."""
    at = next((n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    start = max(0, at - AROUND)
    pieces = one[start : at + AROUND], other[start : at + AROUND]
    says, gives = map(_readable, pieces)
    return (says, gives) if says != gives else pieces  # a drawing or a style: nothing that is read


def _readable(markup: str) -> str:
    """Without tags, whole or cut off at either end."""
    plain = re.sub(r"<[^>]*>|^[^<]*>(?=.*<)|<[^>]*$", " ", markup)
    return " ".join(html.unescape(plain).split())
