"""Options that commands share: the screen and `listen` (opening.py does what they say), and readers of a journal."""

from __future__ import annotations

import argparse
from typing import Any


def add_arguments(parser: argparse.ArgumentParser, *, again: bool = False) -> None:
    """`again`: for a command that repeats options of the program; what stood before the command then holds on."""
    no: dict[str, Any] = {"default": argparse.SUPPRESS} if again else {}
    parser.add_argument("--journal", metavar="J", help="the journal to go on with (made if there is none)", **no)
    parser.add_argument("--instrument", metavar="NAME", help="go on with the last sitting at this instrument", **no)
    parser.add_argument(
        "--new-sitting", action="store_true", help="open a new sitting, such as after a treatment", **no
    )
    parser.add_argument(
        "--plan", metavar="PLAN", help='keys to go through: every, naturals, "octave four", none ...', **no
    )
    parser.add_argument(
        "--pass", dest="doing", choices=("touch", "swings", "walkthrough"), help="what is taken", **no
    )
    parser.add_argument("--weights", choices=("down", "both"), help="what a pass takes at each key", **no)
    parser.add_argument("--model", metavar="DIR", help="folder of the recogniser's model", **no)
    parser.add_argument("--device", metavar="NAME", help="microphone, by name or part of it", **no)
    parser.add_argument("--follow", metavar="FILE", help="a tidy CSV that grows while the pass runs", **no)
    parser.add_argument("--settings", metavar="FILE", help="settings file", **no)


def add_journal(parser: argparse.ArgumentParser, what: str) -> None:
    """Which journal; what stood before the command holds on. `what`: the journal's part in this command."""
    parser.add_argument("--journal", metavar="J", help=what, default=argparse.SUPPRESS)
    add_settings(parser)


def add_settings(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--settings", metavar="FILE", help="settings file", default=argparse.SUPPRESS)


def add_choice(parser: argparse.ArgumentParser) -> None:
    """Which sitting of the journal is meant (export_command.chosen finds it)."""
    parser.add_argument(
        "--instrument", metavar="NAME", help="the last sitting at this instrument", default=argparse.SUPPRESS
    )
    parser.add_argument("--sitting", metavar="N", type=int, help="number of the sitting (default: the last one)")
