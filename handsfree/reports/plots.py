"""Curves along the compass as inline SVG, readable without colour and without eyes.

Each series has its own marker shape and dash as well as its colour; each plot carries a title and a description
that says in words what the picture shows (`aria-labelledby`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from handsfree.reports.markup import Markup, join, tag

WIDTH, HEIGHT = 880, 262
LEFT, RIGHT, TOP, BOTTOM = 46, 14, 14, 34
FIRST_KEY, LAST_KEY = 1, 88
TICK_KEYS = {1: "A0", 4: "C1", 16: "C2", 28: "C3", 40: "C4", 52: "C5", 64: "C6", 76: "C7", 88: "C8"}

Marker = Literal["dot", "square", "triangle", "diamond"]


@dataclass(frozen=True, slots=True)
class Series:
    """Values by key number; keys without one leave a gap."""

    name: str
    values: dict[int, Decimal]
    marker: Marker
    style: str
    """Class of the stylesheet: s1, s2, s3."""


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch of values that is wanted; its upper edge may run straight to another value at the top key."""

    low: float
    high: float
    name: str
    high_at_last: float | None = None

    @property
    def last(self) -> float:
        return self.high if self.high_at_last is None else self.high_at_last


def step_for(span: float) -> int:
    """Units between grid lines: at most six of them, so that numbers do not touch on a phone."""
    return next((step for step in (1, 2, 5, 10, 20, 50) if span / step <= 5), 100)


def key_x(key: int) -> float:
    return LEFT + (key - FIRST_KEY) / (LAST_KEY - FIRST_KEY) * (WIDTH - LEFT - RIGHT)


@dataclass(frozen=True, slots=True)
class _Axes:
    low: float
    high: float

    def y(self, value: float) -> float:
        return TOP + (self.high - value) / (self.high - self.low) * (HEIGHT - TOP - BOTTOM)


def _axes_for(series: Sequence[Series], band: Band | None) -> tuple[_Axes, int]:
    values = [float(v) for s in series for v in s.values.values()]
    values += [band.low, band.high, band.last] if band else []
    low, high = min(values), max(values)
    step = step_for(max(high - low, 2.0))
    edge = max(1, step // 4)  # the frame is closer than the next grid line would be
    return _Axes(max(0.0, (low - edge / 2) // edge * edge), (high // edge + 1) * edge), step


def marker(shape: Marker, x: float, y: float, style: str) -> Markup:
    r = 3.2
    if shape == "dot":
        return tag("circle", cx=f"{x:.1f}", cy=f"{y:.1f}", r=r, class_=f"m {style}")
    if shape == "square":
        return tag("rect", x=f"{x - r:.1f}", y=f"{y - r:.1f}", width=2 * r, height=2 * r, class_=f"m {style}")
    corners = {
        "triangle": ((0, -1.3), (1.2, 1), (-1.2, 1)),
        "diamond": ((0, -1.4), (1.4, 0), (0, 1.4), (-1.4, 0)),
    }[shape]
    points = " ".join(f"{x + a * r:.1f},{y + b * r:.1f}" for a, b in corners)
    return tag("polygon", points=points, class_=f"m {style}")


def _line(series: Series, axes: _Axes) -> Markup:
    """The line breaks where more than an octave was not measured: a long straight line would be an invention."""
    keys = sorted(series.values)
    pieces: list[list[int]] = [[keys[0]]]
    for before, key in pairwise(keys):
        if key - before > 12:
            pieces.append([])
        pieces[-1].append(key)
    lines = [
        tag(
            "polyline",
            points=" ".join(f"{key_x(k):.1f},{axes.y(float(series.values[k])):.1f}" for k in piece),
            class_=f"l {series.style}",
        )
        for piece in pieces
        if len(piece) > 1
    ]
    marks = [marker(series.marker, key_x(k), axes.y(float(series.values[k])), series.style) for k in keys]
    return join(*lines, *marks)


def octave_ticks(top: float, bottom: float) -> Markup:
    """A line at each C, with its name below."""
    parts = []
    for key, name in TICK_KEYS.items():
        x = f"{key_x(key):.1f}"
        parts.append(tag("line", x1=x, x2=x, y1=top, y2=bottom, class_="grid"))
        if key != FIRST_KEY:  # A0 and C1 would overlap
            anchor = "end" if key == LAST_KEY else "middle"
            at = f"{key_x(key) + (8 if key == LAST_KEY else 0):.1f}"
            parts.append(tag("text", name, x=at, y=bottom + 25, text_anchor=anchor))
    return join(*parts)


def _frame(axes: _Axes, step: int) -> Markup:
    parts = []
    value = int(-(-axes.low // step) * step)
    while value <= axes.high:
        y = axes.y(value)
        parts.append(tag("line", x1=LEFT, x2=WIDTH - RIGHT, y1=f"{y:.1f}", y2=f"{y:.1f}", class_="grid"))
        parts.append(tag("text", str(value), x=LEFT - 6, y=f"{y + 4:.1f}", text_anchor="end"))
        value += step
    return join(*parts, octave_ticks(TOP, HEIGHT - BOTTOM))


def legend_key(shape: Marker, style: str, name: str) -> Markup:
    sign = tag("svg", marker(shape, 8, 7, style), width=16, height=14, aria_hidden="true")
    return tag("span", sign, name, class_="key")


def _legend(series: Sequence[Series], band: Band | None) -> Markup:
    items = [legend_key(s.marker, s.style, s.name) for s in series]
    if band:
        swatch = tag(
            "svg", tag("rect", x=0, y=2, width=16, height=10, class_="band"), width=16, height=14, aria_hidden="true"
        )
        items.append(tag("span", swatch, band.name, class_="key"))
    return tag("figcaption", *items)


def describe(series: Sequence[Series], unit: str, band: Band | None = None) -> str:
    """What the plot shows, in words."""
    sentences = []
    for s in series:
        low, high = min(s.values.values()), max(s.values.values())
        sentences.append(f"{s.name}: {len(s.values)} keys, from {low} to {high} {unit}.")
    if band:
        top = f"{band.high:g}"
        if band.last != band.high:
            top += f" at the lowest key, {band.last:g} at the highest"
        sentences.append(f"{band.name}: {band.low:g} to {top} {unit}.")
    return " ".join(sentences)


def _band(band: Band, axes: _Axes) -> Markup:
    corners = ((FIRST_KEY, band.low), (FIRST_KEY, band.high), (LAST_KEY, band.last), (LAST_KEY, band.low))
    points = " ".join(f"{key_x(key):.1f},{axes.y(value):.1f}" for key, value in corners)
    return tag("polygon", points=points, class_="band")


def compass_plot(identity: str, title: str, series: Sequence[Series], unit: str, band: Band | None = None) -> Markup:
    """A figure with one or more series along the keys; series without values are left out.

    Returns an empty Markup when nothing was measured. `identity` must be unique on the page and a valid id.
    """
    shown = [s for s in series if s.values]
    if not shown:
        return Markup("")
    axes, step = _axes_for(shown, band)
    svg = tag(
        "svg",
        tag("title", title, id=f"{identity}-t"),
        tag("desc", describe(shown, unit, band), id=f"{identity}-d"),
        _band(band, axes) if band else None,
        _frame(axes, step),
        *(_line(s, axes) for s in shown),
        viewBox=f"0 0 {WIDTH} {HEIGHT}",
        role="img",
        aria_labelledby=f"{identity}-t {identity}-d",
    )
    return tag("figure", tag("h3", title), svg, _legend(shown, band), class_="plot")
