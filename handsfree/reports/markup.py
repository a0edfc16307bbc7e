"""The few lines that turn nested calls into HTML text with everything escaped.

Whatever comes from a person (remarks, instrument names) passes through `text`; there is no other way into the page.
Also used for inline SVG, which has the same syntax.
"""

from __future__ import annotations

from html import escape

_VOID = frozenset({"meta", "br", "hr", "img", "line", "rect", "circle", "path", "polyline", "polygon"})
"""Elements that are written without an end tag here (the SVG ones are self-closed)."""
_SVG_VOID = frozenset({"line", "rect", "circle", "path", "polyline", "polygon"})

# What no document may carry: control characters other than tab, line feed and carriage return, and the two
# non-characters. They are shown as U+FFFD so that nothing said is dropped without a trace.
_NEVER = [*(c for c in range(32) if c not in (9, 10, 13)), *range(0x7F, 0xA0), 0xFFFE, 0xFFFF, *range(0xD800, 0xE000)]
_FORBIDDEN = dict.fromkeys(_NEVER, "\ufffd")


class Markup(str):
    """Text that is markup already."""

    __slots__ = ()


def text(value: str) -> Markup:
    """Plain text, escaped for element content and quoted attributes."""
    return Markup(escape(value.translate(_FORBIDDEN), quote=True))


def tag(name: str, /, *children: str | Markup | None, **attributes: str | int | float | None) -> Markup:
    """One element. Children that are not Markup are escaped; None is left out.

    Attribute names: a trailing underscore is dropped (`class_`), others become hyphens (`aria_label`).
    """
    head = [name]
    for key, value in attributes.items():
        if value is not None:
            head.append(f'{key.rstrip("_").replace("_", "-")}="{text(str(value))}"')
    opening = " ".join(head)
    if name in _VOID:
        return Markup(f"<{opening}/>" if name in _SVG_VOID else f"<{opening}>")
    inside = "".join(c if isinstance(c, Markup) else text(c) for c in children if c is not None)
    return Markup(f"<{opening}>{inside}</{name}>")


def join(*parts: Markup | None) -> Markup:
    return Markup("".join(p for p in parts if p is not None))
