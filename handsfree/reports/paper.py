"""The report: one self-contained HTML page that a buyer far away can read, print and check.

Every figure can be traced to what was said and when; what was not looked at is listed as such. No script, no
network, nothing but this one file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from handsfree.reckoning.results import Comparison
from handsfree.reports.markup import Markup, join, tag
from handsfree.reports.one_sitting import Chapter, chapters
from handsfree.reports.part import Part
from handsfree.reports.side_by_side import side_by_side
from handsfree.reports.style import STYLESHEET
from handsfree.reports.times import stamp

CAUTIONS = (
    "The strings pull with about 16 to 20 tonnes-force in all. Leave the plate, pins and strings to a qualified "
    "technician.",
    "While an action slides out or in, press no key: a raised hammer breaks. Keep the fingers clear, and set it down "
    "where it cannot tip.",
    "Lead key weights: wash hands before eating or drinking, never sweep dry; do not blow off the white powder on "
    "old leads.",
    "Solvents and powders: ventilate, keep from finishes and flames, follow the safety data sheet.",
    "Two people, or proper gear, for lifting an action or moving an instrument. Protect the ears at test blows.",
    "Old keytops may be of a protected material. Sale, repair or moving across a border can need permits: ask your "
    "national authority.",
    "This report advises; a qualified technician decides. Local codes and licensed practice come first.",
)


def report(
    parts: tuple[Part, ...],
    comparison: Comparison | None,
    written_at: str,
    version: str,
    treated: tuple[str, ...] = (),
    made_with: str = "",
) -> bytes:
    """The page as UTF-8 bytes, of one sitting, or of two with their comparison.

    `written_at`: RFC 3339. `treated`: treatments that were done, in the technician's words. `made_with`: what it
    takes to make the same page again (see made_with.py), carried along for `handsfree verify`.
    """
    title = " and ".join(dict.fromkeys(p.sitting.instrument or "Unnamed instrument" for p in parts))
    bodies = list(_bodies(parts, comparison, treated))
    kind = f": {comparison.kind}" if comparison else ""
    body = join(
        tag("header", tag("h1", title), tag("p", f"Touch and condition{kind}. Written ", stamp(written_at), ".",
                                            class_="meta")),
        _contents(bodies),
        *(tag("section", tag("h2", name, id=f"c{n}"), inside) for n, (name, inside) in enumerate(bodies, start=1)),
        _about(parts, version),
    )  # fmt: skip
    head = join(
        tag("meta", charset="utf-8"),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        *(tag("meta", name=f"handsfree-fingerprint-{p.sitting.id}", content=p.fingerprint) for p in parts),
        tag("meta", name="handsfree-made-with", content=made_with) if made_with else None,
        tag("title", f"{title}: report"),
        tag("style", Markup(STYLESHEET)),
    )
    page = tag("html", tag("head", head), tag("body", tag("main", body)), lang="en")
    return ("<!DOCTYPE html>\n" + page + "\n").encode("utf-8")


def _bodies(parts: tuple[Part, ...], comparison: Comparison | None, treated: tuple[str, ...]) -> Iterator[Chapter]:
    if treated:
        yield "What was done", _treated(treated)
    if comparison is None:
        for n, part in enumerate(parts, start=1):
            yield from chapters(part, n)
    else:
        changed = "What changed" if comparison.kind == "before and after" else "Side by side"
        yield changed, side_by_side(comparison, parts)
        called = (comparison.first.label, comparison.second.label)
        for n, (part, name) in enumerate(zip(parts, called, strict=True), start=1):
            inside = (tag("section", tag("h2", title), content) for title, content in chapters(part, n))
            yield name, _lowered(join(*inside))
    yield "Cautions", tag("ul", *(tag("li", c) for c in CAUTIONS))


def _lowered(markup: Markup) -> Markup:
    """Its headings one level down. Text cannot be hit: in it every "<" is escaped."""
    return Markup(re.sub(r"<(/?)h([2-5])\b", lambda m: f"<{m[1]}h{int(m[2]) + 1}", markup))


def _contents(bodies: Sequence[Chapter]) -> Markup:
    links = (tag("li", tag("a", name, href=f"#c{n}")) for n, (name, _) in enumerate(bodies, start=1))
    return tag("nav", tag("ol", *links), aria_label="Contents")


def _treated(treated: tuple[str, ...]) -> Markup:
    return join(
        tag("p", "As the technician gives it:"),
        tag("ul", *(tag("li", tag("bdi", t, class_="words")) for t in treated)),
    )


def _about(parts: tuple[Part, ...], version: str) -> Markup:
    models = ", ".join(dict.fromkeys(p.sitting.model for p in parts if p.sitting.model))
    by = f"Made by handsfree {version}" + (f" with the speech model {models}" if models else "")
    return tag("footer", tag("p", by + ".", class_="meta"))
