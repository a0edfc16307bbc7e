"""A line to the terminal that is ours alone.

Textual draws on standard error, and so do the sound libraries: they print their complaints there, and one of them
turns standard error off for a moment while it starts, in which whole frames would vanish. So the screen draws through
a copy of the terminal, and what others print meanwhile is kept aside, to be shown afterwards if something broke.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import TextIOWrapper
from typing import Any

from textual.driver import Driver


@dataclass(slots=True)
class Terminal:
    """What the app is run with."""

    driver: type[Driver] | None
    """None: the usual one."""
    broke: bool = False
    """Set it when the app ended badly: what was printed meanwhile is then shown."""


@contextmanager
def own_terminal() -> Iterator[Terminal]:
    """Standard error is set aside until the end; without a terminal, or on Windows, all stays as it is."""
    where = next((fd for fd in (2, 1) if os.isatty(fd)), None)
    if where is None or sys.platform == "win32":
        yield Terminal(None)
        return
    sys.stderr.flush()
    before = os.dup(2)
    with os.fdopen(os.dup(where), "w", encoding="utf-8", errors="replace") as ours, tempfile.TemporaryFile() as aside:
        os.dup2(aside.fileno(), 2)
        terminal = Terminal(_driver_on(ours))
        try:
            yield terminal
        except BaseException:
            terminal.broke = True
            raise
        finally:
            sys.stderr.flush()
            os.dup2(before, 2)
            os.close(before)
            if terminal.broke:
                aside.seek(0)
                with os.fdopen(os.dup(2), "wb") as out:
                    shutil.copyfileobj(aside, out)


def _driver_on(file: TextIOWrapper[Any]) -> type[Driver]:
    from textual.drivers.linux_driver import LinuxDriver

    class OwnTerminal(LinuxDriver):
        def __init__(self, app: Any, **options: Any) -> None:
            super().__init__(app, **options)
            self._file = file

    return OwnTerminal
