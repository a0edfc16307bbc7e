"""`handsfree settings`: every setting with its meaning, as a file to begin one's own with."""

from __future__ import annotations

import argparse
import os
import sys

from handsfree import sitting_options

DESCRIPTION = """Writes every setting, what it means and what is in force, as a settings file, and to the screen where
that file belongs: begin one of your own with it."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    sitting_options.add_settings(parser)


def run(args: argparse.Namespace) -> int:
    from handsfree.settings import read_settings, settings_file
    from handsfree.settings_page import page

    text = page(read_settings(args.settings))
    file, _ = settings_file(args.settings, os.environ)
    print(f"handsfree: settings belong into {file}", file=sys.stderr, flush=True)
    print(text, end="")
    return 0
