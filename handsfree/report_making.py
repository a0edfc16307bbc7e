"""From a journal to the page of a report; the same for who writes it and for who checks it later."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from itertools import islice
from pathlib import Path

from handsfree.errors import BadUsage
from handsfree.journal.reader import JournalReader
from handsfree.journal.sheet import fold
from handsfree.journal.walk import walk_fold
from handsfree.measured import measured, named
from handsfree.nouns import Entry, Heard, Item, Remark, Sheet, Sitting, Walk
from handsfree.reckoning.comparison import Kind, comparison
from handsfree.reckoning.summary import figures
from handsfree.reports.fingerprint import fingerprint
from handsfree.reports.made_with import Made, made_to_text
from handsfree.reports.paper import report
from handsfree.reports.part import Part
from handsfree.words.as_taken import words_for

WithPictures = Callable[[Part], Part]
NAMED = 12
"""Lost lines that a report names; of more it says how many."""


def page(journal: JournalReader, made: Made, pictured: WithPictures = lambda part: part) -> bytes:
    """The report as it was asked for, from the first facts of each sitting. Raises BadUsage for a clip that is not
    there."""
    sittings = {s.id: s for s in journal.sittings()}
    wanted = [(sittings[number], count) for number, count in zip(made.sittings, made.facts, strict=True)]
    read = [_part(journal, sitting, count, made) for sitting, count in wanted]
    names = labels([part.sitting for part in read], made.kind)
    parts = tuple(
        pictured(replace(part, figures=replace(part.figures, label=name)))
        for part, name in zip(read, names, strict=True)
    )
    if strange := set(made.clips) - {heard.n for part in parts for heard in _heard(part.sheet, part.walk)}:
        what = f"there is no value, finding or remark {min(strange)}"
        raise BadUsage(what, do="Take the number from the tables of the report.")
    both = comparison(parts[0].figures, parts[1].figures, made.kind) if len(parts) == 2 else None
    return report(parts, both, made.written_at, made.version, made.treated, made_to_text(made))


def heard_in(journal: JournalReader, sittings: Sequence[Sitting]) -> tuple[int, ...]:
    """Numbers of all values, findings and remarks of these sittings whose sound is there."""
    there: list[int] = []
    for sitting in sittings:
        facts = tuple(journal.facts(sitting.id))
        heard = _heard(fold(facts), walk_fold(facts))
        there += [h.n for h in heard if h.clip and (journal.clips_folder / h.clip).is_file()]
    return tuple(sorted(set(there)))


def label(sitting: Sitting) -> str:
    return f"{sitting.instrument or 'not named'}, {sitting.opened_at[:10]} (sitting {sitting.id})"


def labels(sittings: Sequence[Sitting], kind: Kind) -> list[str]:
    """What each is called on the page: as short as tells them apart."""
    if len(sittings) == 1:
        return [label(sittings[0])]
    if kind == "before and after":
        return [f"{word} ({s.opened_at[:10]})" for word, s in zip(("Before", "After"), sittings, strict=True)]
    one, other = (s.instrument for s in sittings)
    return [one, other] if one and other and one != other else [label(s) for s in sittings]


def printed(journal: JournalReader, sitting: Sitting, count: int | None = None) -> tuple[str, int]:
    """The fingerprint of a sitting's first facts (None: of all), and how many they are."""
    lines = list(islice(journal.fact_lines(sitting.id), count))
    return fingerprint(sitting, lines), len(lines)


def _part(journal: JournalReader, sitting: Sitting, count: int, made: Made) -> Part:
    facts = tuple(islice(journal.facts(sitting.id), count))
    sheet, walk = fold(facts), walk_fold(facts)
    lines = {line.n: line.heard for line in journal.heard_lines(sitting.id)}
    return Part(
        named(sitting, walk.noted),
        sheet,
        figures(measured(sheet, sitting, noted=walk.noted), made.touch),
        printed(journal, sitting, count)[0],
        made.details or {},
        {e.n: _sound(journal.clips_folder, e) for e in _heard(sheet, walk) if e.n in made.clips},
        walk,
        rescued=tuple(_rescued(journal, made)),
        facts=len(facts),
        typed=frozenset(n for n, heard in lines.items() if heard.via == "keyboard"),
        words=dict(_taken_words(sheet, lines)),
    )


def _taken_words(sheet: Sheet, lines: Mapping[int, Heard]) -> Iterator[tuple[int, str]]:
    """Where the words that a value was taken from are not the likeliest by ear."""
    for entry in sheet.entries:
        if (heard := lines.get(entry.heard_n or 0)) is None:
            continue
        words = words_for(heard.alternatives, heard.context, entry.key)
        if words != entry.heard_text and heard.text == entry.heard_text:
            yield entry.n, words


def _rescued(journal: JournalReader, made: Made) -> Iterator[str]:
    """What was lost before this report was written."""
    written = datetime.fromisoformat(made.written_at)
    for at, lost in journal.rescues():
        if lost and datetime.fromisoformat(at) <= written:
            more = f" and {len(lost) - NAMED} more" if len(lost) > NAMED else ""
            yield (
                f"The journal was damaged: on {at[:10]} a new one was made of all that could still be read. Lost (of "
                f"this or of other sittings): {', '.join(lost[:NAMED])}{more}."
            )


def _heard(sheet: Sheet, walk: Walk) -> tuple[Entry | Item | Remark, ...]:
    """All that has a number and may have a sound."""
    return (*sheet.entries, *walk.items, *walk.remarks)


def _sound(folder: Path, entry: Entry | Item | Remark) -> bytes:
    """The clip that something was heard in. Raises BadUsage where none was kept."""
    try:
        return (folder / (entry.clip or "none was kept")).read_bytes()
    except OSError as error:
        raise BadUsage(f"there is no sound of no. {entry.n}", do="Leave out its --clip.") from error
