"""The command line: which command, with what; the work is done elsewhere and loaded only when asked for."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from handsfree import (
    __version__,
    demo_command,
    export_command,
    figures_command,
    import_command,
    listen_command,
    play_command,
    remarks_command,
    report_command,
    rescue_command,
    settings_command,
    sitting_options,
)
from handsfree.errors import DiskTrouble, HandsfreeError

DESCRIPTION = """Hears a piano technician's readings, offline; keeps each one before it says so; asks aloud when a
value cannot be right. Without a command it opens the screen."""

COMMANDS = (
    ("listen", "listen, on the screen or with --plain one line of JSON a turn", listen_command),
    ("figures", "what the readings mean and what to treat first", figures_command),
    ("report", "a page to hand over", report_command),
    ("play", "hear a reading again, as it was said", play_command),
    ("remarks", "spoken remarks of a walkthrough: listen to them, write them down", remarks_command),
    ("export", "tables (CSV) from a journal", export_command),
    ("import", "a table from export back into a journal", import_command),
    ("settings", "all settings: what they mean, what is in force", settings_command),
    ("rescue", "what is whole of a damaged journal, in a new one", rescue_command),
    ("demo", "an invented pass, played from a recording", demo_command),
)


def build_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="handsfree", description=DESCRIPTION, allow_abbrev=False)
    parser.add_argument("--version", action="version", version=f"handsfree {__version__}")
    sitting_options.add_arguments(parser)
    parser.set_defaults(run=listen_command.on_the_screen)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    for name, what, module in COMMANDS:
        command = commands.add_parser(name, help=what, description=module.DESCRIPTION, allow_abbrev=False)
        module.add_arguments(command)
        command.set_defaults(run=module.run)
    verify = commands.add_parser(
        "verify", help="whether a report still agrees with its journal", description=report_command.VERIFY_DESCRIPTION
    )
    report_command.add_verify_arguments(verify)
    verify.set_defaults(run=report_command.run_verify)
    return parser


def _joined(argv: Sequence[str]) -> list[str]:
    """A camera's clock may be behind: "-20s" after its option is no option itself, whatever argparse thinks."""
    words: list[str] = []
    for word in argv:
        if words and words[-1] == "--clock-offset":
            words[-1] += f"={word}"
        else:
            words.append(word)
    return words


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; the exit code is that of the error, if any (see errors.py)."""
    args = build_parser().parse_args(_joined(sys.argv[1:] if argv is None else argv))
    try:
        return int(args.run(args))
    except HandsfreeError as error:
        print(f"handsfree: {error}", file=sys.stderr)
        return error.exit_code
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:  # an OSError of its own
        # whoever read our lines has gone; what was heard is kept, and there is nobody to tell
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:
        # the machine's own trouble that nobody further in could say more of
        what = f"{error.filename}: " if error.filename else ""
        print(f"handsfree: {what}{error.strerror or error}. Check the name and the disk.", file=sys.stderr)
        return DiskTrouble.exit_code
