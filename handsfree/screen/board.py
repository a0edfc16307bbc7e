"""The board: all that is looked at, and how it is brought up to date. Only what changed is drawn again."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import ComposeResult
from textual.containers import Container, Horizontal, Vertical
from textual.widgets import ContentSwitcher

from handsfree.nouns import Context, EarState, Pass, Quantity, Sheet, Walk
from handsfree.screen.curve import curve
from handsfree.screen.figures_page import figures_lines
from handsfree.screen.glance import Glance, alarm, progress_line
from handsfree.screen.help import help_lines
from handsfree.screen.ports import Look
from handsfree.screen.remarks_page import Desk, chosen_line, remarks_lines
from handsfree.screen.rows import progress, rows
from handsfree.screen.said import heard_line, tool_line, trouble_lines
from handsfree.screen.settle import settle_lines
from handsfree.screen.spotlight import NOT_KEPT, Spot, last, now
from handsfree.screen.spotlight import counting as count_spot
from handsfree.screen.state import meter, state_piece, state_word
from handsfree.screen.strip import strip
from handsfree.screen.styled import Line, Piece, Role, fitted, folded, line
from handsfree.screen.table import ReadingsTable
from handsfree.screen.views import Drawn, Grown, Page, SpotView
from handsfree.screen.walk_page import walk_lines, walk_progress, walk_spot

METER = 10
"""Columns of the level bar."""
READINGS = "readings"
"""The pane that is there when no page is open."""
REMARKS = "remarks"
"""The page of remarks."""
WALK = "walk"
"""What stands in its place in a walkthrough."""


class Board(Vertical):
    """Everything but the typed line and the keys."""

    def __init__(self, look: Look) -> None:
        super().__init__(id="board")
        self._look = look
        self._sheet = Sheet()
        self._counting = False

    def compose(self) -> ComposeResult:
        with Horizontal(id="status"):
            yield Drawn(id="state")
            yield Drawn(id="meter")
            yield Drawn(id="title")
            yield Drawn(id="progress")
        with Horizontal(id="spots"):
            yield SpotView(id="now")
            yield SpotView(id="last")
        yield Drawn(id="heard")
        yield Grown(id="tool")
        yield Grown(id="trouble")
        with ContentSwitcher(id="panes", initial=READINGS):
            with Container(id=READINGS):
                yield ReadingsTable(id="table")
                yield Drawn(id="curve")
                yield Drawn(id="strip")
            yield Page(id=WALK)
            yield Page(id=REMARKS)
            yield Page(id="figures")
            yield Page(id="help")
        yield Grown(id="settle")

    def on_mount(self) -> None:
        self._draw("#title", lambda columns, _: [fitted(line(Piece(self._look.title, Role.FAINT)), columns)])
        self._page("#help", help_lines)

    # ------------------------------------------------------------ what is shown

    def show_all(self, sheet: Sheet, context: Context, glance: Glance, latest: int | None) -> None:
        """After each thing said; `latest`: the key that it was about."""
        wanted = frozenset({Quantity.SWINGS}) if sheet.doing is Pass.SWINGS else self._look.wanted
        self._sheet = sheet
        self.query_one("#now", SpotView).spot(now(sheet, wanted))
        self.query_one("#last", SpotView).spot(self._last(glance))
        torques = self._look.torques(sheet) if self._look.torques else {}
        self.query_one(ReadingsTable).show(rows(sheet, torques), latest, counting=sheet.doing is Pass.SWINGS)
        name, count = progress(sheet, wanted)
        self._draw("#progress", lambda columns, _: [progress_line(name, count, sheet, columns)])
        self._draw("#strip", lambda columns, _: list(strip(sheet, wanted, columns).lines))
        self._draw("#curve", lambda columns, high: curve(sheet, columns, high))
        self._draw("#settle", lambda columns, high: settle_lines(sheet, columns, high))
        walk = self._walk
        self.query_one("#spots").set_class(walk is not None, "-walk")
        if walk is not None:
            self._show_walk(walk, glance)
        self._go_home()
        self._show_figures()
        self.show_state(context, glance)
        self.show_lines(context, glance)

    def _show_walk(self, walk: Walk, glance: Glance) -> None:
        """The parts in place of the keys."""
        self.query_one("#now", SpotView).spot(walk_spot(walk, glance.turn, glance.partial))
        self._draw("#progress", lambda columns, _: [fitted(walk_progress(walk), columns)])
        self._draw("#settle", lambda _columns, _high: [])
        self._page(f"#{WALK}", lambda columns: walk_lines(walk, columns))

    def show_remarks(self, desk: Desk, walk: Walk) -> None:
        """The page of remarks, with the chosen one in view."""
        self._page(f"#{REMARKS}", lambda columns: remarks_lines(desk, walk, columns))
        page = self.query_one(f"#{REMARKS}", Page)
        page.keep_in_view(lambda columns: chosen_line(desk, walk, columns))

    def show_state(self, context: Context, glance: Glance) -> None:
        """The word, the level and what is wrong."""
        self._show_word(context, glance)
        self.show_level(glance)
        self._show_trouble(glance)

    def _show_word(self, context: Context, glance: Glance) -> None:
        word = "ended" if glance.ended else state_word(glance.ear.state, context, glance.partial)
        self._draw("#state", lambda columns, _: [fitted((state_piece(word),), columns)])

    def show_level(self, glance: Glance) -> None:
        open_ears = glance.ear.state in (EarState.LISTENING, EarState.HEARING)
        level = glance.level if open_ears else None
        self._draw("#meter", lambda _columns, _high: [meter(level, METER)])

    def show_lines(self, context: Context, glance: Glance) -> None:
        """What was heard and what the tool says."""
        planned = self._sheet.place is not None
        heard = heard_line(glance.last, glance.partial, context, glance.turn, self._look.opened, planned)
        self._draw("#heard", lambda columns, _: [fitted(heard, columns)])
        self._draw("#tool", lambda columns, high: folded(tool_line(glance.turn, glance.opening), columns, high))
        self._show_trouble(glance)
        self._show_count(context, glance)

    def _show_count(self, context: Context, glance: Glance) -> None:
        """Each number as it is counted, where the last reading stood; that comes back when the count is over. In the
        walkthrough, that a remark is being recorded."""
        if (walk := self._walk) is not None:
            self.query_one("#now", SpotView).spot(walk_spot(walk, glance.turn, glance.partial))
            self._show_word(context, glance)
            return
        spot = count_spot(context, glance.partial)
        if spot is not None or self._counting:
            self.query_one("#last", SpotView).spot(spot or self._last(glance))
        self._counting = spot is not None

    def _last(self, glance: Glance) -> Spot:
        return NOT_KEPT if glance.lost else last(self._sheet, glance.turn)

    def _show_trouble(self, glance: Glance) -> None:
        self._draw("#trouble", lambda columns, high: trouble_lines(alarm(glance), columns, high))

    def _show_figures(self) -> None:
        """Only while they are looked at."""
        if self.pane != "figures":
            return
        if self._look.figures is None:
            self._page("#figures", lambda _columns: [line("No figures here.")])
            return
        figures = self._look.figures(self._sheet)
        newest = max(self._sheet.standing.values(), key=lambda entry: entry.n, default=None)
        latest = newest.key if newest else None
        self._page("#figures", lambda columns: figures_lines(figures, columns, latest))

    def _draw(self, where: str, lines: Callable[[int, int], list[Line]]) -> None:
        self.query_one(where, Drawn).show(lines)

    def _page(self, where: str, lines: Callable[[int], list[Line]]) -> None:
        self.query_one(where, Page).show(lines)

    # ------------------------------------------------------------ panes

    @property
    def _walk(self) -> Walk | None:
        """The walkthrough, while it is the pass under way."""
        walking = self._sheet.doing is Pass.WALKTHROUGH and self._look.walk is not None
        return self._look.walk() if walking and self._look.walk else None

    @property
    def pane(self) -> str:
        """ "readings" (the parts, in a walkthrough), "remarks", "figures" or "help"."""
        current = self.query_one("#panes", ContentSwitcher).current
        return READINGS if current in (None, WALK) else current

    def turn_to(self, pane: str) -> None:
        self.query_one("#panes", ContentSwitcher).current = pane
        self._go_home()
        self._show_figures()

    def _go_home(self) -> None:
        """Where no page is open, the pane is that of the pass."""
        if self.pane == READINGS:
            self.query_one("#panes", ContentSwitcher).current = READINGS if self._walk is None else WALK

    def page(self, way: int) -> None:
        """A screenful on (1) or back (-1)."""
        current = self.query_one("#panes", ContentSwitcher).current or READINGS
        where = self.query_one(ReadingsTable) if current == READINGS else self.query_one(f"#{current}", Page)
        where.scroll_relative(y=way * max(where.size.height - 2, 1), animate=False)
