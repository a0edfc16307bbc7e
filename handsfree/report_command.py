"""`handsfree report` and `handsfree verify`: the page for a buyer, and the proof that nothing was touched since."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from handsfree import __version__, sitting_options
from handsfree.errors import BadUsage
from handsfree.export_command import chosen, write_whole

if TYPE_CHECKING:
    from handsfree.journal.reader import JournalReader
    from handsfree.nouns import Sitting
    from handsfree.picture_files import Pictures
    from handsfree.reports.part import Part
    from handsfree.settings import Settings
    from handsfree.verifying import Verdict

DESCRIPTION = """Writes one self-contained page (HTML) from a sitting, or from two with what changed between them."""
VERIFY_DESCRIPTION = """Says whether a report still agrees with the journal that it was made from: the facts,
and the page itself, which is made anew from them and compared."""

NAMED = 12
"""Photographs that are not of the walkthrough, and are named; of more it is said how many."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    sitting_options.add_journal(parser, "the journal to report from")
    sitting_options.add_choice(parser)
    parser.add_argument("--out", metavar="FILE", required=True, help="the page to write")
    parser.add_argument("--against", metavar="N", type=int, help="the sitting to compare it with: the one before")
    parser.add_argument(
        "--instruments",
        action=argparse.BooleanOptionalAction,
        help="the two are of two instruments, or are not (default: they are where their names differ)",
    )
    parser.add_argument("--place", metavar="TEXT", default="", help="where the instrument stood")
    parser.add_argument("--technician", metavar="TEXT", default="", help="who measured")
    parser.add_argument("--climate", metavar="TEXT", default="", help="temperature and relative humidity of the room")
    parser.add_argument(
        "--treated", metavar="TEXT", action="append", default=[], help="a treatment that was done (may be repeated)"
    )
    parser.add_argument(
        "--clip", metavar="NO", type=_clip, action="append", default=[],
        help="number of a value, finding or remark whose sound goes into the page (may be repeated); all: every "
        "sound that was kept (about 5 MB for 88 keys), so that each value can be heard",
    )  # fmt: skip
    parser.add_argument(
        "--pictures", metavar="FOLDER", help="photographs of the walkthrough, matched by their time"
    )
    parser.add_argument(
        "--clock-offset", metavar="TIME", help="how far the camera's clock is ahead: +1m30s; behind: -20s"
    )


def add_verify_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("report", metavar="REPORT", help="the page that was handed over")
    sitting_options.add_journal(parser, "the journal that it was made from")
    parser.add_argument(
        "--listen", action="store_true", help="hear the recordings again, too: do they say what the journal says"
    )


def run(args: argparse.Namespace) -> int:
    from handsfree.journal.reader import JournalReader
    from handsfree.measured import kind_between, touch_of
    from handsfree.report_making import page, printed
    from handsfree.reports.made_with import Made
    from handsfree.settings import journal_path, read_settings

    settings = read_settings(args.settings)
    details = {"Place": _clean(args.place), "Technician": _clean(args.technician), "Climate": _clean(args.climate)}
    with JournalReader.read(journal_path(args.journal, settings)) as journal:
        sittings = [chosen(journal, args.sitting, args.instrument)]
        if args.against is not None:
            sittings.insert(0, chosen(journal, args.against, None))
            if sittings[0].id == sittings[1].id:
                raise BadUsage("a sitting cannot be compared with itself", do="Name another one with --against.")
        made = Made(
            sittings=tuple(s.id for s in sittings),
            facts=tuple(printed(journal, s)[1] for s in sittings),
            written_at=datetime.now().astimezone().isoformat("T", "milliseconds"),
            version=__version__,
            touch=touch_of(settings),
            kind=kind_between(*_instruments(journal, sittings), args.instruments),
            details={name: given for name, given in details.items() if given},
            treated=tuple(_clean(t) for t in args.treated),
            clips=tuple(chain.from_iterable(_clips(journal, sittings, clip) for clip in args.clip)),
        )
        looked_at: list[tuple[Part, Pictures]] = []
        write_whole(args.out, page(journal, made, lambda part: _pictured(part, args, looked_at)))
    for line in _left_out(looked_at):
        print(f"handsfree: {line}", file=sys.stderr)
    return 0


