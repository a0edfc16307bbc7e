"""The report: one self-contained HTML page that a buyer far away can read, print and check.

Every figure can be traced to what was said and when; what was not looked at is listed as such. No script, no
network, nothing but this one file.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from handsfree.nouns import Sheet, Sitting, Walk
from handsfree.reckoning.results import Bound, Comparison, Figures, Verdict
from handsfree.reports import tables
from handsfree.reports.markup import Markup, join, tag
from handsfree.reports.plots import Band, Series, compass_plot
from handsfree.reports.style import STYLESHEET
from handsfree.reports.walk_section import Picture, walk_section

KEYS_OF_A_PIANO = 88

CAUTIONS = (
    "The strings pull with about 16 to 20 tonnes-force in all. Leave the plate, pins and strings to a qualified "
    "technician.",
    "Lead key weights: wash hands before eating or drinking, never sweep dry; do not blow off the white powder on "
    "old leads.",
    "Solvents and powders: ventilate, keep from finishes and flames, follow the safety data sheet.",
    "Two people, or proper gear, for lifting an action or moving an instrument. Protect the ears at test blows.",
    "Old keytops may be of a protected material. Sale, repair or moving across a border can need permits: ask your "
    "national authority.",
    "This report advises; a qualified technician decides. Local codes and licensed practice come first.",
)


@dataclass(frozen=True, slots=True)
class Part:
    """One sitting in the report."""

    sitting: Sitting
    sheet: Sheet
    figures: Figures
    fingerprint: str
    """Of the journal's facts at the time of writing."""
    details: Mapping[str, str] = field(default_factory=dict)
    """Anything given about place, person and climate: "Technician" -> "...", shown as given."""
    sounds: Mapping[int, bytes] = field(default_factory=dict)
    """Number of a value or remark -> its clip (FLAC), to be heard from within the page."""
    walk: Walk = field(default_factory=Walk)
    """The walkthrough of the same sitting."""
    pictures: tuple[Picture, ...] = ()
    """Photographs to be shown in it."""


def report(
    parts: tuple[Part, ...],
    comparison: Comparison | None,
    written_at: str,
    version: str,
    treated: tuple[str, ...] = (),
) -> bytes:
    """The page as UTF-8 bytes, of one sitting, or of two with their comparison.

    `written_at`: RFC 3339. `treated`: treatments that were done, in the technician's words.
    """
    title = " and ".join(dict.fromkeys(p.sitting.instrument or "Unnamed instrument" for p in parts))
    body = join(
        tag("header", tag("h1", title), tag("p", f"Touch and condition, written {written_at}", class_="meta")),
        _treated(treated) if treated else None,
        _comparison(comparison) if comparison else None,
        *(_part(p, i, alone=len(parts) == 1) for i, p in enumerate(parts, start=1)),
        _cautions(),
        _about(parts, version),
    )
    head = join(
        tag("meta", charset="utf-8"),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        *(tag("meta", name=f"handsfree-fingerprint-{p.sitting.id}", content=p.fingerprint) for p in parts),
        tag("title", f"{title}: report"),
        tag("style", Markup(STYLESHEET)),
    )
    page = tag("html", tag("head", head), tag("body", tag("main", body)), lang="en")
    return ("<!DOCTYPE html>\n" + page + "\n").encode("utf-8")


def _part(part: Part, order: int, *, alone: bool) -> Markup:
    name = "" if alone else f"{'First' if order == 1 else 'Second'} sitting: "
    details = {"Sitting opened": part.sitting.opened_at, **part.details}
    return tag(
        "section",
        tag("h2", f"{name}In plain words"),
        *(tag("p", f"{k}: {v}", class_="meta") for k, v in details.items() if v),
        _summary(part.figures),
        tag("h2", f"{name}Key figures"),
        tables.key_figures(part.figures.whole),
        tables.sections(part.figures),
        tag("p", part.figures.evenness.sentence),
        tag("p", part.figures.repeatability.sentence),
        *(tag("p", s) for s in part.figures.sample.sentences),
        tag("h2", f"{name}Along the compass"),
        _curves(part.figures, order),
        tag("h2", f"{name}What can be done"),
        tables.treatments(part.figures) if part.figures.treatments else tag("p", "Nothing is proposed."),
        tag("h2", f"{name}Condition, part by part"),
        walk_section(part.walk, part.pictures, part.sounds),
        tag("h2", f"{name}Key by key"),
        tables.keys(part.figures),
        tag("h2", f"{name}How it was measured"),
        _method(part),
        tag("h2", f"{name}Where each value comes from"),
        _provenance(part),
    )


