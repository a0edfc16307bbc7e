"""The walkthrough in the report: what was found, how bad it is, what was not looked at, remarks, pictures, climate.

A part that nothing was said of is listed as not looked at, never as good. Whatever a person said or typed goes
through `tag`, which escapes it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from handsfree.nouns import (
    Circumstance,
    Item,
    Remark,
    Standing,
    Walk,
    humidities_noted,
    in_fahrenheit,
    noted_words,
    number_noted,
)
from handsfree.reckoning.climate import climate_sentences, history_sentences
from handsfree.reports.embedded import audio, data_url
from handsfree.reports.markup import Markup, join, tag, text
from handsfree.reports.tables import NOTHING, STANDINGS, told_table
from handsfree.reports.times import clock, one_day, stamp
from handsfree.reports.walk_csv import not_looked_at
from handsfree.words import parts
from handsfree.words.remark_places import INSTRUMENT, belongs_to, named

LIMITS = (
    "Limits: below 25 % relative humidity, even for a short time, wood may split, and weeks above 75 % bring mould "
    "(a published museum standard); wood of pianos is kept at 6 to 10 % moisture (published lecture notes); 40 to "
    "60 % is common practice, without a source. Wood moisture after Hailwood and Horrobin, dew point after Magnus."
)
MATCHED = "Matched to what had been said last, by the time that the camera wrote into each file."
PICTURES = "photographs"
"""Class of the section that holds them: `verify` leaves it out, since the files are not in the journal."""
WRITTEN = {
    "": "spoken",
    "keyboard": "typed",
    "machine": "spoken; written down by a machine, not checked",
}
"""Who wrote a remark's text -> what the reader is told."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph, as it goes into the page."""

    name: str
    """Its file's name."""
    taken_at: str
    """RFC 3339, on the sitting's clock."""
    part: str
    """What it belongs to; "" = the instrument."""
    item: int | None
    """Number of the finding that had been said last when it was taken."""
    content: bytes = b""
    kind: str = "image/jpeg"


def walk_section(
    walk: Walk,
    pictures: Sequence[Picture] = (),
    sounds: Mapping[int, bytes] | None = None,
    typed: frozenset[int] = frozenset(),
) -> Markup:
    """`sounds`: number of a finding or remark -> its clip (FLAC), to be heard from within the page.

    `typed`: numbers of the heard lines that came by keyboard."""
    return join(
        _summary(walk),
        _findings(walk, sounds or {}, typed),
        _open(walk),
        _missing(walk),
        _remarks(walk, sounds or {}),
        _pictures(pictures, walk),
        _circumstances(walk),
    )


def grade_text(grade: int | None) -> str:
    """ "3 worn"."""
    return "not graded" if grade is None else f"{grade} {parts.GRADES[grade]}"


def _summary(walk: Walk) -> Markup:
    found = [i for i in walk.stands if i.finding.grade != parts.NOT_LOOKED_AT]
    if not found:
        return tag("p", "The instrument was not walked round; nothing is claimed of its condition.", class_="lead")
    looked_at = len({i.finding.part for i in found})
    of_all = len(not_looked_at(walk)) + looked_at
    worst = [i for i in found if (i.finding.grade or 0) >= parts.FAILING]
    return join(
        tag("p", f"{looked_at} of {of_all} parts were looked at, {len(found)} findings stand.", class_="lead"),
        tag("p", "Grades: " + "; ".join(f"{n} {means}" for n, means in enumerate(parts.GRADE_MEANS)) + "."),
        tag(
            "div",
            tag("strong", "Failing or unsafe. "),
            "; ".join(f"{named(i)}: {grade_text(i.finding.grade)}" for i in worst) + ".",
            class_="box",
        )
        if worst
        else None,
    )  # fmt: skip


def _findings(walk: Walk, sounds: Mapping[int, bytes], typed: frozenset[int]) -> Markup | None:
    order = {name: place for place, name in enumerate(parts.BY_NAME)}
    items = sorted(walk.stands, key=lambda i: (order.get(i.finding.part, len(order)), i.n))
    if not items:
        return None
    day = one_day(i.at for i in items)
    return told_table(
        "Findings, in the order of a walk round the instrument" + (f"; all on {day}" if day else ""),
        ("No.", "Part", "Finding", "Where", "Grade"),
        ((_finding(i), _said(i, day, sounds.get(i.n), i.heard_n in typed)) for i in items),
        numeric=(0,),
    )


