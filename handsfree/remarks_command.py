"""`handsfree remarks`: spoken remarks, to be listened to and written down after the work."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING

from handsfree import sitting_options
from handsfree.errors import BadUsage
from handsfree.export_command import chosen
from handsfree.play_command import aloud

if TYPE_CHECKING:
    from handsfree.journal.store import Journal
    from handsfree.nouns import Fact, Walk
    from handsfree.remarks import Remarks

DESCRIPTION = """Lists the remarks of a walkthrough; plays one; keeps the words of one that you write down, or that a
general speech model of your own finds in them (marked as such); puts one where it belongs."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    sitting_options.add_journal(parser, "the journal")
    sitting_options.add_choice(parser)
    do = parser.add_mutually_exclusive_group()
    do.add_argument("--play", metavar="NO", type=int, help="play this remark")
    do.add_argument("--write", metavar=("NO", "TEXT"), nargs=2, help="keep this text as the words of a remark")
    do.add_argument("--place", metavar=("NO", "WHERE"), nargs=2,
                    help="put a remark at a part, at a finding (its number), or at the instrument")  # fmt: skip
    do.add_argument("--recognise", metavar="FOLDER", nargs="?", const="",
                    help="write down with this Vosk model (default: general_model of the settings) what nobody has "
                    "written down yet")  # fmt: skip


def run(args: argparse.Namespace) -> int:
    from handsfree.journal.reader import JournalReader
    from handsfree.journal.walk import walk_fold
    from handsfree.remarks import Remarks
    from handsfree.settings import journal_path, read_settings

    settings = read_settings(args.settings)
    path = journal_path(args.journal, settings)
    with JournalReader.read(path) as journal:
        sitting = chosen(journal, args.sitting, args.instrument)
        walk, clips = walk_fold(journal.facts(sitting.id)), journal.clips_folder
    if args.play is not None:
        _play(Remarks(lambda: walk, _keep_nothing, clips), args.play)
        return 0
    if args.write or args.place or args.recognise is not None:
        from handsfree.journal.store import Journal

        with Journal.open(path) as writer:
            writer.sitting = sitting
            model = args.recognise or settings.general_model
            _change(args, Remarks(lambda: walk_fold(writer.facts(sitting.id)), _keep_in(writer), clips, model))
            walk = walk_fold(writer.facts(sitting.id))
    print("\n".join(listed(walk)) or "There are no remarks.")
    return 0


def listed(walk: Walk) -> list[str]:
    """One line a remark: number, when, what it belongs to, and its words."""
    from handsfree.words.remark_places import belongs_to, standing, words_of

    return [f"{r.n:5}  {r.at[:19]}  {belongs_to(r, walk)}: {words_of(r)}" for r in standing(walk)]


def _keep_in(journal: Journal) -> Callable[[tuple[Fact, ...]], None]:
    def keep(facts: tuple[Fact, ...]) -> None:
        journal.append_unheard(facts)

    return keep


def _keep_nothing(facts: tuple[Fact, ...]) -> None:
    raise AssertionError("playing a remark changes nothing")


def _change(args: argparse.Namespace, remarks: Remarks) -> None:
    if args.write:
        _write(remarks, *args.write)
    elif args.place:
        _place(remarks, *args.place)
    else:
        if not remarks.general_model:
            raise BadUsage("no general model was named", do="Give its folder, or set general_model in the settings.")
        for number in remarks.for_machine():
            remarks.write_by_machine(number, remarks.words_by_machine(number))


def _write(remarks: Remarks, number: str, text: str) -> None:
    if not number.isdecimal() or not text.strip():
        raise BadUsage("--write wants the number of a remark and its text", do='Write --write 16 "the text".')
    remarks.write(int(number), text)


def _place(remarks: Remarks, number: str, where: str) -> None:
    from handsfree.words.remark_places import place_named, places

    if not number.isdecimal():
        raise BadUsage("--place wants the number of a remark and where", do="Write --place 16 hammers.")
    place = place_named(where, remarks.walk())
    if place is None:
        known = "; ".join(f"{p.item} {p.name}" for p in places(remarks.walk()) if p.item) or "none"
        raise BadUsage(f"there is no {where!r} to put it at",
                       do=f"Name a part, instrument, or the number of a finding: {known}.")  # fmt: skip
    remarks.put(int(number), place)


def _play(remarks: Remarks, number: int) -> None:
    pcm, rate = remarks.sound(number)
    aloud(pcm, rate, remarks.clips / str(remarks.remark(number).clip))
