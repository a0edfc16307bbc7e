"""`handsfree rescue`: what is whole of a damaged journal, in a new one."""

from __future__ import annotations

import argparse
from pathlib import Path

from handsfree import sitting_options

DESCRIPTION = """Reads all good lines of a damaged journal into a new one, with the sound, and names those that are
lost. The damaged journal stays as it is: keep it."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    sitting_options.add_journal(parser, "the damaged journal")
    parser.add_argument("--out", metavar="FILE", required=True, help="the new journal")


def run(args: argparse.Namespace) -> int:
    from handsfree.journal.rescue import rescue
    from handsfree.journal.store import local_time
    from handsfree.settings import journal_path, read_settings

    path, new = journal_path(args.journal, read_settings(args.settings)), Path(args.out)
    rescued = rescue(path, new, local_time().isoformat(timespec="milliseconds"))
    print(f"{rescued.kept} lines are whole and stand in {new}; {path} was left as it is.")
    print(f"Lost: {', '.join(rescued.lost)}." if rescued.lost else "Nothing is lost.")
    return 0
