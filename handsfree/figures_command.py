"""`handsfree figures`: what readings mean and what to treat, from a journal or from a table made elsewhere.

Only reads and prints; the arithmetic is in reckoning/.
"""

from __future__ import annotations

import argparse
import json
import shutil
from dataclasses import fields, replace
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, Any

from handsfree import sitting_options
from handsfree.errors import BadTable, BadUsage

if TYPE_CHECKING:
    from handsfree.reckoning.readings import Method, Sitting
    from handsfree.reckoning.touch_settings import TouchSettings

DESCRIPTION = """Friction, balance, verdicts, treatment, evenness and comparison, from a sitting or a table (CSV with
the columns key or note, down_g, up_g, swings). The tool advises; a qualified technician decides."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    sitting_options.add_journal(parser, "the journal to read")
    sitting_options.add_choice(parser)
    parser.add_argument("--csv", metavar="FILE", help="read this table instead of a journal")
    parser.add_argument(
        "--against", metavar="N|FILE", help="compare with this sitting or table, which is the first (before)"
    )
    parser.add_argument(
        "--instruments",
        action=argparse.BooleanOptionalAction,
        help="the two are of two instruments, or are not (default: they are where their names differ)",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object (grams read are text)")
    parser.add_argument("--explain", action="store_true", help="worked examples of every figure, and stop")
    table = parser.add_argument_group("how a table was measured (a journal knows)")
    table.add_argument("--step", metavar="G", help="grams from one weight combination to the next (default 1)")
    table.add_argument("--release", metavar="DEG", help="degrees at which the hammers were let fall (default 90)")
    table.add_argument(
        "--swing", choices=("one-way", "to-and-fro"), help="what was counted as one swing (default one-way)"
    )
    parser.add_argument(
        "--hammer",
        metavar="G,MM,KEY",
        action="append",
        default=[],
        help="a hammer weighed with its shank level, its radius, its key (may be left out); may be repeated; else "
        "those typed in the walkthrough",
    )
    parser.add_argument("--ratio", metavar="R", help="action ratio, about 5: gives the flange's share at the key")
    parser.add_argument(
        "--set", metavar="NAME=VALUE", action="append", default=[], help="a threshold, such as down_acceptable=55"
    )


def run(args: argparse.Namespace) -> int:
    """Prints; the exit code is 0 whatever the readings say. Raises BadTable, BadUsage and a journal's errors."""
    from handsfree.measured import kind_between
    from handsfree.reckoning import as_text
    from handsfree.reckoning.plain import plain
    from handsfree.reckoning.summary import compare, figures
    from handsfree.reckoning.worked import worked_examples

    if args.explain:
        print("\n".join(worked_examples()))
        return 0
    settings = _thresholds(args)
    sittings, names, reasons = _sittings(args)
    width = min(max(shutil.get_terminal_size((100, 24)).columns, 60), 120)
    if len(sittings) == 1:
        one = figures(sittings[0], settings)
        content, lines = {"figures": plain(one)}, as_text.figures_lines(one, width)
    else:
        both = compare(sittings[0], sittings[1], settings, kind_between(names[0], names[1], args.instruments))
        content, lines = {"comparison": plain(both)}, as_text.comparison_lines(both, width)
    if args.json:
        print(json.dumps({**content, "left_out": reasons}, ensure_ascii=False, indent=1))
    else:
        print("\n".join([*lines, *(["", "Left out", *(f"  {r}" for r in reasons)] if reasons else [])]))
    return 0


def _sittings(args: argparse.Namespace) -> tuple[list[Sitting], list[str], list[str]]:
    """One, or with --against the first and the second; the names of their instruments; what of their tables was left
    out."""
    names: list[str | int | None] = [args.csv or args.sitting]
    if args.against is not None:
        names.insert(0, int(args.against) if args.against.isdecimal() else args.against)
    if args.csv and args.sitting is not None:
        raise BadUsage("--csv and --sitting name two things", do="Use --against for the other one.")
    tables = [name for name in names if isinstance(name, str)]
    if not tables and (args.step or args.release or args.swing):
        raise BadUsage(
            "a journal knows how it was measured", do="Leave out --step, --release and --swing, or name a --csv."
        )
    reasons: list[str] = []
    found = [(_table(n, args, reasons), "") if isinstance(n, str) else _kept(n, args) for n in names]
    sittings = [sitting for sitting, _ in found]
    if len(names) == 2 and (names[0] == names[1] or sittings[0] == sittings[1]):
        raise BadUsage("a sitting cannot be compared with itself", do="Name another one with --against.")
    return [_with_hammers(s, args) for s in sittings], [instrument for _, instrument in found], reasons


