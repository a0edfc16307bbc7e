"""The widgets that draw what the pure files made, and draw it again when their size changes."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual import events
from textual.containers import VerticalScroll
from textual.widgets import Static

from handsfree.screen.spotlight import Spot, spot_lines
from handsfree.screen.styled import Line, plain
from handsfree.screen.themes import content

Draw = Callable[[int, int], Sequence[Line]]
"""(columns, rows) -> lines."""


class Drawn(Static):
    """Lines that depend on the room there is."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__("", id=id, markup=False)
        self._draw: Draw = lambda _columns, _rows: ()
        self._shown: tuple[Line, ...] = ()

    def show(self, draw: Draw) -> None:
        self._draw = draw
        self.draw_again()

    def on_resize(self, _event: events.Resize) -> None:
        self.draw_again()

    def draw_again(self) -> None:
        columns, rows = self.room()
        if columns < 1:
            return
        lines, before = tuple(self._draw(columns, rows)), self._shown
        if lines != before:
            self._shown = lines
            self.update(content(*lines))
        if len(lines) != len(before):
            # drawn while it is being laid out, its height would stay as it was
            self.call_after_refresh(self.refresh, layout=True)

    def room(self) -> tuple[int, int]:
        """(columns, rows) to draw in."""
        return self.content_size.width, self.content_size.height

    @property
    def text(self) -> str:
        """What it shows, letters only."""
        return "\n".join(plain(self._shown))


class Grown(Drawn):
    """As high as its lines, up to what the style sheet allows; gone while there is nothing to say."""

    def draw_again(self) -> None:
        super().draw_again()
        self.display = bool(self._shown)

    def room(self) -> tuple[int, int]:
        most = self.styles.max_height
        return self.app.size.width - 2, int(most.value) if most is not None else 1


class SpotView(Drawn):
    """A word, and under it note and values as big as they fit."""

    def spot(self, spot: Spot) -> None:
        self.show(lambda columns, rows: spot_lines(spot, columns, rows))


class Page(VerticalScroll, can_focus=False):
    """A page of lines, longer than the screen if need be."""

    def __init__(self, *, id: str) -> None:
        self._body = _PageBody()
        super().__init__(self._body, id=id)

    def show(self, draw: Callable[[int], Sequence[Line]]) -> None:
        self._body.show(lambda columns, _rows: draw(columns))

    def keep_in_view(self, line_of: Callable[[int], int]) -> None:
        """Scrolls, when it is drawn, to where this line (of the page at its width) is seen."""

        def scroll() -> None:
            line, top, high = line_of(max(self._body.room()[0], 1)), round(self.scroll_y), max(self.size.height, 1)
            if not top <= line < top + high - 1:
                self.scroll_to(y=max(line - high // 2, 0), animate=False)

        self.call_after_refresh(scroll)

    @property
    def text(self) -> str:
        return self._body.text


class _PageBody(Drawn):
    """Its height follows its lines, so only the width counts as room."""

