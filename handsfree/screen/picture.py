"""A picture of the screen, taken from the running app without a terminal: the one in the README is made here.

The same sheet gives the same bytes: no clock, no blinking, no random class names, and no address of a font server
(the picture uses whatever fixed-width font the reader has).
"""

from __future__ import annotations

import asyncio
import re

from handsfree.screen.app import HandsfreeApp
from handsfree.screen.ports import Look, SessionPort

_FONT_FACE = re.compile(r"@font-face \{.*?\}\s*", re.DOTALL)
_CREDIT = re.compile(r"<!--.*?-->\s*", re.DOTALL)
_UNIQUE = re.compile(r"\bterminal-\d+-")
_FAMILY = re.compile(r"font-family: Fira Code, monospace")


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
        return tidy(app.export_screenshot(title=look.title or "handsfree"))


def picture_now(
    session: SessionPort, look: Look, said: tuple[str, ...] = (), columns: int = 100, rows: int = 30
) -> str:
    """`picture` for callers without an event loop."""
    return asyncio.run(picture(session, look, said, columns, rows))


def tidy(svg: str) -> str:
    """The exporter's SVG without what changes from run to run or points to the network."""
    svg = _CREDIT.sub("", _FONT_FACE.sub("", svg))
    svg = _UNIQUE.sub("handsfree-", svg)
    svg = _FAMILY.sub("font-family: ui-monospace, 'DejaVu Sans Mono', monospace", svg)
    return "\n".join(row.rstrip() for row in svg.splitlines()) + "\n"
