"""Evenness along the compass: how far each key lies from the smooth curve through its neighbours of the same colour.

Three panels over one another, down weight, balance, friction; each key is a stem from the line of no deviation, and
what stands out is ringed and named.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from handsfree.reckoning.compass import counted, listed, note_name
from handsfree.reckoning.results import Curve, CurvePoint, Evenness
from handsfree.reports.markup import Markup, join, tag
from handsfree.reports.plots import (
    BOTTOM,
    LEFT,
    RIGHT,
    WIDTH,
    Marker,
    key_x,
    legend_key,
    marker,
    octave_ticks,
    step_for,
)

PANELS: tuple[tuple[str, Marker, str], ...] = (
    ("down", "dot", "s1"), ("balance", "diamond", "s3"), ("friction", "square", "s2"),
)  # fmt: skip
PANEL, GAP, TOP = 150, 36, 40
NAME_WIDE, NAME_HIGH = 70, 34
"""Room that a name takes at the size that it has on a phone."""


def evenness_plot(identity: str, evenness: Evenness) -> Markup:
    """Empty where there is no curve at all. `identity` must be unique on the page and a valid id."""
    shown = [(name, shape, style, p) for name, shape, style in PANELS if (p := _points(evenness.curves, name))]
    if not shown:
        return Markup("")
    high = TOP + len(shown) * (PANEL + GAP) - GAP + BOTTOM
    reach = max(2.0, max(abs(p.residual) for _, _, _, points in shown for p in points))
    panels = [_panel(TOP + n * (PANEL + GAP), reach, *one) for n, one in enumerate(shown)]
    title = "Evenness: grams above or below the neighbours\u2019 curve"
    svg = tag(
        "svg",
        tag("title", title, id=f"{identity}-t"),
        tag("desc", describe(evenness), id=f"{identity}-d"),
        *panels,
        octave_ticks(TOP, high - BOTTOM),
        viewBox=f"0 0 {WIDTH} {high}",
        role="img",
        aria_labelledby=f"{identity}-t {identity}-d",
    )
    keys = [legend_key(shape, style, f"{name} weight" if name == "down" else name) for name, shape, style, _ in shown]
    ring = tag("svg", tag("circle", cx=8, cy=7, r=6, class_="ring"), width=16, height=14, aria_hidden="true")
    caption = tag("figcaption", *keys, tag("span", ring, "stands out", class_="key"))
    words = tag("p", "A key on the middle line is as heavy as its neighbours lead one to expect.", class_="meta")
    return tag("figure", tag("h3", title), svg, caption, words, class_="plot")


def describe(evenness: Evenness) -> str:
    """What the picture shows, in words."""
    sentences = []
    for name, _, _ in PANELS:
        if points := _points(evenness.curves, name):
            low, high = min(points, key=lambda p: p.residual), max(points, key=lambda p: p.residual)
            out = [p.key for p in points if p.stands_out]
            sentences.append(
                f"{name}: {counted(len(points), 'key')}, from {low.residual:+.1f} g at {note_name(low.key)} to "
                f"{high.residual:+.1f} g at {note_name(high.key)}; standing out: {listed(out) if out else 'none'}."
            )
    return " ".join(sentences)


def _points(curves: Sequence[Curve], quantity: str) -> list[CurvePoint]:
    return sorted((p for c in curves if c.quantity == quantity for p in c.points), key=lambda p: p.key)


def _panel(top: float, reach: float, name: str, shape: Marker, style: str, points: Sequence[CurvePoint]) -> Markup:
    middle, scale = top + PANEL / 2, PANEL / 2 / (reach * 1.08)

    def y(grams: float) -> float:
        return middle - grams * scale

    step = step_for(2 * reach)
    lines = []
    for grams in (-step, 0, step):
        at = y(grams)
        text = f"{grams:+d}" if grams else "0"
        lines.append(tag("line", x1=LEFT, x2=WIDTH - RIGHT, y1=f"{at:.1f}", y2=f"{at:.1f}",
                         class_="grid" if grams else "zero"))  # fmt: skip
        lines.append(tag("text", text, x=LEFT - 6, y=f"{at + 4:.1f}", text_anchor="end"))
    named = _to_be_named([p for p in points if p.stands_out], y)
    stems = [_stem(p, y, shape, style, p.key in named) for p in points]
    label = tag("text", f"{name}, g", x=LEFT, y=f"{top - 8:.1f}", class_="panel")
    return join(*lines, *stems, label)


def _to_be_named(out: Sequence[CurvePoint], y: Callable[[float], float]) -> set[int]:
    """Keys whose names do not run into one another; all that stand out are named below the picture anyway."""
    named: list[CurvePoint] = []
    for point in sorted(out, key=lambda p: -abs(p.residual)):
        if all(
            abs(key_x(point.key) - key_x(p.key)) > 2 * NAME_WIDE or abs(y(point.residual) - y(p.residual)) > NAME_HIGH
            for p in named
        ):
            named.append(point)
    return {p.key for p in named}


def _stem(point: CurvePoint, y: Callable[[float], float], shape: Marker, style: str, named: bool) -> Markup:
    x, at, zero = key_x(point.key), y(point.residual), y(0.0)
    stem = tag("line", x1=f"{x:.1f}", x2=f"{x:.1f}", y1=f"{zero:.1f}", y2=f"{at:.1f}", class_=f"stem {style}")
    if not point.stands_out:
        return join(stem, marker(shape, x, at, style))
    edge = "end" if point.key > 80 else "start"
    name = tag("text", note_name(point.key), x=f"{x + (-10 if edge == 'end' else 10):.1f}", y=f"{at + 4:.1f}",
               text_anchor=edge, class_="named")  # fmt: skip
    ring = tag("circle", cx=f"{x:.1f}", cy=f"{at:.1f}", r=7, class_="ring")
    return join(stem, marker(shape, x, at, style), ring, name if named else None)
