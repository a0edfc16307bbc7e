"""The command line: which command, with what; the work is done elsewhere and loaded only when asked for."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence

from handsfree import __version__, export_command, listen_command, sitting_options
from handsfree.errors import HandsfreeError

DESCRIPTION = """Hears a piano technician's readings, offline; keeps each one before it says so; asks aloud when a
value cannot be right. Without a command it opens the screen."""


def build_parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="handsfree", description=DESCRIPTION, allow_abbrev=False)
    parser.add_argument("--version", action="version", version=f"handsfree {__version__}")
    sitting_options.add_arguments(parser)
    parser.set_defaults(run=listen_command.on_the_screen)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    for name, module, what in (
        ("listen", listen_command, "listen without a screen, one line of JSON a turn"),
        ("export", export_command, "write tables from a journal"),
    ):
        command = commands.add_parser(name, help=what, description=module.DESCRIPTION, allow_abbrev=False)
        module.add_arguments(command)
        command.set_defaults(run=module.run)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; the exit code is that of the error, if any (see errors.py)."""
    args = build_parser().parse_args(argv)
    try:
        return int(args.run(args))
    except HandsfreeError as error:
        print(f"handsfree: {error}", file=sys.stderr)
        return error.exit_code
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        # whoever read our lines has gone; what was heard is kept, and there is nobody to tell
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
