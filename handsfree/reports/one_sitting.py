"""One sitting in the report: from plain words down to where each value comes from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import groupby

from handsfree.nouns import Circumstance, Entry, Standing, noted_words
from handsfree.reckoning.compass import grams, note_name
from handsfree.reckoning.results import Bound, Figures
from handsfree.reckoning.uncertainty import known
from handsfree.reports import tables
from handsfree.reports.embedded import audio
from handsfree.reports.evenness_plot import evenness_plot
from handsfree.reports.markup import Markup, join, tag
from handsfree.reports.part import Part
from handsfree.reports.plain_words import glossary, summary
from handsfree.reports.plots import FIRST_KEY, LAST_KEY, Band, Series, compass_plot
from handsfree.reports.proposals import proposals
from handsfree.reports.times import ends, stamp
from handsfree.reports.walk_section import walk_section

Chapter = tuple[str, Markup]
"""Its title and what stands in it."""


def chapters(part: Part, order: int) -> tuple[Chapter, ...]:
    """`order`: 1 or 2, for what must be unique on the page."""
    figures = part.figures
    unanswered = sum(e.standing is Standing.UNSETTLED for e in part.sheet.entries)
    return (
        ("In plain words", join(_details(part), summary(figures, part.walk, unanswered))),
        ("Key figures", _key_figures(figures)),
        ("Along the keyboard", _curves(figures, order)),
        ("What can be done", proposals(figures)),
        ("Condition, part by part", walk_section(part.walk, part.pictures, part.sounds, part.typed)),
        ("Key by key", join(tables.keys(figures), tables.torques(figures))),
        ("How it was measured", _method(part)),
        ("Where each value comes from", _provenance(part)),
    )


def _details(part: Part) -> Markup:
    given = [tag("p", f"{k}: {v}", class_="meta") for k, v in part.details.items() if v]
    missing = [*_not_stated(part)]
    table = "The readings came from a table; sound and questions stayed with the journal that it was made from."
    return join(
        tag("p", "Measured ", *_when(part), class_="meta"),
        *given,
        tag("p", f"Not stated: {', '.join(missing)}.", class_="meta") if missing else None,
        tag("p", table, class_="box") if part.sitting.settings.get("came_from") else None,
    )


def _when(part: Part) -> Iterator[Markup | str]:
    """From the first to the last thing said; a sitting may go on for days."""
    said = [*(e.at for e in part.sheet.entries), *(i.at for i in part.walk.items)]
    first, last = ends(said) or (part.sitting.opened_at, part.sitting.opened_at)
    yield stamp(first)
    if last[:16] != first[:16]:
        yield " to "
        yield stamp(last)


def _not_stated(part: Part) -> Iterator[str]:
    if not part.details.get("Technician"):
        yield "who measured"
    if not (part.details.get("Place") or Circumstance.PLACE in part.walk.noted):
        yield "where"


def _key_figures(figures: Figures) -> Markup:
    return join(
        glossary(),
        tables.key_figures(figures),
        tag("p", known(figures).sentence) if figures.whole.friction else None,
        tables.sections(figures),
        tag("p", figures.evenness.sentence),
        tag("p", figures.repeatability.sentence),
        *(tag("p", s) for s in figures.sample.sentences),
    )


def _curves(figures: Figures, order: int) -> Markup:
    wanted = figures.settings

    def values(of: str) -> dict[int, Decimal]:
        return {k.key: v for k in figures.keys if (v := getattr(k, of)) is not None}

    # a bound is no value: a key that does not return is in the tables, not on the curve
    friction = {k.key: k.friction.value for k in figures.keys if k.friction and k.friction.bound is Bound.EXACT}
    balance = {k.key: k.balance.value for k in figures.keys if k.balance and k.balance.bound is Bound.EXACT}
    swings = {k.key: k.swing.count for k in figures.keys if k.swing}
    down = Band(float(wanted.down_ideal_low), float(wanted.down_ideal_high), "down weight wanted")
    rubs = Band(float(wanted.friction_low), float(wanted.friction_high(FIRST_KEY)), "friction neither high nor low",
                float(wanted.friction_high(LAST_KEY)))  # fmt: skip
    free = Band(float(wanted.swings_tight), float(wanted.swings_loose),
                f"free, about {wanted.swings_wanted:f} wanted")  # fmt: skip
    shown = join(
        compass_plot(f"touch{order}", "Down and up weight, g",
                     (Series("down", values("down"), "dot", "s1"), Series("up", values("up"), "triangle", "s2")), "g",
                     down),
        compass_plot(f"friction{order}", "Friction, g", (Series("friction", friction, "square", "s2"),), "g", rubs),
        compass_plot(f"balance{order}", "Balance, g", (Series("balance", balance, "diamond", "s3"),), "g"),
        compass_plot(f"swings{order}", "Swings of the hammers", (Series("swings", swings, "dot", "s1"),), "swings",
                     free),
        evenness_plot(f"even{order}", figures.evenness),
    )  # fmt: skip
    words = "From the lowest key, at the left, to the highest; C4 is the C in the middle of the keyboard."
    return join(tag("p", words, class_="meta"), shown) if shown else tag("p", "Nothing was read yet.")


def _method(part: Part) -> Markup:
    return tag("ul", *(tag("li", f) for f in _method_facts(part)))


def _method_facts(part: Part) -> Iterator[str]:
    method, noted = part.figures.method, part.walk.noted
    yield (
        f"Weights in steps of {method.weight_step:f} g: friction is overstated by half a step on average, balance "
        "is not."
    )
    yield f"A swing is counted {method.swing.value}, the hammer let fall from {method.release_angle:f} degrees."
    yield "Friction is half the difference of down and up weight, balance is half their sum."
    yield "Where a key lifts no weight at all, friction is at least and balance at most the figure shown."
    yield from _torque_facts(part)
    room = (Circumstance.TEMPERATURE, Circumstance.HUMIDITY)
    climate = [f"{what.value} {noted_words(what, noted[what])}" for what in room if what in noted]
    yield (
        f"The room: {', '.join(climate)}. Friction and swings move with humidity."
        if climate
        else "Temperature and humidity of the room were not noted; friction and swings move with humidity."
    )
    yield part.figures.repeatability.sentence
    yield (
        "Thresholds of the verdicts are common practice of the trade, without a published source; all are settings."
    )
    yield f"Intervals are at a confidence of {grams(part.figures.settings.confidence * 100)} %."


def _torque_facts(part: Part) -> Iterator[str]:
    method = part.figures.method
    if not method.hammers:
        return
    weighed = "; ".join(
        f"{note_name(h.key) if h.key else 'one hammer for all keys'} {h.weight:f} g at {h.radius:f} mm"
        for h in method.hammers
    )
    yield f"Hammers weighed with the shank level: {weighed}; in a straight line between them."
    yield (
        "Friction torque of a flange: a pendulum with dry friction turns at a1, then at a2, with "
        "cos a2 \u2212 cos a1 = \u03bc (a1 + a2) (balance of energy, exact at any angle); the torque is "
        "\u03bc \u00d7 weight \u00d7 radius (statics). The count is taken as right to one pass through the lowest "
        "point, so the torque is an interval. 1 gf mm = 0.00980665 mN m."
    )
    if method.action_ratio is not None:
        yield f"At the key: torque / radius \u00d7 action ratio ({method.action_ratio:f})."


def _provenance(part: Part) -> Markup:
    values = part.sheet.entries
    kept, typed = sum(e.clip is not None for e in values), sum(e.heard_n in part.typed for e in values)
    asking = " Ask for any of it by its number." if kept else ""
    how = " Numbers that are links lead to it." if part.sounds else asking
    chosen = "Between words that sound alike the plan decided; those that fit it stand here. " if part.words else ""
    told = (
        "Each value as said, with the words that were heard and how sure that is (0 to 1). "
        f"{chosen}{typed} of {len(values)} were typed; the sound of {kept} is kept with the journal.{how}"
    )
    return join(
        tag("p", told),
        *(tag("p", damage) for damage in part.rescued),
        tables.provenance(part.sheet, part.typed, frozenset(part.sounds), part.words),
        *_sounds([e for e in values if e.n in part.sounds], part.sounds),
        tag("p", f"Fingerprint of the journal, over its {part.facts} facts of this sitting: ",
            tag("code", part.fingerprint)),
        tag("p", "Whoever holds the journal can show with the command handsfree verify that neither it nor this page "
                 "was changed since."),
    )  # fmt: skip


def _sounds(entries: Sequence[Entry], sounds: Mapping[int, bytes]) -> Iterator[Markup]:
    """Each once, with all the values that were said in it; the rows of the table lead here."""
    if entries:
        yield tag("h3", "As it was said", class_="sound")
    for _, group in groupby(entries, key=lambda entry: entry.clip):
        said = tuple(group)
        yield tag("p", *(_named_value(e) for e in said), audio(sounds[said[0].n]), class_="sound")


def _named_value(entry: Entry) -> Markup:
    words = f"No. {entry.n}, {note_name(entry.key)} {entry.quantity.value} {tables.value_words(entry)}. "
    return tag("span", words, id=tables.sound_id(entry))
