"""`handsfree listen`: the pass by ear, from a microphone, a recording or typed lines."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from handsfree import sitting_options
from handsfree.errors import BadUsage, DiskTrouble

if TYPE_CHECKING:
    from handsfree.nouns import Heard, Turn
    from handsfree.opening import OpenPass

DESCRIPTION = """Listen to a pass. With --plain there is no screen: each thing said becomes one line of JSON, printed
when it is kept; "ms" in it is the time from the end of speech until then."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    sitting_options.add_arguments(parser, again=True)
    parser.add_argument(
        "--from", dest="source", metavar="FILE", help="a recording (WAV, FLAC ...) instead of the microphone"
    )
    parser.add_argument("--typed", action="store_true", help="sentences from standard input, one a line")
    parser.add_argument("--plain", action="store_true", help="no screen: one line of JSON a turn")
    parser.add_argument("--realtime", action="store_true", help="play the recording at its own speed")
    parser.add_argument(
        "--started", metavar="TIME", help="when the recording began (RFC 3339), for its readings' times"
    )


def run(args: argparse.Namespace) -> int:
    if args.typed and args.source:
        raise BadUsage("--typed and --from exclude each other", do="Leave one of them out.")
    if args.typed:
        return _typed(args)
    raise NotImplementedError


def on_the_screen(args: argparse.Namespace) -> int:
    raise NotImplementedError


def _typed(args: argparse.Namespace) -> int:
    from handsfree.opening import open_pass, settings_of

    with open_pass(args, settings_of(args)) as opened:
        plain = Plain(opened)
        for line in sys.stdin:
            if text := line.strip():
                plain.type(text)
    return plain.exit_code


class Plain:
    """One line of JSON a turn on standard output, troubles on standard error; it goes on after a full disk."""

    def __init__(self, opened: OpenPass) -> None:
        self._journal = opened.journal
        self._session = opened.session
        self._trouble = ""
        self.exit_code = 0
        """Of the worst that happened: 0, or that of the trouble with the disk."""

    def type(self, text: str) -> Turn | None:
        """A sentence from the keyboard."""
        from handsfree.nouns import Alternative, Heard

        began = time.monotonic()
        heard = Heard((Alternative(text, 1.0),), self._session.context, via="keyboard")
        return self._turn(heard, lambda: self._session.typed(text), lambda: time.monotonic() - began)

    def hear(self, heard: Heard, waited: Callable[[], float]) -> Turn | None:
        """`waited`: seconds since the end of speech, asked when it is kept. None: it could not be kept."""
        return self._turn(heard, lambda: self._session.hear(heard), waited)

    def _turn(self, heard: Heard, hear: Callable[[], Turn], waited: Callable[[], float]) -> Turn | None:
        from handsfree.turn_json import turn_line

        try:
            turn = hear()
        except DiskTrouble as trouble:
            self._tell(f"not kept: {heard.text!r}: {trouble}")
            self.exit_code = trouble.exit_code
            return None
        ms = waited() * 1000
        print(turn_line(heard, turn, at=self._journal.last_at, ms=ms, last_n=self._session.sheet.last_n), flush=True)
        if self._journal.trouble != self._trouble:
            self._trouble = self._journal.trouble
            self._tell(self._trouble or "sound is kept again.")
        return turn

    def _tell(self, message: str) -> None:
        print(f"handsfree: {message}", file=sys.stderr, flush=True)
