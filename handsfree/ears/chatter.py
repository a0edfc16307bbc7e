"""Keeps the chatter of C libraries away from the screen.

PortAudio and ALSA write straight to file descriptor 2 ("Expression ... failed"), and the screen is drawn through it
too: a microphone that is pulled out would spoil the picture. Python's own standard error goes on as before.
"""

from __future__ import annotations

import os
import sys


def hush_native_chatter() -> None:
    """From now on what C libraries write to descriptor 2 goes nowhere; `sys.stderr` and `sys.__stderr__` stay.

    To be called once, before the screen opens. Does nothing where there is no descriptor 2.
    """
    try:
        kept = os.dup(2)
    except OSError:
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 2)
    os.close(nowhere)
    stream = os.fdopen(kept, "w", buffering=1, encoding="utf-8", errors="backslashreplace")
    if sys.stderr is sys.__stderr__:
        sys.stderr = stream
    sys.__stderr__ = stream  # type: ignore[misc]  # where the screen draws
