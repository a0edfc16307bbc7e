"""`handsfree report` and `handsfree verify`: the page for a buyer, and the proof that nothing was touched since."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from handsfree import __version__
from handsfree.errors import BadUsage
from handsfree.export_command import chosen, write_whole

if TYPE_CHECKING:
    from handsfree.journal.reader import JournalReader
    from handsfree.nouns import Entry, Remark, Sitting
    from handsfree.reckoning.touch_settings import TouchSettings
    from handsfree.reports.paper import Part

DESCRIPTION = """Writes one self-contained page (HTML) from a sitting, or from two with what changed between them."""
VERIFY_DESCRIPTION = """Says whether a report still agrees with the journal that it was made from."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    before = argparse.SUPPRESS  # what stood before the command holds on
    parser.add_argument("--journal", metavar="J", help="the journal to report from", default=before)
    parser.add_argument("--settings", metavar="FILE", help="settings file", default=before)
    parser.add_argument("--instrument", metavar="NAME", help="the last sitting at this instrument", default=before)
    parser.add_argument("--out", metavar="FILE", required=True, help="the page to write")
    parser.add_argument("--sitting", metavar="N", type=int, help="number of the sitting (default: the last one)")
    parser.add_argument("--against", metavar="N", type=int, help="the sitting to compare it with: the one before")
    parser.add_argument("--instruments", action="store_true", help="the two sittings are of two instruments")
    parser.add_argument("--place", metavar="TEXT", default="", help="where the instrument stood")
    parser.add_argument("--technician", metavar="TEXT", default="", help="who measured")
    parser.add_argument("--climate", metavar="TEXT", default="", help="temperature and relative humidity of the room")
    parser.add_argument(
        "--treated", metavar="TEXT", action="append", default=[], help="a treatment that was done (may be repeated)"
    )
    parser.add_argument(
        "--clip", metavar="NO", type=int, action="append", default=[],
        help="number of a value or remark whose sound goes into the page (may be repeated)",
    )  # fmt: skip
    parser.add_argument("--pictures", metavar="FOLDER", help="photographs of the walkthrough, matched by their time")
    parser.add_argument(
        "--clock-offset", metavar="TIME", help="how far the camera's clock is ahead: +1m30s; behind: -20s"
    )


def add_verify_arguments(parser: argparse.ArgumentParser) -> None:
    before = argparse.SUPPRESS
    parser.add_argument("report", metavar="REPORT", help="the page that was handed over")
    parser.add_argument("--journal", metavar="J", help="the journal that it was made from", default=before)
    parser.add_argument("--settings", metavar="FILE", help="settings file", default=before)


def run(args: argparse.Namespace) -> int:
    from handsfree.journal.reader import JournalReader
    from handsfree.measured import measured, touch_of
    from handsfree.reckoning.summary import compare
    from handsfree.reports.paper import report
    from handsfree.settings import journal_path, read_settings

    details = {"Place": args.place, "Technician": args.technician, "Climate": args.climate}
    settings = read_settings(args.settings)
    touch = touch_of(settings)
    with JournalReader.read(journal_path(args.journal, settings)) as journal:
        sittings = [chosen(journal, args.sitting, args.instrument)]
        if args.against is not None:
            sittings.insert(0, chosen(journal, args.against, None))
        parts = tuple(_pictured(_part(journal, s, details, args.clip, touch), args) for s in sittings)
    comparison = None
    if len(parts) == 2:
        first, second = (measured(p.sheet, p.sitting, _label(p.sitting)) for p in parts)
        comparison = compare(first, second, touch, "two instruments" if args.instruments else "before and after")
    now = datetime.now().astimezone().isoformat("T", "seconds")
    write_whole(args.out, report(parts, comparison, now, __version__, tuple(args.treated)))
    return 0


def _label(sitting: Sitting) -> str:
    return f"{sitting.instrument or 'not named'}, {sitting.opened_at[:10]} (sitting {sitting.id})"


def _part(
    journal: JournalReader, sitting: Sitting, details: Mapping[str, str], clips: Sequence[int], touch: TouchSettings
) -> Part:
    from handsfree.journal.sheet import fold
    from handsfree.journal.walk import walk_fold
    from handsfree.measured import measured
    from handsfree.reckoning.summary import figures
    from handsfree.reports.fingerprint import fingerprint
    from handsfree.reports.paper import Part

    facts = tuple(journal.facts(sitting.id))
    sheet, walk = fold(facts), walk_fold(facts)
    prints = fingerprint(sitting, journal.fact_lines(sitting.id))
    heard: list[Entry | Remark] = [*sheet.entries, *walk.remarks]
    sounds = {e.n: _sound(journal.clips_folder, e) for e in heard if e.n in clips}
    made = figures(measured(sheet, sitting, _label(sitting)), touch)
    return Part(sitting, sheet, made, prints, details, sounds, walk)


def _pictured(part: Part, args: argparse.Namespace) -> Part:
    """With the photographs that were asked for; those left out are named."""
    from handsfree.pictures import clock_offset

    ahead = clock_offset(args.clock_offset) if args.clock_offset else timedelta()
    if ahead is None:
        raise BadUsage(f"{args.clock_offset!r} is no clock offset", do="Write it like +1m30s, -20s or +1h.")
    if not args.pictures:
        return part
    from handsfree.picture_files import pictures_of

    found = pictures_of(Path(args.pictures), part.walk, part.sitting, ahead)
    for line in found.left_out:
        print(f"handsfree: left out of sitting {part.sitting.id}: {line}", file=sys.stderr)
    return replace(part, pictures=found.placed)


def _sound(folder: Path, entry: Entry | Remark) -> bytes:
    """The clip that a value or remark was heard in. Raises BadUsage where none was kept."""
    try:
        return (folder / (entry.clip or "none was kept")).read_bytes()
    except OSError as error:
        raise BadUsage(f"there is no sound of value {entry.n}", do="Leave out its --clip.") from error


def run_verify(args: argparse.Namespace) -> int:
    """0: the journal still says what the report says; 1: it does not."""
    from handsfree.journal.reader import JournalReader
    from handsfree.reports.fingerprint import fingerprint
    from handsfree.settings import journal_path, read_settings

    try:
        page = Path(args.report).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise BadUsage(f"cannot read {args.report} ({error})", do="Name the page that was handed over.") from error
    printed = re.findall(r'<meta name="handsfree-fingerprint-(\d+)" content="([0-9a-f]{64})">', page)
    if not printed:
        raise BadUsage(f"{args.report} carries no fingerprint", do="Name a page made by handsfree report.")
    agrees = True
    with JournalReader.read(journal_path(args.journal, read_settings(args.settings))) as journal:
        sittings = {s.id: s for s in journal.sittings()}
        for number, was in printed:
            sitting = sittings.get(int(number))
            now = fingerprint(sitting, journal.fact_lines(sitting.id)) if sitting else None
            agrees = agrees and now == was
            print(f"sitting {number}: " + ("agrees" if now == was else "does not agree: the facts differ"))
    if not agrees:
        print("Facts may have been added since the report was written; write a new one and compare.", file=sys.stderr)
    return 0 if agrees else 1