def _kept(number: int | None, args: argparse.Namespace) -> tuple[Sitting, str]:
    """A sitting of the journal, and its instrument."""
    from handsfree.export_command import chosen
    from handsfree.journal.reader import JournalReader
    from handsfree.journal.sheet import fold
    from handsfree.journal.walk import walk_fold
    from handsfree.measured import measured, named
    from handsfree.settings import journal_path, read_settings

    path = journal_path(getattr(args, "journal", None), read_settings(getattr(args, "settings", None)))
    with JournalReader.read(path) as journal:
        sitting = chosen(journal, number, getattr(args, "instrument", None))
        facts = tuple(journal.facts(sitting.id))
    noted = walk_fold(facts).noted
    instrument = named(sitting, noted).instrument
    return measured(fold(facts), sitting, f"{instrument or 'not named'}, sitting {sitting.id}", noted), instrument


def _table(name: str, args: argparse.Namespace, reasons: list[str]) -> Sitting:
    from handsfree.reckoning.readings import Sitting
    from handsfree.reckoning.table_in import readings_from_csv

    table = readings_from_csv(_text(name))
    if not table.readings:
        what = " ".join(table.reasons[:3]) or "no row holds a reading."
        raise BadTable(
            f"{name} holds no readings: {what[:-1]}", do="Give it the columns key or note, down_g, up_g, swings."
        )
    reasons.extend(f"{Path(name).name}: {reason}" for reason in table.reasons)
    return Sitting(Path(name).stem, table.readings, table.repeats, _method(args))


def _text(name: str) -> str:
    """A file's text: UTF-8, or UTF-16 as some spreadsheets save it (known by its first bytes)."""
    try:
        data = Path(name).read_bytes()
        return data.decode("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig")
    except OSError as error:
        raise BadTable(f"cannot read {name} ({error.strerror})", do="Name a CSV file that is there.") from error
    except UnicodeError as error:
        raise BadTable(f"{name} is not UTF-8 text", do="Save it as CSV UTF-8.") from error


def _method(args: argparse.Namespace) -> Method:
    from handsfree.reckoning.readings import Method, SwingDefinition

    usual = Method()
    return Method(
        weight_step=_number(args.step, "--step") if args.step else usual.weight_step,
        release_angle=_number(args.release, "--release") if args.release else usual.release_angle,
        swing=SwingDefinition.TO_AND_FRO if args.swing == "to-and-fro" else SwingDefinition.PASS,
    )


def _with_hammers(sitting: Sitting, args: argparse.Namespace) -> Sitting:
    from handsfree.reckoning.readings import Hammer

    hammers = []
    for text in args.hammer:
        values = text.split(",")
        if len(values) not in (2, 3) or (len(values) == 3 and not values[2].isdecimal()):
            raise BadUsage(f"--hammer {text} is not grams, millimetres and a key", do="Write --hammer 9,130,40.")
        weight, radius = _number(values[0], "--hammer"), _number(values[1], "--hammer")
        hammers.append(Hammer(weight, radius, int(values[2]) if len(values) == 3 else None))
    ratio = _number(args.ratio, "--ratio") if args.ratio else sitting.method.action_ratio
    method = replace(sitting.method, hammers=tuple(hammers) or sitting.method.hammers, action_ratio=ratio)
    return replace(sitting, method=method)


def _thresholds(args: argparse.Namespace) -> TouchSettings:
    """Those of the settings file, and for this once those of --set."""
    from handsfree.measured import touch_of
    from handsfree.settings import read_settings

    usual = touch_of(read_settings(getattr(args, "settings", None)))
    names = [f.name for f in fields(usual) if isinstance(getattr(usual, f.name), Decimal)]
    changed: dict[str, Any] = {}
    for item in args.set:
        name, _, value = item.partition("=")
        if name not in names:
            raise BadUsage(f"no threshold is called {name}", do=f"Use one of {', '.join(names)}.")
        changed[name] = _number(value, name)
    return replace(usual, **changed)


def _number(text: str, what: str) -> Decimal:
    try:
        value = Decimal(text)
    except InvalidOperation:
        value = Decimal("NaN")
    if not value.is_finite():
        raise BadUsage(f"{what}: {text!r} is no number", do="Write it like 0.5.")
    return value
