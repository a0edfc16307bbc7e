"""A picture of the screen, taken from the running app without a terminal: the one in the README is made here.

The same sheet gives the same bytes: no clock, nothing that blinks; see svg.py for the rest.
"""

from __future__ import annotations

import asyncio

from handsfree.screen.app import HandsfreeApp
from handsfree.screen.ports import Look, SessionPort


async def picture(
    session: SessionPort, look: Look, said: tuple[str, ...] = (), columns: int = 100, rows: int = 30
) -> str:
    """SVG of the screen after typing `said`, one sentence each."""
    app = HandsfreeApp(session, look=look)
    async with app.run_test(size=(columns, rows)) as pilot:
        await pilot.pause()
        for text in said:
            app.take_typed(text)
            await pilot.pause()
        # the row taken last is brought into view after the frame that showed it
        await pilot.pause()
        return app.export_screenshot(title=look.title or app.title)


def picture_now(
    session: SessionPort, look: Look, said: tuple[str, ...] = (), columns: int = 100, rows: int = 30
) -> str:
    """`picture` for callers without an event loop."""
    return asyncio.run(picture(session, look, said, columns, rows))
