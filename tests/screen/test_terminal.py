"""On a real (pseudo) terminal: the screen is drawn whole while others print to standard error, or turn it off."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

pty = pytest.importorskip("pty", reason="there are no pseudo-terminals on this system")

HERE = Path(__file__).parent

NOISE = """
import os
from handsfree.screen.terminal import own_terminal
with own_terminal() as terminal:
    os.write(2, b"complaint of a library")
    terminal.broke = {broke}
os.write(2, b" the end")
"""

SCREEN = """
import os
from scripted import ScriptedSession
from handsfree.screen.app import run
from handsfree.nouns import Outcome, Speech, Turn

class Noisy(ScriptedSession):
    def greeting(self):
        # as PortAudio's wrapper does while it starts: standard error leads nowhere
        os.write(2, b"complaint of a library")
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
        return Turn(Outcome.IGNORED, line="Here we go.", speech=Speech.REPLY)

raise SystemExit(run(Noisy({})))
"""


@contextmanager
def on_a_terminal(code: str) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    ours, theirs = pty.openpty()
    environ = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24", "PYTHONPATH": str(HERE)}
    process = subprocess.Popen([sys.executable, "-c", code], stdin=theirs, stdout=theirs, stderr=theirs, env=environ)
    os.close(theirs)
    try:
        yield process, ours
    finally:
        process.kill()
        process.wait()
        os.close(ours)


def read_until(fd: int, wanted: bytes, seconds: float = 20.0) -> bytes:
    """What came, up to `wanted` or the end."""
    os.set_blocking(fd, False)
    came = b""
    until = time.monotonic() + seconds
    while wanted not in came and time.monotonic() < until:
        try:
            piece = os.read(fd, 65536)
        except BlockingIOError:
            time.sleep(0.02)
            continue
        except OSError:
            break
        if not piece:
            break
        came += piece
    return came


@pytest.mark.parametrize("broke", [False, True])
def test_complaints_are_set_aside_and_shown_only_after_a_break(broke: bool) -> None:
    with on_a_terminal(NOISE.format(broke=broke)) as (_, terminal):
        came = read_until(terminal, b"the end")
    assert (b"complaint" in came) is broke


def test_the_screen_is_whole_and_quits() -> None:
    with on_a_terminal(SCREEN) as (process, terminal):
        came = read_until(terminal, b"Here we go.")
        os.write(terminal, b"\x11")  # Ctrl+Q
        came += read_until(terminal, b"\x1b[?1049l")  # back from the alternate screen (xterm control sequences)
        assert process.wait(10) == 0
    assert b"Here we go." in came
    assert b"complaint" not in came


def test_without_a_terminal_nothing_is_set_aside() -> None:
    done = subprocess.run(
        [sys.executable, "-c", NOISE.format(broke=False)], stdin=subprocess.DEVNULL, capture_output=True, check=True
    )
    assert b"complaint" in done.stderr
