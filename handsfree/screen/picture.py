"""A picture of the screen, taken from the running app without a terminal: the one in the README is made here.

The same sheet gives the same bytes: no clock, nothing that blinks; see svg.py for the rest.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterator, Sequence

from handsfree.nouns import EarChanged, EarEvent, EarState, Heard, Level
from handsfree.screen.app import HandsfreeApp
from handsfree.screen.messages import EarSaid
from handsfree.screen.ports import Look, SessionPort

QUIET = Level(-42.0)
"""What the meter stands at in a picture with ears: a quiet room."""


class StillEars:
    """Open ears to which nothing comes by itself."""

    hearing = False

    def __init__(self) -> None:
        self._closed = threading.Event()

    def events(self) -> Iterator[EarEvent]:
        yield EarChanged(EarState.LISTENING)
        yield QUIET
        self._closed.wait()

    def close_ears(self) -> None: ...

    def open_ears(self) -> None: ...

    def mute(self, on: bool) -> None: ...

    def close(self) -> None:
        self._closed.set()


async def picture(
    session: SessionPort,
    look: Look,
    said: Sequence[str | Heard] = (),
    columns: int = 120,
    rows: int = 36,
) -> str:
    """SVG of the screen after all of `said`: a text is typed, a `Heard` comes by ear (the ears are then open)."""
    ears = StillEars() if any(isinstance(one, Heard) for one in said) else None
    app = HandsfreeApp(session, ears, look=look)
    async with app.run_test(size=(columns, rows)) as pilot:
        # a thread's first messages take a moment
        while ears is not None and app.level is not QUIET:
            await pilot.pause(0.01)
        for one in said:
            if isinstance(one, Heard):
                app.post_message(EarSaid(one))
            else:
                app.take_typed(one)
            await pilot.pause()
        # the row taken last is brought into view after the frame that showed it
        await pilot.pause()
        return app.export_screenshot(title=look.title or app.title)


def picture_now(
    session: SessionPort,
    look: Look,
    said: Sequence[str | Heard] = (),
    columns: int = 120,
    rows: int = 36,
) -> str:
    """`picture` for callers without an event loop."""
    return asyncio.run(picture(session, look, said, columns, rows))
