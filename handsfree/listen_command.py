"""`handsfree listen`: the pass by ear, from a microphone, a recording or typed lines."""

from __future__ import annotations

import argparse
import sys
import threading
from typing import TYPE_CHECKING

from handsfree import sitting_options
from handsfree.errors import BadUsage

if TYPE_CHECKING:
    from handsfree.ears.listening import Listener
    from handsfree.plain import Plain
    from handsfree.settings import Settings
    from handsfree.voice.speaker import Speaker

LAST_WORDS = 10.0
"""Seconds that the end waits for a sound under way: PortAudio crashes when it is taken down while one plays."""
DESCRIPTION = """Listen to a pass. With --plain there is no screen: each thing said becomes one line of JSON, printed
when it is kept; "ms" in it is the time from the end of speech until then (of a recording that is not played in real
time, the time that processing took)."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    sitting_options.add_arguments(parser, again=True)
    parser.add_argument("--from", dest="source", metavar="FILE", help="a recording: WAV, FLAC ... (else: microphone)")
    parser.add_argument("--typed", action="store_true", help="sentences from standard input, one a line")
    parser.add_argument("--plain", action="store_true", help="no screen: one line of JSON a turn")
    parser.add_argument("--realtime", action="store_true", help="play the recording at its own speed")
    parser.add_argument("--started", metavar="TIME", help="when the recording began, RFC 3339")


def run(args: argparse.Namespace) -> int:
    if args.typed and args.source:
        raise BadUsage("--typed and --from exclude each other", do="Leave one of them out.")
    if not args.source and (args.started or args.realtime):
        raise BadUsage("--started and --realtime are of a recording", do="Name it with --from, or leave them out.")
    if args.typed:
        return _typed(args)
    if args.plain:
        return _by_ear(args)
    return on_the_screen(args)


def on_the_screen(args: argparse.Namespace) -> int:
    """The command without a name, too."""
    from handsfree import screen_command

    return screen_command.run(args)


def _typed(args: argparse.Namespace) -> int:
    from handsfree.opening import open_pass, settings_of
    from handsfree.plain import Plain

    with open_pass(args, settings_of(args)) as opened:
        plain = Plain(opened)
        for line in sys.stdin:
            if text := line.strip():
                plain.type(text)
    return plain.exit_code


def _by_ear(args: argparse.Namespace) -> int:
    from handsfree.hearing import clock_of, hearing, sound
    from handsfree.opening import open_pass, settings_of
    from handsfree.plain import Plain

    settings = settings_of(args)
    clock = clock_of(args.started)
    with (
        sound(args.source, settings, realtime=args.realtime, must=True) as (source, speaker),
        hearing(settings) as ears,
        open_pass(args, settings, model=ears.name, now=clock) as opened,
    ):
        plain = Plain(opened, clock)
        listener = opened.listener(ears, source)
        _listen(listener, plain, speaker, settings)
    return plain.exit_code


def _listen(listener: Listener, plain: Plain, speaker: Speaker | None, settings: Settings) -> None:
    """Until the sound ends; what there is to say is said by a thread of its own."""
    from handsfree.hearing import VOICED
    from handsfree.nouns import EarChanged, EarState, Heard
    from handsfree.screen.mouth import NOT_KEPT, Mouth, Sound, audible, sound_of, sound_of_ears

    mouth = Mouth(speaker, listener) if speaker else None
    talking = threading.Thread(target=mouth.run, daemon=True) if mouth else None
    if talking:
        talking.start()

    voiced = VOICED[settings.read_back]

    def voice(sound: Sound | None) -> None:
        if mouth and sound:
            mouth.put(sound)

    told = ""
    ear: EarState | None = None
    try:
        voice(sound_of(plain.greeting, voiced))
        for event in listener.events():
            if isinstance(event, EarChanged):
                if event.message not in ("", told):
                    plain.tell(event.message)
                voice(sound_of_ears(ear, event.state, voiced))
                told, ear = event.message, event.state
            if isinstance(event, Heard):
                turn = plain.hear(event, listener.ms_since_speech_end)
                voice(sound_of(turn, voiced) if turn else audible(NOT_KEPT, voiced))
    finally:
        if mouth and talking:
            mouth.stop()
            talking.join(LAST_WORDS)
