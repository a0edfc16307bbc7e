"""`handsfree demo`: an invented pass from a recording, without microphone or loudspeaker."""

from __future__ import annotations

import argparse
import sys
import tempfile
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from handsfree.errors import NoSound

DESCRIPTION = """Plays a recording of an invented pass over an invented instrument: on a terminal's screen at its own
speed; else, or with --plain, as lines of text. Needs no microphone and no loudspeaker, and leaves nothing behind
unless a journal or a table is named."""

PACKAGED = Path(__file__).resolve().parent / "demo"
"""Where a wheel puts the demo's files."""
IN_REPOSITORY = Path(__file__).resolve().parent.parent / "demo"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    before = argparse.SUPPRESS  # what stood before the command holds on
    parser.add_argument("--plain", action="store_true", help="lines of text, as fast as it goes, and no screen")
    parser.add_argument("--journal", metavar="J", help="keep the pass in this journal", default=before)
    parser.add_argument("--tidy", metavar="FILE", help="write a CSV with one value a row")
    parser.add_argument("--wide", metavar="FILE", help="write a CSV with one key a row")
    parser.add_argument("--model", metavar="DIR", help="folder of the recogniser's model", default=before)


def run(args: argparse.Namespace) -> int:
    folder = demo_folder()
    script = tomllib.loads((folder / "script.toml").read_text(encoding="utf-8"))
    on_screen = sys.stdin.isatty() and sys.stdout.isatty() and not args.plain
    with _journal(args.journal) as journal:
        asked = argparse.Namespace(
            source=str(folder / "recording.flac"),
            journal=journal,
            instrument=script["instrument"],
            plan=script["plan"],
            started=None if on_screen else script["started"],
            new_sitting=args.journal is not None,
            weights=None,
            device=None,
            model=args.model,
            settings=None,
            follow=None,
        )
        if on_screen:
            from handsfree import screen_command

            code = screen_command.run(asked)
        else:
            code = _in_lines(asked)
        _tables(args, asked, not on_screen)
    return code


def demo_folder() -> Path:
    """Where the recording and its script are. Raises NoSound."""
    for folder in (PACKAGED, IN_REPOSITORY):
        if (folder / "script.toml").is_file():
            return folder
    raise NoSound("handsfree was installed without its demo", do="Install it again from its repository.")


@contextmanager
def _journal(named: str | None) -> Iterator[str]:
    if named is not None:
        yield named
        return
    with tempfile.TemporaryDirectory(prefix="handsfree-demo-") as folder:
        yield str(Path(folder) / "demo.journal")


def _in_lines(asked: argparse.Namespace) -> int:
    """What a bystander would hear, line by line."""
    from handsfree.hearing import RecordingClock, clock_of, hearing, sound
    from handsfree.nouns import Heard
    from handsfree.opening import open_pass
    from handsfree.settings import Settings

    settings = Settings(model=asked.model or "")
    clock = clock_of(asked.started)
    assert isinstance(clock, RecordingClock)
    with (
        sound(asked.source, settings, realtime=False, must=True) as (source, _),
        hearing(settings) as ears,
        open_pass(asked, settings, model=ears.name, now=clock) as opened,
    ):
        listener = opened.listener(ears, source)
        for event in listener.events():
            if isinstance(event, Heard):
                clock.reach(event)
                turn = opened.session.hear(event)
                note = f" ({turn.why})" if turn.why and turn.why not in turn.line else ""
                print(f"  you: {event.text}\n       {turn.outcome.value}{note}")
                if turn.line:
                    print(f"   it: {turn.line}")
    return 0


def _tables(args: argparse.Namespace, asked: argparse.Namespace, in_lines: bool) -> None:
    """The tables that were asked for; without any, the wide one in the lines."""
    from handsfree import export_command

    wide = args.wide or ("-" if in_lines and not args.tidy else None)
    table = argparse.Namespace(
        journal=asked.journal,
        settings=None,
        sitting=None,
        instrument=None,
        tidy=args.tidy,
        wide=wide,
        walkthrough=None,
        lines=None,
        spreadsheet_safe=False,
    )
    if table.tidy or table.wide:
        print(flush=True)
        export_command.run(table)