def _instruments(journal: JournalReader, sittings: Sequence[Sitting]) -> tuple[str, str]:
    """The names of the first and the last; "" = not known."""
    from handsfree.journal.walk import walk_fold
    from handsfree.measured import named

    names = [named(s, walk_fold(tuple(journal.facts(s.id))).noted).instrument for s in sittings]
    return names[0], names[-1]


def _left_out(looked_at: Sequence[tuple[Part, Pictures]]) -> Iterator[str]:
    """What became of the photographs that are in no report, as far as it is news: what is of one sitting is not of
    the other, and a telephone holds many that are of neither."""
    from handsfree.pictures import span

    if not looked_at:
        return
    (_, first), *others = looked_at
    yield from (f"left out: {line}" for line in first.left_out)
    strange = [line for line in first.elsewhere if all(line in found.elsewhere for _, found in others)]
    if len(strange) > NAMED:
        yield f"left out: {len(strange)} photographs that are not of this walkthrough, such as {strange[0]}"
    else:
        yield from (f"left out, not of this walkthrough: {line}" for line in strange)
    if strange and not any(found.placed for _, found in looked_at):
        spans = [within for part, _ in looked_at if (within := span(part.walk))]
        went = "; ".join(f"from {first:%Y-%m-%d %H:%M:%S} to {last:%H:%M:%S (UTC%z)}" for first, last in spans)
        yield f"the walkthrough went {went}; where the camera's clock was wrong, say by how much: --clock-offset +1h"


def _clip(text: str) -> int | Literal["all"]:
    if text == "all":
        return "all"
    if not text.isdecimal():
        raise argparse.ArgumentTypeError(f"{text!r} is neither a number nor all")
    return int(text)


def _clips(journal: JournalReader, sittings: Sequence[Sitting], clip: int | Literal["all"]) -> Sequence[int]:
    from handsfree.report_making import heard_in

    return heard_in(journal, sittings) if clip == "all" else (clip,)


def _clean(text: str) -> str:
    """What a terminal sent that is no text cannot stand in a page."""
    return text.encode("utf-8", "replace").decode()


def _pictured(part: Part, args: argparse.Namespace, looked_at: list[tuple[Part, Pictures]]) -> Part:
    """With the photographs that were asked for; to `looked_at` goes what became of all."""
    from handsfree.pictures import clock_offset

    ahead = clock_offset(args.clock_offset) if args.clock_offset else timedelta()
    if ahead is None:
        raise BadUsage(f"{args.clock_offset!r} is no clock offset", do="Write it like +1m30s, -20s or +1h.")
    if not args.pictures:
        return part
    from handsfree.picture_files import pictures_of

    found = pictures_of(Path(args.pictures), part.walk, ahead, _progress)
    looked_at.append((part, found))
    return replace(part, pictures=found.placed)


def _progress(done: int, of: int) -> None:
    """Photographs take a while: say so, where somebody looks."""
    if sys.stderr.isatty():
        print(f"\rphotograph {done} of {of}", end="\n" if done == of else "", file=sys.stderr, flush=True)


def run_verify(args: argparse.Namespace) -> int:
    """0: the report says what the journal says; 1: it does not."""
    from handsfree.journal.reader import JournalReader
    from handsfree.settings import journal_path, read_settings
    from handsfree.verifying import verdicts

    try:
        text = Path(args.report).read_bytes().decode("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise BadUsage(f"cannot read {args.report} ({error})", do="Name the page that was handed over.") from error
    settings = read_settings(args.settings)
    with JournalReader.read(journal_path(args.journal, settings)) as journal:
        found = list(verdicts(text, journal))
        if args.listen:
            found += _sounds(text, journal, settings)
    if not found:
        raise BadUsage(f"{args.report} carries no fingerprint", do="Name a page made by handsfree report.")
    for verdict in found:
        print(verdict.line)
    return 0 if all(verdict.agrees for verdict in found) else 1


def _sounds(text: str, journal: JournalReader, settings: Settings) -> list[Verdict]:
    """On the recordings of each sitting of the report that is in this journal."""
    from handsfree.hearing import hearing
    from handsfree.hearing_again import sound_verdict
    from handsfree.verifying import sittings_of

    numbers = sittings_of(text)
    with hearing(settings) as ears:
        return [sound_verdict(journal, sitting, ears) for sitting in journal.sittings() if sitting.id in numbers]