def _summary(figures: Figures) -> Markup:
    counts = dict(figures.whole.verdicts)
    fine = counts.get(Verdict.FINE, 0)
    other = [f"{n} {v.value}" for v, n in figures.whole.verdicts if v not in tables.LEFT_OPEN]
    unread = KEYS_OF_A_PIANO - figures.whole.keys_read
    sentences = [
        f"{figures.whole.keys_read} of {KEYS_OF_A_PIANO} keys were read.",
        f"{fine} are fine." if fine else "None of them was found fine.",
        f"Called for attention: {', '.join(other)}." if other else "None calls for attention.",
    ]
    missing = [f"{unread} keys were not read; nothing is claimed of them."] if unread else []
    if not figures.whole.swings:
        missing.append("The hammers were not let swing; the flanges were not looked at that way.")
    return join(
        tag("p", " ".join(sentences), class_="lead"),
        tag("p", figures.whole.why),
        tag("div", tag("strong", "Not looked at. "), " ".join(missing), class_="box") if missing else None,
        tag("ul", *(tag("li", n) for n in figures.notes)) if figures.notes else None,
    )


def _curves(figures: Figures, order: int) -> Markup:
    settings = figures.settings
    wanted = Band(float(settings.down_ideal_low), float(settings.down_ideal_high), "down weight wanted")

    def values(of: str) -> dict[int, Decimal]:
        return {k.key: v for k in figures.keys if (v := getattr(k, of)) is not None}

    # a bound is no value: a key that does not return is in the tables, not on the curve
    friction = {k.key: k.friction.value for k in figures.keys if k.friction and k.friction.bound is Bound.EXACT}
    balance = {k.key: k.balance.value for k in figures.keys if k.balance and k.balance.bound is Bound.EXACT}
    swings = {k.key: k.swing.count for k in figures.keys if k.swing}
    plots = (
        compass_plot(f"touch{order}", "Down and up weight",
                     (Series("down", values("down"), "dot", "s1"), Series("up", values("up"), "triangle", "s2")), "g",
                     wanted),
        compass_plot(f"friction{order}", "Friction", (Series("friction", friction, "square", "s2"),), "g"),
        compass_plot(f"balance{order}", "Balance", (Series("balance", balance, "diamond", "s3"),), "g"),
        compass_plot(f"swings{order}", "Swings of the hammers", (Series("swings", swings, "dot", "s1"),), "swings"),
    )  # fmt: skip
    shown = join(*plots)
    return shown or tag("p", "Nothing was read yet.")


def _method(part: Part) -> Markup:
    method = part.figures.method
    facts = [
        f"Weights in steps of {method.weight_step:f} g: friction is overstated by half a step on average, "
        "balance is not.",
        f"A swing is counted {method.swing.value}, the hammer let fall from {method.release_angle:f} degrees.",
        "Friction is half the difference of down and up weight, balance is half their sum.",
        "Where a key lifts no weight at all, friction is at least and balance at most the figure shown.",
        "Thresholds of the verdicts are common practice of the trade, without a published source; they are settings.",
        f"Intervals are at a confidence of {part.figures.settings.confidence:%}.",
    ]
    return tag("ul", *(tag("li", f) for f in facts))


def _provenance(part: Part) -> Markup:
    return join(
        tag("p", "Each value as said, with the words that were heard and how sure the recogniser was (0 to 1)."),
        tables.provenance(part.sheet),
        *(_sound(n, clip) for n, clip in sorted(part.sounds.items()) if n not in {r.n for r in part.walk.remarks}),
        tag("p", "Fingerprint of the journal: ", tag("code", part.fingerprint)),
        tag("p", "Whoever holds the journal can show that nothing was touched since, with handsfree verify."),
    )  # fmt: skip


def _sound(number: int, clip: bytes) -> Markup:
    source = "data:audio/flac;base64," + b64encode(clip).decode("ascii")
    return tag("p", f"Value {number} as it was said: ", tag("audio", controls="", src=source))


def _treated(treated: tuple[str, ...]) -> Markup:
    return tag(
        "section",
        tag("h2", "What was done"),
        tag("p", "As the technician gives it:"),
        tag("ul", *(tag("li", tag("bdi", t, class_="words")) for t in treated)),
    )


def _comparison(comparison: Comparison) -> Markup:
    only = [
        f"Only in the {name}: {', '.join(str(k) for k in keys)} (key numbers)."
        for name, keys in (("first", comparison.only_first), ("second", comparison.only_second))
        if keys
    ]
    return tag(
        "section",
        tag("h2", comparison.kind[0].upper() + comparison.kind[1:]),
        tag("ul", *(tag("li", c) for c in comparison.conclusions)),
        tables.differences(comparison.whole, "Paired differences, second less first"),
        *(tables.differences(s.differences, f"{s.name}: paired differences") for s in comparison.sections),
        *(tag("p", o) for o in only),
        tables.changed_keys(comparison),
        tag("ul", *(tag("li", n) for n in comparison.notes)) if comparison.notes else None,
    )


def _cautions() -> Markup:
    return tag("section", tag("h2", "Cautions"), tag("ul", *(tag("li", c) for c in CAUTIONS)))


def _about(parts: tuple[Part, ...], version: str) -> Markup:
    models = ", ".join(dict.fromkeys(p.sitting.model for p in parts if p.sitting.model))
    by = f"Made by handsfree {version}" + (f" with the speech model {models}" if models else "")
    return tag("footer", tag("p", by + ".", class_="meta"))