def _finding(item: Item) -> tuple[str | Markup, ...]:
    finding = item.finding
    return (str(item.n), finding.part, finding.finding or NOTHING, finding.place or NOTHING, _grade(finding.grade))


def _said(item: Item, day: str, sound: bytes | None, typed: bool) -> Markup:
    """Where a finding comes from."""
    sure = "typed" if typed else f"sureness {item.sureness:.2f}"
    heard = tag("bdi", item.heard_text or NOTHING, class_="words")
    return join(clock(item.at, day), text(" \u201c"), heard,
                text(f"\u201d, {STANDINGS[item.standing]}, {sure}"),
                audio(sound) if sound else None)  # fmt: skip


def _grade(grade: int | None) -> str | Markup:
    text = grade_text(grade)
    return tag("span", text, class_="flag") if (grade or 0) >= parts.FAILING else text


def _open(walk: Walk) -> Markup | None:
    unsettled = [i for i in walk.items if i.standing is Standing.UNSETTLED]
    if not unsettled:
        return None
    asked = "; ".join(f"{named(i)}: {grade_text(i.finding.grade)}" for i in unsettled)
    return tag("div", tag("strong", "Asked about, not answered. "), f"{asked}. In no grade.", class_="box")


def _missing(walk: Walk) -> Markup | None:
    groups: dict[str, list[str]] = defaultdict(list)
    for part in not_looked_at(walk):
        only = f" ({part.kind}s only)" if part.kind and Circumstance.KIND not in walk.noted else ""
        groups[part.group].append(part.name + only)
    if not groups:
        return None
    listed = tag("ul", *(tag("li", f"{group}: {', '.join(names)}") for group, names in groups.items()))
    return tag("div", tag("strong", "Not looked at. "), "Nothing is claimed of these parts.", listed, class_="box")


def _remarks(walk: Walk, sounds: Mapping[int, bytes]) -> Markup | None:
    standing = [r for r in walk.remarks if not r.withdrawn]
    if not standing:
        return None
    return join(tag("h3", "Remarks"), tag("ul", *(_remark(r, walk, sounds) for r in standing)))


def _remark(remark: Remark, walk: Walk, sounds: Mapping[int, bytes]) -> Markup:
    said = tag("bdi", remark.text, class_="words") if remark.text else "not written down"
    sound = sounds.get(remark.n)
    lost = "" if remark.text or remark.clip else "; its sound was not kept"
    return tag(
        "li",
        f"{belongs_to(remark, walk)} (",
        stamp(remark.at),
        f", {WRITTEN[remark.by]}{lost}): ",
        said,
        audio(sound) if sound else None,
    )


def _pictures(pictures: Sequence[Picture], walk: Walk) -> Markup | None:
    if not pictures:
        return None
    return tag(
        "section",
        tag("h3", "Pictures"),
        tag("p", MATCHED),
        tag("div", *(_picture(p, walk) for p in pictures), class_="pictures"),
        class_=PICTURES,
    )


def _picture(picture: Picture, walk: Walk) -> Markup:
    item = next((i for i in walk.stands if i.n == picture.item), None)
    about = f"{named(item)} (no. {item.n})" if item else picture.part or INSTRUMENT
    return tag(
        "figure",
        tag("img", src=data_url(picture.kind, picture.content), alt=f"Photograph: {about}"),
        tag("figcaption", f"{about}, ", tag("bdi", picture.name), ", ", stamp(picture.taken_at)),
    )


def climate_told(noted: Mapping[Circumstance, str]) -> tuple[str, ...]:
    """What the climate that was noted means for the instrument; empty where none was."""
    temperature, humidity = (number_noted(noted, c) for c in (Circumstance.TEMPERATURE, Circumstance.HUMIDITY))
    between = humidities_noted(noted.get(Circumstance.HISTORY, ""))
    now = climate_sentences(temperature, humidity, fahrenheit=in_fahrenheit(noted))
    if between is None:
        return now
    before = " ".join(history_sentences(between, temperature))
    return (*now, f"Before this sitting, between {min(between):f} and {max(between):f} %: {before}")


def _circumstances(walk: Walk) -> Markup | None:
    if not walk.noted:
        return None
    sentences = climate_told(walk.noted)
    return join(
        tag("h3", "Where and when"),
        tag("ul", *(tag("li", f"{what.value}: ", tag("bdi", noted_words(what, value), class_="words"))
                    for what, value in walk.noted.items())),
        *(tag("p", s) for s in sentences),
        tag("p", LIMITS, class_="meta") if sentences else None,
    )  # fmt: skip
