"""`handsfree export`: tables from a journal, for spreadsheets and other tools."""

from __future__ import annotations

import argparse
import os
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from handsfree import sitting_options
from handsfree.errors import BadUsage, DiskTrouble

if TYPE_CHECKING:
    from handsfree.journal.reader import JournalReader
    from handsfree.nouns import Sitting

DESCRIPTION = "Write the readings of one sitting as CSV; what the columns mean stands in datapackage.json beside it."
DESCRIPTOR = "datapackage.json"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    sitting_options.add_journal(parser, "the journal to read")
    parser.add_argument("--tidy", metavar="FILE", help="write a CSV with one value a row (- = standard output)")
    parser.add_argument("--wide", metavar="FILE", help="write a CSV with one key a row (- = standard output)")
    parser.add_argument("--walkthrough", metavar="FILE", help="write the walkthrough as CSV (- = standard output)")
    parser.add_argument(
        "--lines", metavar="FILE", help="write all that was heard and kept in the sitting as JSON lines, for archives"
    )
    sitting_options.add_choice(parser)
    parser.add_argument(
        "--spreadsheet-safe", action="store_true", help="mark text that a spreadsheet could take for a formula"
    )


def run(args: argparse.Namespace) -> int:
    if not (args.tidy or args.wide or args.lines or args.walkthrough):
        raise BadUsage("nothing to export", do="Name a file with --tidy, --wide, --walkthrough or --lines.")
    from handsfree.journal.reader import JournalReader
    from handsfree.journal.sheet import fold
    from handsfree.journal.walk import walk_fold
    from handsfree.measured import measured, method_kept, named
    from handsfree.reckoning.swing import torques
    from handsfree.reports import csv_out, datapackage, walk_csv
    from handsfree.settings import journal_path, read_settings

    with JournalReader.read(journal_path(args.journal, read_settings(args.settings))) as journal:
        sitting = chosen(journal, args.sitting, args.instrument)
        facts = tuple(journal.facts(sitting.id))
        sheet, walk = fold(facts), walk_fold(facts)
        if args.lines:
            write_whole(args.lines, "".join(line + "\n" for line in journal.archive_lines(sitting)).encode())
    sitting = named(sitting, walk.noted)
    beside: dict[Path, list[tuple[datapackage.Table, str]]] = {}
    if args.tidy:
        write_whole(args.tidy, csv_out.tidy(sheet, sitting, spreadsheet_safe=args.spreadsheet_safe))
        beside.setdefault(Path(args.tidy).parent, []).append(("tidy", Path(args.tidy).name))
    if args.wide:
        write_whole(args.wide, csv_out.wide(sheet, torques(measured(sheet, sitting, noted=walk.noted))))
        beside.setdefault(Path(args.wide).parent, []).append(("wide", Path(args.wide).name))
    if args.walkthrough:
        write_whole(args.walkthrough, walk_csv.walkthrough(walk, sitting, spreadsheet_safe=args.spreadsheet_safe))
        beside.setdefault(Path(args.walkthrough).parent, []).append(("walkthrough", Path(args.walkthrough).name))
    for folder, tables in beside.items():
        files = [(table, name) for table, name in tables if name != "-"]
        if files:
            how = method_kept(sitting, walk.noted)
            _describe(folder / DESCRIPTOR, datapackage.descriptor(files, sitting, how, walk.noted))
    return 0


def chosen(journal: JournalReader, number: int | None, instrument: str | None) -> Sitting:
    """The sitting that was asked for, the last one when nothing was. Raises BadUsage."""
    sittings = journal.sittings()
    matching = [s for s in sittings if number in (None, s.id) and instrument in (None, s.instrument)]
    if matching:
        return matching[-1]
    if not sittings:
        raise BadUsage(f"nothing has been measured in {journal.path}", do="Check the name given with --journal.")
    known = "; ".join(f"{s.id} {s.instrument or '(not named)'}, {s.opened_at[:10]}" for s in sittings)
    raise BadUsage("there is no such sitting in the journal", do=f"There are: {known}.")


def _describe(path: Path, text: bytes) -> None:
    """Lay the descriptor beside the tables, but never over one that somebody else made."""
    from handsfree.reports import datapackage

    if path.exists() and not datapackage.is_ours(path.read_bytes()):
        print(f"handsfree: {path} is not from handsfree, left as it is.", file=sys.stderr)
        return
    write_whole(str(path), text)


def write_whole(name: str, content: bytes) -> None:
    """To a file, whole or not at all, or to standard output ("-"). Raises DiskTrouble."""
    if name == "-":
        sys.stdout.buffer.write(content)
        sys.stdout.flush()
        return
    path = Path(name)
    half = path.with_name(f"{path.name}.{os.getpid()}.half")
    try:
        half.write_bytes(content)
        os.replace(half, path)
    except OSError as error:
        with suppress(OSError):  # a disk that cannot be written on has nothing to remove
            half.unlink()
        raise DiskTrouble(f"cannot write {path} ({error.strerror})", do="Choose another file or folder.") from error
