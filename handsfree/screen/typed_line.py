"""The line to type in: what is typed while the sentence before is still being kept must not be lost."""

from __future__ import annotations

from textual import events
from textual.widgets import Input


class TypedLine(Input):
    """Empties itself at Enter, not when its text has been dealt with: by then the next words may stand in it."""

    async def action_submit(self) -> None:
        text = self.value
        self.clear()
        self.post_message(self.Submitted(self, text))

    def give_back(self, text: str) -> None:
        """Text that could not be kept, unless something else is being typed by now."""
        if not self.value:
            self.value = text
            self.cursor_position = len(text)

    def _on_paste(self, event: events.Paste) -> None:
        """All of it, as one line."""
        event.prevent_default()
        event.stop()
        self.replace(" ".join(event.text.split()), *self.selection)
