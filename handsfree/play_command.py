"""`handsfree play`: hear a reading again, as it was said."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from handsfree import sitting_options
from handsfree.errors import BadUsage
from handsfree.export_command import chosen

if TYPE_CHECKING:
    from handsfree.nouns import Entry, Item, Remark, Sheet, Walk

    Heard = Entry | Item | Remark

DESCRIPTION = """Plays what was said: of a note ("C4", "F#4"), all that was ever said of it in the sitting; or of one
number from the tables (a value, a finding or a remark)."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("what", metavar="NOTE|NO", help="a note, or the number of a value, finding or remark")
    sitting_options.add_journal(parser, "the journal")
    sitting_options.add_choice(parser)


def run(args: argparse.Namespace) -> int:
    from handsfree.journal.clips import read_clip
    from handsfree.journal.reader import JournalReader
    from handsfree.journal.sheet import fold
    from handsfree.journal.walk import walk_fold
    from handsfree.settings import journal_path, read_settings

    with JournalReader.read(journal_path(args.journal, read_settings(args.settings))) as journal:
        sitting = chosen(journal, args.sitting, args.instrument)
        facts = tuple(journal.facts(sitting.id))
        folder = journal.clips_folder
    found = _meant(args.what, fold(facts), walk_fold(facts))
    if not found:
        raise BadUsage(
            f"nothing was said of {args.what!r} in sitting {sitting.id}",
            do="Name a note such as F#4 or a number of the tables, or another sitting with --sitting.",
        )
    clips = list(dict.fromkeys(one.clip for one in found if one.clip))
    if not clips:
        raise BadUsage(f"there is no sound of {args.what}", do="It was typed, or its sound could not be kept.")
    for clip in clips:
        path = folder / clip
        print("\n".join(_told(one) for one in found if one.clip == clip), flush=True)
        try:
            pcm, rate = read_clip(path)
        except OSError as error:
            raise BadUsage(f"cannot read {path} ({error})", do=f"Look into {folder}.") from error
        aloud(pcm, rate, path)
    return 0


def aloud(pcm: bytes, rate: int, path: Path) -> None:
    """Raises BadUsage where nothing can be heard; `path`: where that sound lies."""
    from handsfree.voice.playing import Loudspeaker, NoLoudspeaker
    from handsfree.voice.sound import Sound

    try:
        Loudspeaker().play(Sound(pcm, rate))
    except NoLoudspeaker as error:
        raise BadUsage(f"there is no loudspeaker ({error})", do=f"Play {path} with another program.") from error


def _meant(what: str, sheet: Sheet, walk: Walk) -> Sequence[Heard]:
    from handsfree.reckoning.compass import key_of

    if what.isdecimal():
        known: tuple[Heard, ...] = (*sheet.entries, *walk.items, *walk.remarks)
        return [one for one in known if one.n == int(what)]
    key = key_of(what)
    return [entry for entry in sheet.entries if entry.key == key]


def _told(one: Heard) -> str:
    """ "   31  2031-03-14T09:30:03  C4 down 52, taken"."""
    from handsfree.nouns import Entry, Item
    from handsfree.reckoning.compass import note_name

    match one:
        case Entry():
            value = "no return" if one.value is None else f"{one.value:f}"
            said = f"{note_name(one.key)} {one.quantity.value} {value}, {one.standing.value}"
        case Item():
            finding = one.finding
            said = ", ".join(filter(None, (finding.part, finding.finding, finding.place, one.standing.value)))
        case _:
            said = f"remark, {one.part or 'instrument'}"
    return f"{one.n:5}  {one.at[:19]}  {said}"
